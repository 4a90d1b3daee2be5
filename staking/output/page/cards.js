// The cards: what is set out at one place, opened by a tap on it.

class Cards {
  constructor(job, plan, rod, boxes, go) {
    Object.assign(this, {job, plan, rod, boxes, go});
    this.shown = document.getElementById("card");
    this.place = null;
    document.getElementById("card-list").replaceChildren(...job.cards.map((card, place) => {
      const made = button(card.name, () => this.open(place), "short");
      made.setAttribute("aria-label", card.title);
      return made;
    }));
    const count = job.cards.length;
    document.getElementById("card-back").addEventListener("click", () => go("place-plan"));
    document.getElementById("card-before").addEventListener("click", () => this.open((this.place + count - 1) % count));
    document.getElementById("card-after").addEventListener("click", () => this.open((this.place + 1) % count));
    boxes?.heard.add(() => this.refresh());
  }

  open(place) {
    this.go(`place-card/${place}`);
  }

  // what lies under a finger: a spot before a line
  under([x, y], reach) {
    const {cards} = this.job, far = (spot) => Math.hypot(spot[0] - x, spot[1] - y);
    const spots = cards.flatMap((card, place) => (card.kind === "interior line" ? []
      : card.at.map((spot) => ({place, off: far(spot)}))));
    const lines = cards.flatMap((card, place) => {
      if (card.kind !== "interior line") return [];
      const [a, b] = card.at, run = [b[0] - a[0], b[1] - a[1]];
      const size = run[0] ** 2 + run[1] ** 2 || 1;
      const share = Math.min(1, Math.max(0, ((x - a[0]) * run[0] + (y - a[1]) * run[1]) / size));
      return [{place, off: far([a[0] + share * run[0], a[1] + share * run[1]])}];
    });
    for (const sort of [spots, lines]) {
      const near = sort.filter(({off}) => off <= reach).sort((one, other) => one.off - other.off);
      if (near.length) return near[0].place;
    }
    return null;
  }

  tapped(spot, reach) {
    const place = this.under(spot, reach);
    if (place !== null) this.open(place);
  }

  refresh() {
    if (this.place !== null && !document.getElementById("place-card").hidden) this.show(this.place);
  }

  show(place) {
    const card = this.job.cards[place];
    if (!card) return false;
    this.place = place;
    document.getElementById("card-title").replaceChildren(words(card.title));
    const spots = card.kind === "interior line" ? [] : card.at;
    const lines = card.kind === "interior line" ? [card.at.flat()] : [];
    this.shown.replaceChildren(pictureOf(this.plan, card.view, {lines, spots, label: `Picture of ${card.title}`}),
      ...this.levels(card), ...this.tapes(card),
      ...card.tables.map(({heads, rows}) => tableOf(heads, rows, heads[0] || card.title)),
      ...card.said.map((line) => element("p", "", line)));
    this.rod?.show();
    return true;
  }

  levels(card) {
    const cautions = this.job.cautions.map((line) => element("p", "", line));
    const caution = element("div", "caution", ...(card.levels.length ? cautions : cautions.slice(0, 1)));
    if (!card.levels.length) return [caution];
    const known = this.job.rod?.benchmarkLevel != null;
    const rows = card.levels.map(([what, level, shown, added]) => [what, (known && added) || shown, rodCell(level)]);
    return [tableOf(["Levels", known ? "add to the benchmark" : "level", "rod reads"], rows, "Levels"), caution];
  }

  tapes(card) {
    if (!card.tapes.length) return [];
    const rows = card.tapes.map(([what, length, allowed, within, place]) => {
      const cell = element("td", "r");
      if (place !== null && this.boxes) {
        const read = this.boxes.text(place), pick = button(read || "type", () => this.boxes.ask(place));
        pick.setAttribute("aria-label", `${what}, ${read || "type what the tape reads"}`);
        cell.append(pick);
      }
      const level = element("td", "r", element("strong", "", length), element("span", "second", `+/- ${allowed}`),
        ...(within ? [element("span", "second", `off level by ${within} at most`)] : []));
      return [what, level, cell];
    });
    return [tableOf(["Tape", "held level", "reads"], rows, "Tapes")];
  }
}
