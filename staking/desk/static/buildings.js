// Which building is asked about, and another beside it.

import { make } from "./fields.js";

export function chooser(desk) {
  const list = desk.values.buildings;
  if (!Array.isArray(list)) return null;
  const names = list.map((each, number) => each?.name ?? `Building ${number + 1}`);
  const pick = make("select", { id: "which-building" }, ...names.map((text, number) => make("option", { value: String(number), text })), make("option", { value: "all", text: "What holds for all of them" }));
  pick.value = String(desk.building === "all" ? "all" : Math.min(desk.building, list.length - 1));
  pick.addEventListener("change", () => {
    desk.building = pick.value === "all" ? "all" : Number(pick.value);
    desk.tracing = null;
    desk.rebuild();
  });
  return make("div", { className: "field" }, make("label", { htmlFor: "which-building", text: "Building" }), pick);
}

// Under the outline: a building more, or this one out.
export function oneMore(desk) {
  const list = Array.isArray(desk.values.buildings) ? desk.values.buildings : null;
  const count = list ? list.length : 1;
  const add = make("button", { type: "button", id: "add-building", text: "Add a building beside it", onclick: () => {
    desk.building = count;
    desk.tracing = null;
    desk.answer(["buildings", count], another(desk, count), {}, ["buildings", count, "name"]);
  } });
  const gone = list && count > 1 && desk.building !== "all" ? make("button", { type: "button", className: "take-out", text: `Take out ${list[desk.building]?.name ?? `building ${desk.building + 1}`}`, onclick: () => {
    const number = desk.building;
    desk.building = 0;
    desk.answer(["buildings", number], null);
  } }) : null;
  return make("fieldset", { className: "group" }, make("legend", { text: "Another building" }), make("p", { className: "hint", text: "A garage, a porch or a lean-to with footings of its own, on the same x and y. A building that stands there already is named under The lot, stay clear of; one that this one is built against under Walls that differ, existing." }), make("p", { className: "buttons" }, add, gone));
}

// A small square east of what there is, with the sizes of the first one; its names clash with none.
function another(desk, count) {
  const metric = ["m", "mm"].includes(desk.values.units);
  const first = desk.values.building ?? desk.values.buildings?.[0] ?? {};
  const taken = new Set([...Object.values(desk.names).flat(), ...(desk.values.buildings ?? []).map((each) => each?.name)]);
  let number = count + 1;
  while (taken.has(`building_${number}`)) number += 1;
  const made = { name: `building_${number}`, at: [desk.beside, "0"] };
  const side = metric ? "3.6 m" : "12'";
  const automatic = desk.names.corners.length;
  const letters = [0, 1, 2, 3].map((each) => nameOf(automatic + each));
  if (letters.some((each) => taken.has(each))) made.corners = cornersOf(freeNames(taken), side);
  else made.rectangle = `${side} x ${side}`;
  for (const key of ["wall", "footing"]) if (first[key] !== undefined && first[key] !== null) made[key] = first[key];
  return made;
}

const cornersOf = ([a, b, c, d], side) => ({ [a]: ["0", "0"], [b]: [side, "0"], [c]: [side, side], [d]: ["0", side] });

function freeNames(taken) {
  const found = [];
  for (let index = 0; found.length < 4; index += 1) if (!taken.has(nameOf(index))) found.push(nameOf(index));
  return found;
}

export function nameOf(index) {
  let name = "";
  for (let left = index + 1; left > 0; left = Math.floor((left - 1) / 26)) name = String.fromCharCode(65 + ((left - 1) % 26)) + name;
  return name;
}
