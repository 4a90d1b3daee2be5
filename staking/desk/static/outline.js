// The outline: by shape, by sides or by corners.

import { nameOf } from "./buildings.js";
import { newTrace, tracing } from "./drawing.js";
import { keyOf, make, valueAt } from "./fields.js";

const SHAPES = {
  L: ["east 30'", "north 20'", "west 12'", "north 10'", "west 18'", "south 30'"],
  T: ["east 36'", "north 12'", "west 12'", "north 16'", "west 12'", "south 16'", "west 12'", "south 12'"],
  U: ["east 36'", "north 24'", "west 12'", "south 12'", "west 12'", "north 12'", "west 12'", "south 24'"],
};
const METRIC = { "36'": "11 m", "30'": "9 m", "24'": "7.2 m", "28'": "8.4 m", "20'": "6 m", "18'": "5.4 m", "16'": "4.8 m", "12'": "3.6 m", "10'": "3 m" };
const METRIC_WIDE = { ...METRIC, "36'": "10.8 m" };

export function outline(fields, base) {
  const desk = fields.desk;
  const building = valueAt(desk.values, base) ?? {};
  const way = ["rectangle", "sides", "corners"].find((key) => key in building) ?? "rectangle";
  const metric = ["m", "mm"].includes(desk.values.units);
  const made = make("fieldset", { className: "group", id: `f${keyOf([...base, "§outline"])}`, tabIndex: -1 }, make("legend", { text: "Outline" }));
  made.append(fields.faultOf([...base, way]));
  const choose = (name, value) => {
    desk.tracing = null;
    return desk.answer([...base, name], value, { instead_of: name === way ? undefined : way }, true);
  };
  const isNow = (name) => name === way && name in building && !desk.tracing;
  // What is there already is only shown again.
  const turnTo = (name, value) => {
    if (name !== way || !(name in building)) return choose(name, value);
    desk.tracing = null;
    desk.rebuild();
  };
  const buttons = [
    ["Rectangle", isNow("rectangle"), () => turnTo("rectangle", metric ? "11 m x 7.5 m" : "36' x 24'")],
    ...Object.entries(SHAPES).map(([name, sides]) => [`${name} shape`, false, () => choose("sides", metric ? sides.map((each) => each.replace(/\S+$/, (length) => METRIC_WIDE[length])) : sides)]),
    ["Side by side", isNow("sides"), () => turnTo("sides", sidesOf(building, metric))],
    ["By corners", isNow("corners"), () => turnTo("corners", cornersOf(desk, base))],
    ["From a drawing", Boolean(desk.tracing), () => {
      desk.tracing = newTrace("");
      desk.rebuild();
    }],
  ];
  made.append(
    make("div", { className: "shapes", role: "group", "aria-label": "Shape" }, ...buttons.map(([text, isOn, go]) => make("button", { type: "button", text, "aria-pressed": String(isOn), onclick: () => (isOn ? null : go()) }))),
  );
  if (desk.tracing) made.append(...tracing(desk, base, way));
  else made.append(...{ rectangle, sides, corners }[way](fields, base, building));
  return made;
}

function rectangle(fields, base, building) {
  const place = [...base, "rectangle"];
  const parts = String(building.rectangle ?? "").split(/\s*[x×]\s*/);
  const boxes = [];
  const send = () => fields.desk.answer(place, boxes.map((each) => each.value.trim()).join(" x "));
  const made = ["Along x, from A to B", "Along y, from B to C"].map((label, number) => {
    const id = `f${keyOf([...place, number])}`;
    const input = make("input", { type: "text", id, autocomplete: "off", value: parts[number] ?? "" });
    input.addEventListener("input", () => boxes.every((each) => each.value.trim()) && send());
    boxes.push(input);
    return make("div", { className: "field" }, make("label", { htmlFor: id, text: label }), input);
  });
  fields.register([...place, "§both"], null, make("p", {}), () => {
    const now = String(valueAt(fields.desk.values, place) ?? "").split(/\s*[x×]\s*/);
    boxes.forEach((box, number) => {
      if (!boxes.includes(document.activeElement)) box.value = now[number] ?? "";
    });
  });
  return made;
}

function sides(fields, base, building) {
  const place = [...base, "sides"];
  const given = Array.isArray(building.sides) ? building.sides : [];
  const made = [make("p", { className: "hint", text: "Walked from corner A at 0, 0: a direction and a length, such as east 36' or N 14 30 00 E 36'. The last one comes back to A." })];
  given.forEach((_, number) => {
    const inner = [...place, number];
    const row = fields.text(inner, { label: `Side ${number + 1}`, hint: "" }, { isList: false });
    row.append(fields.remove(inner, `side ${number + 1}`, () => {}));
    made.push(row);
  });
  made.push(make("button", { type: "button", id: `add${keyOf(place)}`, text: "Add: side", onclick: () => fields.desk.answer([...place, given.length], "west 1'", {}, [...place, given.length]) }));
  return made;
}

function corners(fields, base, building) {
  const place = [...base, "corners"];
  const given = building.corners !== null && typeof building.corners === "object" ? Object.keys(building.corners) : [];
  const made = [make("p", { className: "hint", text: "In order round the building, either way: x and y of each." })];
  for (const name of given) {
    const inner = [...place, name];
    const row = fields.text(inner, { label: `Corner ${name}`, hint: "" }, { isList: true, must: true, pair: true });
    row.append(fields.remove(inner, `corner ${name}`, () => {}));
    made.push(row);
  }
  const next = () => {
    let letter = 0;
    while (given.includes(nameOf(letter))) letter += 1;
    const last = building.corners?.[given.at(-1)];
    const place_of_new = [...place, nameOf(letter)];
    const at = Array.isArray(last) ? [last[0], last[1]] : ["0", "0"];
    fields.desk.answer(place_of_new, at, {}, place_of_new);
  };
  made.push(make("button", { type: "button", id: `add${keyOf(place)}`, text: "Add: corner", onclick: next }));
  return made;
}

function sidesOf(building, metric) {
  const parts = String(building.rectangle ?? "").split(/\s*[x×]\s*/);
  if (parts.length === 2 && parts.every(Boolean)) return [`east ${parts[0]}`, `north ${parts[1]}`, `west ${parts[0]}`, `south ${parts[1]}`];
  return metric ? ["east 11 m", "north 7.5 m", "west 11 m", "south 7.5 m"] : ["east 36'", "north 24'", "west 36'", "south 24'"];
}

function cornersOf(desk, base) {
  const number = typeof base[1] === "number" ? base[1] : 0;
  const found = desk.corners[number] ?? [];
  if (!found.length) return { A: ["0", "0"], B: ["36'", "0"], C: ["36'", "24'"], D: ["0", "24'"] };
  return Object.fromEntries(found.map((each) => [each.name, [each.x, each.y]]));
}
