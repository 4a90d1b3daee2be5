// The day's work step by step: what is next, its figures, its picture, and a large button for done.

class Steps {
  constructor(job, memory, plan, boxes) {
    Object.assign(this, {job, memory, plan, boxes});
    this.shown = document.getElementById("step");
    this.lines = [...document.querySelectorAll("[data-step]")].map((line) => {
      const part = line.closest("[data-part]");
      return {line, part: part.dataset.part, number: line.dataset.step, said: said(line),
        among: [...part.querySelectorAll("[data-step]")]};
    });
    const numbered = this.lines.filter(({number}) => number);
    numbered.forEach((each, place) => { each.data = job.steps[place]; });
    this.count = numbered.length;
    for (const {line} of this.lines) line.querySelector("input").addEventListener("change", () => this.show());
    boxes?.heard.add(() => this.figures());
  }

  box(place) {
    return this.lines[place].line.querySelector("input");
  }

  set(place, done) {
    const box = this.box(place);
    box.checked = done;
    box.dispatchEvent(new Event("change"));
  }

  show() {
    const next = this.lines.findIndex((_, place) => !this.box(place).checked);
    const back = button("Back", () => this.set((next < 0 ? this.lines.length : next) - 1, false));
    back.setAttribute("aria-label", "Back: the step before is not done");
    document.getElementById("next-title").textContent = next < 0 ? "All is done" : this.heading(this.lines[next]);
    if (next < 0) {
      this.shown.replaceChildren(element("div", "act", back));
      return;
    }
    const step = this.lines[next], {data} = step;
    const done = button("Done", () => this.set(next, true), "main done");
    this.list = element("ul", "figures");
    const parts = [element("p", "part-of", step.part), element("p", "what", step.said), this.list];
    this.data = data;
    this.figures();
    if (data) {
      const lines = data.tapes.map(({line}) => line).filter(Boolean);
      parts.push(pictureOf(this.plan, data.view, {lines, label: `Picture of step ${step.number}`}));
    }
    if (data?.ground) parts.push(element("p", "caution", this.job.cautions[0]));
    const earlier = this.lines.slice(0, next).some((_, place) => this.box(place).checked);
    this.shown.replaceChildren(...parts, element("div", "act", ...(earlier ? [back] : []), done));
  }

  heading({number, part, among, line}) {
    return number ? `Step ${number} of ${this.count}` : `${part}, ${among.indexOf(line) + 1} of ${among.length}`;
  }

  // what is taped at this step, with what was read
  figures() {
    if (!this.list || !this.data) return;
    this.list.replaceChildren(...this.data.tapes.map(({from, to, shown}) => {
      const place = this.job.tapes.findIndex((tape) => pairKey(tape.from, tape.to) === pairKey(from, to));
      const line = element("li", "", element("b", "", `${from}-${to}`), element("strong", "", shown));
      if (place >= 0 && this.boxes) {
        const read = this.boxes.text(place), pick = button(read || "type", () => this.boxes.ask(place));
        pick.setAttribute("aria-label", `${from}-${to}, ${read || "type what the tape reads"}`);
        line.append(pick);
      }
      return line;
    }));
  }
}

// a line's own words, without its number
function said(line) {
  const text = line.querySelector("label > span").cloneNode(true);
  if (line.dataset.step) text.querySelector("b")?.remove();
  return text.textContent.trim();
}
