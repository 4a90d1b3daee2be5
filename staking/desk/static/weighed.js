// Heights and places compared: begun at a tap, told as it goes on, a row taken at a tap.

import { get, post } from "./asking.js";
import { make } from "./fields.js";
import { block } from "./figures.js";

const at = (id) => document.getElementById(id);
const wait = (milliseconds) => new Promise((done) => setTimeout(done, milliseconds));

export function weighing(desk) {
  const ready = Boolean(desk.values.grade);
  const go = make("button", { type: "button", className: "main", id: "weigh", text: "Compare", disabled: !ready || desk.isWeighing, onclick: () => weigh(desk) });
  const state = make("p", { role: "status", id: "weigh-state", text: stateOf(desk) });
  return make("section", { id: "weighed", "aria-label": "What the comparison comes to" }, make("p", { className: "hint", text: ready ? "Each row is a whole job, through the same levels and the same order." : "Answer Levels first: the ground, the top of the wall and the frost depth." }), make("p", { className: "buttons" }, go), state, ...shown(desk));
}

function stateOf(desk) {
  const { told, said } = desk.weighed ?? {};
  if (said) return said;
  if (!told) return "";
  if (told.running) return told.total ? `${told.done} of ${told.total} rows are worked out.` : "The job is being worked out.";
  return told.blocks ? "Tap a row to take its top of wall and its place into the answers." : "";
}

// The newest comparison counts; one that was left says nothing any more.
async function weigh(desk) {
  const own = {};
  desk.weighed = { own, text: desk.text };
  desk.isWeighing = true;
  try {
    await post("/weigh", { text: desk.text });
    for (;;) {
      const told = await get("/weighing");
      if (desk.weighed?.own !== own) return;
      desk.weighed.told = told;
      if (!told.running) break;
      if (at("weigh-state")) at("weigh-state").textContent = stateOf(desk);
      await wait(300);
    }
  } catch (error) {
    desk.weighed.said = error.message;
  }
  desk.isWeighing = false;
  if (desk.topic === "weigh") desk.rebuild();
}

function shown(desk) {
  const { told, text } = desk.weighed ?? {};
  if (!told || told.running) return [];
  const faults = (told.faults ?? []).map((each) => make("p", { className: "fault", text: each.text }));
  if (!told.blocks) return faults;
  const old = text === desk.text ? null : make("p", { className: "fault", text: "The answers were changed since: compare anew before you take a row." });
  const picture = new DOMParser().parseFromString(told.picture, "image/svg+xml").documentElement;
  const pane = make("div", { className: "drawn", tabIndex: 0, role: "region", "aria-label": "Tops of wall and places side by side" });
  if (picture.nodeName === "svg") pane.append(sized(document.importNode(picture, true)));
  const [first, ...rest] = told.blocks.map(block);
  const numbers = new Map(told.rows.map((each) => [String(each.row), each]));
  for (const row of first.querySelectorAll("tbody tr")) {
    const cell = row.cells[0];
    const each = numbers.get(cell.textContent.match(/\d+/)?.[0]);
    if (each) cell.replaceChildren(make("button", { type: "button", text: cell.textContent, "aria-label": `Take row ${each.row}: ${each.name}${each.stands ? "" : "; it breaks something"}`, disabled: text !== desk.text, onclick: () => take(desk, each) }));
    if (each?.best) row.className = "best";
  }
  return [old, ...(told.notices ?? []).map(block), first, pane, ...rest].filter(Boolean);
}

function sized(picture) {
  const [width, height] = ["width", "height"].map((name) => parseFloat(picture.getAttribute(name)));
  if (!picture.hasAttribute("viewBox") && width && height) picture.setAttribute("viewBox", `0 0 ${width} ${height}`);
  picture.removeAttribute("width");
  picture.removeAttribute("height");
  return picture;
}

async function take(desk, { row, name, stands }) {
  at("weigh-state").textContent = `Row ${row} is being taken.`;
  document.body.dataset.busy = "true";
  try {
    await desk.settled();
    const told = await post("/take", { text: desk.text, row });
    const isSame = told.text === desk.text;
    desk.weighed = { said: isSame ? `Row ${row} is the job as it is: nothing was changed.` : `Row ${row} is in the answers now: ${name}. ${stands ? "" : "It breaks something: see what to look at. "}Save writes it.` };
    desk.taken(told);
  } catch (error) {
    desk.weighed.said = error.message;
  }
  desk.rebuild();
  desk.note();
  at("weigh")?.focus();
  at("weighed")?.scrollIntoView({ block: "nearest" });
}
