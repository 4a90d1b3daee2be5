// A designer's drawing in the form: its layers to tap, the traced outline drawn over them.

import { post } from "./asking.js";
import { make } from "./fields.js";
import { block } from "./figures.js";

const SVG = "http://www.w3.org/2000/svg";

export const newTrace = (name) => ({ name, layers: [], close: "", unit: "", told: null, known: [], picture: null, said: "" });

// Lists the layers of the drawing, or traces those that are chosen; the newest answer counts.
export async function askTrace(desk) {
  const trace = desk.tracing;
  const { name, layers, close, unit } = trace;
  if (!name) return;
  const state = document.getElementById("traced-state");
  if (state) state.textContent = "The drawing is being read.";
  const asked = { name, layers, close, unit, units: desk.values.units ?? "ft" };
  trace.asked = asked;
  try {
    const told = await post("/outline", asked);
    if (trace.asked !== asked) return;
    trace.told = told;
    trace.known = told.layers.length ? told.layers : trace.known;
    trace.picture = told.picture ?? trace.picture;
    trace.said = layers.length ? "Traced. Hold it against the drawing before you take it." : "Tap the layer that the outline of the walls lies on, in the drawing or by its name.";
  } catch (error) {
    if (trace.asked !== asked) return;
    trace.told = null;
    trace.said = error.message;
  }
  desk.rebuild();
}

// The questions about a drawing: its file, its layers, what is traced, and whether to take it.
export function tracing(desk, base, way) {
  const trace = desk.tracing;
  const set = (key, value) => {
    trace[key] = value;
    askTrace(desk);
  };
  const said = make("p", { role: "status", id: "traced-state", text: trace.said });
  const pick = make("input", { type: "file", id: "drawing-file", accept: ".dxf" });
  pick.addEventListener("change", () => pick.files.length && desk.bring(pick.files[0], "drawing", said));
  const close = make("input", { type: "text", id: "drawing-close", autocomplete: "off", value: trace.close });
  close.addEventListener("change", () => set("close", close.value.trim()));
  const units = make("select", { id: "drawing-unit" }, make("option", { value: "", text: "as the drawing shows" }), ...["ft", "us-ft", "in", "m", "mm"].map((each) => make("option", { value: each, text: each })));
  units.value = trace.unit;
  units.addEventListener("change", () => set("unit", units.value));
  const turn = (name) => set("layers", trace.layers.includes(name) ? trace.layers.filter((each) => each !== name) : [...trace.layers, name]);
  const layers = trace.known.map((name) => make("button", { type: "button", id: `layer-${name}`, text: name, "aria-pressed": String(trace.layers.includes(name)), onclick: () => turn(name) }));
  const leave = () => {
    desk.tracing = null;
    desk.rebuild();
  };
  const field = (id, label, hint, input) => make("div", { className: "field" }, make("label", { htmlFor: id, text: label }), hint ? make("p", { className: "hint", text: hint }) : null, input);
  return [
    field("drawing-file", "The designer's drawing, a DXF file", "It is copied beside the job.", pick),
    layers.length ? make("div", { className: "shapes", role: "group", "aria-label": "Layers" }, ...layers) : null,
    said,
    trace.picture ? drawingOver(trace.picture, trace.layers, trace.told, turn) : null,
    make("p", { className: "buttons" }, trace.told?.corners.length ? make("button", { type: "button", className: "main", text: "Take this outline", onclick: () => take(desk, base, way) }) : null, make("button", { type: "button", text: "Leave it as it was", onclick: leave })),
    layers.length ? field("drawing-close", "Close gaps up to", "Lines that miss each other by no more than this are joined; each joint that is closed is listed. Left out: 0.", close) : null,
    layers.length ? field("drawing-unit", "Unit of the drawing", "", units) : null,
    ...(trace.told?.blocks ?? []).map(block),
  ].filter(Boolean);
}

function take(desk, base, way) {
  const { corners, wall, footing } = desk.tracing.told;
  const value = Object.fromEntries(corners.map((each) => [each.name, [each.x, each.y]]));
  desk.tracing = null;
  if (wall) desk.answer([...base, "wall"], wall);
  if (footing) {
    desk.answer([...base, "footing", "width"], footing.width);
    desk.answer([...base, "footing", "outside"], footing.outside);
  }
  desk.answer([...base, "corners"], value, { instead_of: way === "corners" ? undefined : way }, true);
}

function drawn(tag, given, ...inside) {
  const made = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(given)) made.setAttribute(name, value);
  made.append(...inside);
  return made;
}

// `turn` takes a layer in or out; `told` is what was traced, or nothing yet.
export function drawingOver(picture, chosen, told, turn) {
  const [left, top, width, height] = picture.window;
  const corners = (told?.drawn ?? []).map(([x, y]) => [x - left, y - top]);
  const view = corners.length ? round(corners) : [0, 0, width, height];
  const air = Math.max(view[2], view[3]) * (corners.length ? 0.18 : 0.04);
  const box = [view[0] - air, view[1] - air, view[2] + 2 * air, view[3] + 2 * air];
  const svg = drawn("svg", { viewBox: box.join(" "), role: "img" });
  svg.setAttribute("aria-label", corners.length ? `The drawing, the traced outline of ${corners.length} corners over it` : "The drawing; its layers can be tapped");
  for (const { name, path } of picture.layers) {
    const isOn = chosen.includes(name);
    const title = drawn("title", {});
    title.textContent = name;
    const layer = drawn("g", { class: isOn ? "layer on" : "layer", "data-layer": name }, title, drawn("path", { d: path, class: "line" }), drawn("path", { d: path, class: "reach" }));
    layer.addEventListener("click", () => turn(name));
    svg.append(layer);
  }
  if (corners.length) svg.append(...over(corners, told.corners, Math.max(box[2], box[3])));
  return make("div", { id: "drawn", className: "drawn" }, svg);
}

function round(corners) {
  const [xs, ys] = [corners.map(([x]) => x), corners.map(([, y]) => y)];
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  return [left, top, Math.max(...xs) - left, Math.max(...ys) - top];
}

function over(corners, named, size) {
  const letter = size / 26;
  const middle = [0, 1].map((axis) => corners.reduce((sum, each) => sum + each[axis], 0) / corners.length);
  const marks = corners.flatMap(([x, y], number) => {
    const away = Math.hypot(x - middle[0], y - middle[1]) || 1;
    const said = drawn("text", { x: x + ((x - middle[0]) / away) * letter, y: y + ((y - middle[1]) / away) * letter + letter / 3, "font-size": letter, "text-anchor": "middle" });
    said.textContent = named[number].name;
    return [drawn("circle", { cx: x, cy: y, r: letter / 4 }), said];
  });
  return [drawn("g", { class: "traced" }, drawn("polygon", { points: corners.map((each) => each.join(",")).join(" ") }), ...marks)];
}
