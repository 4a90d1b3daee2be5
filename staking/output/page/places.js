// The places of the page: one is seen at a time, and the address says which, so that the phone's own
// way back leads back.

class Places {
  constructor(shows) {
    this.shows = shows;
    this.places = [...document.querySelectorAll(".place")];
    this.links = [...document.querySelectorAll("#bar a")];
    window.addEventListener("hashchange", () => this.show());
    window.addEventListener("resize", () => this.told());
  }

  go(address) {
    if (window.location.hash === `#${address}`) this.show();
    else window.location.hash = address;
  }

  show() {
    const [name, rest] = window.location.hash.slice(1).split("/");
    const found = this.places.find(({id}) => id === name) ?? this.places[0];
    this.here = found.id;
    this.rest = rest;
    for (const each of this.places) each.hidden = each !== found;
    const bar = found.id === "place-card" ? "place-plan" : found.id;
    for (const link of this.links) {
      if (link.hash === `#${bar}`) link.setAttribute("aria-current", "page");
      else link.removeAttribute("aria-current");
    }
    this.told();
    if (name !== "main") window.scrollTo(0, 0);
  }

  // what is drawn to the size of its place is drawn once that is seen
  told() {
    this.shows[this.here]?.(this.rest);
  }
}
