// The plan beside the questions: the desk's own drawing, with what can be tapped laid over it.

import { make } from "./fields.js";

const SVG = "http://www.w3.org/2000/svg";

let shown = "";

export function showPlan(told, open) {
  const pane = document.getElementById("plan");
  // Many answers, as those about the order, change nothing of the picture.
  const asked = JSON.stringify([told.picture, told.touch]);
  if (asked === shown) return;
  shown = asked;
  const drawn = new DOMParser().parseFromString(told.picture, "image/svg+xml").documentElement;
  if (drawn.nodeName !== "svg") return;
  const picture = document.importNode(drawn, true);
  picture.removeAttribute("width");
  picture.removeAttribute("height");
  // The title strip of the paper is left out: its words stand elsewhere on the page.
  picture.querySelector('[data-layer="S-ANNO-TTLB"]')?.remove();
  picture.setAttribute("viewBox", told.window.join(" "));
  const over = document.createElementNS(SVG, "g");
  over.setAttribute("class", "touch");
  const [, height] = told.size;
  over.setAttribute("transform", `translate(0 ${height}) scale(1 -1)`);
  for (const each of told.touch) {
    const shape = document.createElementNS(SVG, "polygon");
    shape.setAttribute("points", each.points.map(([x, y]) => `${x},${y}`).join(" "));
    shape.dataset.kind = each.kind;
    shape.dataset.name = each.name;
    const title = document.createElementNS(SVG, "title");
    title.textContent = `${each.kind} ${each.name}`;
    shape.append(title);
    shape.addEventListener("click", () => open(each));
    over.append(shape);
  }
  picture.append(over);
  pane.replaceChildren(picture);
}

const SIZES = ["", "large", "largest"];
let size = 0;

function sized(to) {
  const pane = document.getElementById("plan");
  if (SIZES[size]) pane.classList.remove(SIZES[size]);
  size = Math.min(Math.max(to, 0), SIZES.length - 1);
  if (SIZES[size]) pane.classList.add(SIZES[size]);
  document.getElementById("larger").disabled = size === SIZES.length - 1;
  document.getElementById("smaller").disabled = size === 0;
  pane.scrollLeft = (pane.scrollWidth - pane.clientWidth) / 2;
  pane.scrollTop = (pane.scrollHeight - pane.clientHeight) / 2;
}

export function planSizes() {
  document.getElementById("larger").addEventListener("click", () => sized(size + 1));
  document.getElementById("smaller").addEventListener("click", () => sized(size - 1));
}

export function planState(text, isOld) {
  document.getElementById("plan-state").textContent = text;
  document.getElementById("plan").classList.toggle("old", isOld);
}

export function faultList(faults, goTo) {
  const pane = document.getElementById("mend");
  if (!faults.length) {
    pane.replaceChildren();
    return;
  }
  const lines = faults.map((each) => {
    const where = each.line ? `Line ${each.line}: ` : "";
    if (!each.place.length) return make("li", { text: `${where}${each.text}` });
    return make("li", {}, make("button", { type: "button", className: "link", text: `${each.name}: ${each.text}`, onclick: () => goTo(each.place) }));
  });
  pane.replaceChildren(make("h3", { text: faults.length === 1 ? "One thing to mend" : `${faults.length} things to mend` }), make("ul", {}, ...lines));
}
