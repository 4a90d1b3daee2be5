// Files brought to the form, chosen or dropped: copied beside the job, looked at, and then used.

import { post, sendFile } from "./asking.js";
import { askTrace, newTrace } from "./drawing.js";
import { make } from "./fields.js";
import { block } from "./figures.js";

const SVG = "http://www.w3.org/2000/svg";
const at = (id) => document.getElementById(id);

export function bringing(desk) {
  // `kind` is drawing, survey or prices; without one it is told by the name, or asked.
  desk.bring = async (file, kind = null, said = at("brought-said")) => {
    if (said === at("brought-said")) open(desk, `${file.name} is being copied beside the job.`);
    else said.textContent = "The file is being copied beside the job.";
    try {
      // A folder, or a file that is gone by now, has nothing to send.
      await file.slice(0, 1).arrayBuffer();
    } catch {
      said.textContent = `${file.name} cannot be read: bring a file, not a folder.`;
      return;
    }
    try {
      const { name } = await sendFile(file);
      if (!desk.files.includes(name)) desk.files.push(name);
      desk.lists();
      await use(desk, name, kind ?? kindOf(name));
    } catch (error) {
      if (said.isConnected) said.textContent = error.message;
    }
  };
  desk.looking = (place) => looked(desk, place);
  at("brought-leave").addEventListener("click", () => close(desk));
  dropping(desk);
}

function kindOf(name) {
  if (/\.(dxf|dwg)$/i.test(name)) return "ask";
  return /\.ya?ml$/i.test(name) ? "prices" : "survey";
}

async function use(desk, name, kind) {
  if (kind === "ask") return ask(desk, name);
  close(desk);
  if (kind === "prices") {
    desk.answer(["order", "prices"], name);
    return desk.go("order", ["order", "prices"]);
  }
  if (kind === "drawing") {
    desk.tracing = newTrace(name);
    desk.go("building");
    return askTrace(desk);
  }
  desk.looked = { name };
  desk.go("lot");
  try {
    const { units, site } = desk.values;
    desk.looked.told = await post("/look", { name, unit: site?.units, units: units ?? "ft" });
  } catch (error) {
    desk.looked.said = `${name} stands beside the job now. ${error.message}`;
  }
  desk.rebuild();
  at("looked")?.scrollIntoView({ block: "nearest" });
}

function ask(desk, name) {
  const button = (text, kind) => make("button", { type: "button", text, onclick: () => use(desk, name, kind) });
  open(desk, `${name} stands beside the job now. What is drawn in it?`, button("The building's outline", "drawing"), button("The lot, as surveyed", "survey"));
}

function open(desk, text, ...buttons) {
  at("brought-said").textContent = text;
  at("brought-ways").replaceChildren(...buttons);
  at("brought").hidden = false;
  buttons[0]?.focus();
}

function close() {
  at("brought").hidden = true;
}

function dropping(desk) {
  const isFile = (event) => [...(event.dataTransfer?.types ?? [])].includes("Files");
  const mark = (isOver) => document.body.classList.toggle("over", isOver);
  document.addEventListener("dragover", (event) => {
    if (!isFile(event)) return;
    event.preventDefault();
    mark(true);
  });
  document.addEventListener("dragleave", (event) => event.relatedTarget === null && mark(false));
  document.addEventListener("drop", (event) => {
    if (!isFile(event)) return;
    event.preventDefault();
    mark(false);
    const files = [...event.dataTransfer.files];
    if (files.length === 1) desk.bring(files[0]);
    else open(desk, "Bring one file at a time, so that each can be looked at.");
  });
}

// A survey or a deed that was copied beside the job, shown before it is used.
function looked(desk, place) {
  const { name, told, said } = desk.looked;
  const leave = () => {
    desk.looked = null;
  };
  const survey = () => {
    leave();
    desk.answer(place, name, {}, true);
  };
  const deed = () => {
    const lines = told.deed.replace(/;[ \t]*(?=thence)/gi, ";\n").split("\n").map((each) => each.trim()).filter(Boolean);
    const boundary = [...place.slice(0, -1), "boundary"];
    leave();
    desk.answer(boundary, { deed: /thence/i.test(told.deed) ? lines.join("\n") + "\n" : lines }, {}, [...boundary, "deed"]);
  };
  const map = told?.points?.length > 1 ? surveyOf(told.points, name) : told?.map.length ? make("pre", { tabIndex: 0, role: "img", "aria-label": `Map of ${name}, north up`, text: told.map.join("\n") }) : null;
  const question = told?.deed === undefined ? "Is this the lot?" : "It holds the courses of a lot. Is this the lot?";
  return make(
    "section",
    { className: "card", id: "looked", "aria-label": name },
    make("p", { text: said ?? (told ? `${name} stands beside the job now. ${question}` : `${name} stands beside the job now, and is being read.`) }),
    map,
    told?.ring?.length ? lotOf(told.ring, name) : null,
    ...(told?.blocks ?? []).map(block),
    ...(told?.faults ?? []).map((text) => make("p", { className: "fault", text })),
    make("p", { className: "buttons" }, useOf(told, survey, deed), make("button", { type: "button", text: "Leave it beside the job", onclick: () => {
      leave();
      desk.rebuild();
    } })),
  );
}

function useOf(told, survey, deed) {
  if (told?.deed === undefined) return make("button", { type: "button", className: "main", text: "Use this survey", onclick: survey });
  return make("button", { type: "button", className: "main", text: "Use this deed", onclick: deed });
}

// The points of a survey, north up: corners of the lot, control, and every shot as a dot.
function surveyOf(points, name) {
  const [xs, ys] = [points.map(({ at: [east] }) => east), points.map(({ at: [, north] }) => -north)];
  const [left, top, right, foot] = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
  const size = Math.max(right - left, foot - top) || 1;
  const air = size / 10, unit = size / 100;
  const svg = document.createElementNS(SVG, "svg");
  svg.setAttribute("viewBox", [left - air, top - air, right - left + 2 * air, foot - top + 2 * air].join(" "));
  svg.setAttribute("role", "img");
  svg.setAttribute("aria-label", `Map of ${name}, north up: ${points.length} points`);
  const signs = {
    "corner of the lot": (x, y) => `M${x - unit},${y - unit}h${2 * unit}v${2 * unit}h${-2 * unit}z`,
    control: (x, y) => `M${x},${y - 1.4 * unit}l${1.3 * unit},${2.2 * unit}h${-2.6 * unit}z`,
    shot: (x, y) => `M${x - unit / 3},${y}h${(2 * unit) / 3}M${x},${y - unit / 3}v${(2 * unit) / 3}`,
  };
  const group = document.createElementNS(SVG, "g");
  group.setAttribute("class", "surveyed");
  points.forEach(({ use, name: own }, number) => {
    const sign = document.createElementNS(SVG, "path");
    sign.setAttribute("d", (signs[use] ?? signs.shot)(xs[number], ys[number]));
    group.append(sign);
    if (use === "shot" && points.length > 40) return;
    const text = document.createElementNS(SVG, "text");
    text.setAttribute("x", xs[number] + 1.8 * unit);
    text.setAttribute("y", ys[number] - 0.8 * unit);
    text.setAttribute("font-size", 3.4 * unit);
    text.textContent = own;
    group.append(text);
  });
  svg.append(group);
  const key = "North is up. A square is a corner of the lot, a triangle control, a dot any other point.";
  return make("div", { className: "drawn" }, svg, make("p", { className: "hint", text: key }));
}

// The courses of a deed as they run, north up.
function lotOf(ring, name) {
  const [xs, ys] = [ring.map(([east]) => east), ring.map(([, north]) => -north)];
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  const size = Math.max(Math.max(...xs) - left, Math.max(...ys) - top) || 1;
  const air = size / 8;
  const svg = document.createElementNS(SVG, "svg");
  svg.setAttribute("viewBox", [left - air, top - air, Math.max(...xs) - left + 2 * air, Math.max(...ys) - top + 2 * air].join(" "));
  svg.setAttribute("role", "img");
  svg.setAttribute("aria-label", `Map of ${name}, north up: ${ring.length} courses`);
  const shape = document.createElementNS(SVG, "polygon");
  shape.setAttribute("points", xs.map((x, number) => `${x},${ys[number]}`).join(" "));
  const marks = xs.map((x, number) => {
    const text = document.createElementNS(SVG, "text");
    const [dx, dy] = [x - left - (Math.max(...xs) - left) / 2, ys[number] - top - (Math.max(...ys) - top) / 2];
    const away = Math.hypot(dx, dy) || 1;
    text.setAttribute("x", x + (dx / away) * air * 0.5);
    text.setAttribute("y", ys[number] + (dy / away) * air * 0.5 + size / 60);
    text.setAttribute("font-size", size / 20);
    text.setAttribute("text-anchor", "middle");
    text.textContent = String(number + 1);
    return text;
  });
  const group = document.createElementNS(SVG, "g");
  group.setAttribute("class", "traced");
  group.append(shape, ...marks);
  svg.append(group);
  return make("div", { className: "drawn" }, svg);
}
