// What comes of the answers: what to look at, tapes, levels and the order, as tables and lists.

import { make } from "./fields.js";

export function showNotices(told) {
  const heaviest = [...told.told].reverse();
  const notices = heaviest.map((each) => make("section", { className: `told ${each.kind}` }, make("h3", { text: each.title }), list(each.lines)));
  document.getElementById("notices").replaceChildren(...notices);
}

export function showFigures(told, opened) {
  const pane = document.getElementById("blocks");
  const parts = [
    ["Tapes, strings and boards", told.tapes],
    ["Levels", told.levels],
    ["The order", told.order],
  ].filter(([, blocks]) => blocks.length);
  const folded = parts.map(([title, blocks]) => {
    const id = `part-${title}`;
    const made = make("details", { id }, make("summary", { text: title }), ...blocks.map(block));
    made.open = opened.has(id);
    made.addEventListener("toggle", () => (made.open ? opened.add(id) : opened.delete(id)));
    return made;
  });
  pane.replaceChildren(...folded);
}

function list(lines) {
  return make("ul", {}, ...lines.map((text) => make("li", { text })));
}

export function block(each) {
  if (each.lines) return make("section", {}, make("h3", { text: each.title }), list(each.lines));
  const head = make("tr", {}, ...each.columns.map((column) => make("th", { scope: "col", text: column.heading, className: column.right ? "r" : "" })));
  const rows = each.rows.map((row) => make("tr", {}, ...row.map((cell, at) => make("td", { text: cell, className: each.columns[at].right ? "r" : "" }))));
  const table = make("table", {}, make("caption", { text: each.title }), make("thead", {}, head), make("tbody", {}, ...rows));
  const wide = make("div", { className: "scroll", tabIndex: 0, role: "region", "aria-label": each.title }, table);
  return make("section", {}, wide, each.note ? make("p", { className: "hint", text: each.note }) : null);
}
