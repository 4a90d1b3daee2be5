// The desk: the text of the job file, the questions about it, and the plan that follows.

import { Refused, get, page, post } from "./asking.js";
import { bringing } from "./brought.js";
import { chooser, oneMore } from "./buildings.js";
import { Fields, keepWhole, keyOf, make, setWords, valueAt } from "./fields.js";
import { showFigures, showNotices } from "./figures.js";
import { outline } from "./outline.js";
import { papers } from "./papers.js";
import { weighing } from "./weighed.js";
import { faultList, planSizes, planState, showPlan } from "./plan.js";

const BUILDING = "§building";
const at = (id) => document.getElementById(id);

const desk = {
  text: "",
  saved: "",
  mark: "",
  isNew: false,
  values: {},
  questions: null,
  names: { corners: [], walls: [], lines: [], pads: [] },
  corners: [],
  beside: "60'",
  files: [],
  made: [],
  faults: [],
  refused: new Map(),
  extra: new Map(),
  ways: new Map(),
  opened: new Set(),
  topic: "job",
  tracing: null,
  looked: null,
  building: 0,
};
const fields = new Fields(desk);
const pending = new Map();
let sending = null;
let drawing = false;
let drawnText = null;
let structure = "";
let focusNext = null;

// ---- answers: each waits under its place, so that of one field only the newest is sent.

desk.answer = (place, value, more = {}, focus = null) => {
  const key = keyOf(place);
  const now = valueAt(desk.values, place);
  if (value === null && now === undefined && !pending.has(key)) {
    desk.refused.delete(key);
    return showFaults();
  }
  pending.delete(key);
  pending.set(key, { place, value, ...more });
  desk.refused.delete(key);
  if (focus) focusNext = focus === true ? place : focus;
  // Where parts change places, nothing is typed until it is known which part is which.
  if (value === null && place.some((step) => typeof step === "number")) at("questions").inert = true;
  send();
};

// What the page waits for, for those who look after it.
function note() {
  document.body.dataset.busy = String(Boolean(sending) || pending.size > 0 || drawing);
}

function send() {
  note();
  sending ??= sendAll().finally(() => {
    sending = null;
    if (pending.size) send();
    else draw();
    note();
  });
  return sending;
}

async function sendAll() {
  while (pending.size) {
    const answers = [...pending.values()];
    pending.clear();
    try {
      take(await post("/answer", { text: desk.text, answers }));
    } catch (error) {
      return stop(error);
    }
  }
}

function take(told) {
  say("");
  if (at("questions").inert) {
    at("questions").inert = false;
    at("questions").focus({ preventScroll: true });
  }
  desk.text = told.text;
  if (told.values) desk.values = told.values;
  desk.readable = told.values !== null;
  for (const each of told.refused) desk.refused.set(keyOf(each.place), each);
  desk.faults = [...told.faults, ...told.refused];
  settle();
}

function settle() {
  const now = shapeOf();
  if (now !== structure || focusNext) rebuild(focusNext);
  else fields.update();
  focusNext = null;
  showFaults();
  showState();
}

// The structure of what is asked: keys and counts, not the answers themselves.
function shapeOf() {
  const bare = (value) => {
    if (Array.isArray(value)) return value.every((each) => each === null || typeof each !== "object") && value.length === 2 ? 0 : value.map(bare);
    if (value !== null && typeof value === "object") return Object.fromEntries(Object.entries(value).map(([key, each]) => [key, bare(each)]));
    return 0;
  };
  const building = base();
  const sets = ["walls", "openings", "interior", "pads", "sleeves", "corners", "rectangle", "sides"].map((key) => bare(valueAt(desk.values, [...building, key])));
  const buildings = Array.isArray(desk.values.buildings) ? desk.values.buildings.length : 0;
  return JSON.stringify([desk.topic, desk.building, buildings, sets, bare(desk.values.site), bare(desk.values.grade), bare(desk.values.order), bare(desk.values.weigh), desk.values.units]);
}

// ---- drawing

const REST = 200;
async function draw() {
  if (drawing) return;
  drawing = true;
  note();
  while (desk.text !== drawnText && !sending) {
    const text = desk.text;
    drawnText = text;
    if (desk.faults.length) {
      planState(lastGood(), true);
      continue;
    }
    planState("Drawing…", false);
    let told;
    try {
      told = await post("/draw", { text });
    } catch (error) {
      drawnText = null;
      planState(lastGood(), true);
      stop(error);
      break;
    }
    if (text !== desk.text) continue;
    drawn(told);
    if (told.faults.length) continue;
    // Figures may follow: who types on is not to wait for those of the key before.
    await new Promise((rested) => setTimeout(rested, REST));
    if (text !== desk.text) continue;
    try {
      const figures = await post("/figures", { text });
      if (text === desk.text) figured(figures);
    } catch (error) {
      stop(error);
    }
  }
  drawing = false;
  note();
  if (desk.text !== drawnText && !sending && drawnText !== null) draw();
}

function figured(told) {
  showFigures(told, desk.opened);
  if (!told.faults.length) return;
  desk.faults = told.faults;
  showFaults();
}

function drawn(told) {
  if (told.faults.length) {
    desk.faults = told.faults;
    planState(lastGood(), true);
    showFaults();
    return;
  }
  const before = JSON.stringify(desk.names);
  desk.names = told.names;
  desk.corners = told.corners;
  desk.beside = told.beside;
  showPlan(told, openTouched);
  showNotices(told);
  planState("As answered.", false);
  at("plan").dataset.drawn = String(Number(at("plan").dataset.drawn ?? 0) + 1);
  if (JSON.stringify(desk.names) !== before) {
    lists();
    if (!at("questions").contains(document.activeElement) || document.activeElement === at("questions")) rebuild(null);
    else structure = "";
  }
  showFaults();
}

const lastGood = () => (at("plan").firstChild ? "This is the last good picture: something is to be mended first." : "There is no picture yet: something is to be mended first.");

// ---- questions

function base() {
  if (!Array.isArray(desk.values.buildings)) return ["building"];
  return desk.building === "all" ? [] : ["buildings", Math.min(desk.building, desk.values.buildings.length - 1)];
}

const placeOf = (asked) => (asked[0] === BUILDING ? [...base(), ...asked.slice(1)] : asked);

desk.rebuild = (focus = null) => rebuild(focus);

function rebuild(focus) {
  const active = document.activeElement;
  const keep = focus ? null : at("questions").contains(active) ? active.id : null;
  const typed = keep && active.selectionStart !== undefined ? [active.value, active.selectionStart] : null;
  structure = shapeOf();
  at("desk").className = ["weigh", "away"].includes(desk.topic) ? "wide" : "";
  fields.clear();
  const topics = desk.questions.topics;
  const topic = topics.find((each) => each.key === desk.topic);
  const made = topic ? questionsOf(topic) : { text: textOf, away: () => [...papers(desk), stepper()] }[desk.topic]();
  at("questions").replaceChildren(...made);
  if (keep && at(keep)) {
    at(keep).focus();
    if (typed && ["INPUT", "TEXTAREA"].includes(at(keep).tagName) && at(keep).type !== "file") {
      at(keep).value = typed[0];
      if (at(keep).type !== "checkbox") at(keep).setSelectionRange(typed[1], typed[1]);
    }
  }
  showFaults();
  if (focus) focusOn(focus);
}

function questionsOf(topic) {
  const made = [make("h2", { text: topic.title })];
  if (topic.hint) made.push(make("p", { className: "hint", text: topic.hint }));
  if (desk.isNew && topic.key === "job") made.push(make("p", { className: "hint", text: "A plain rectangle stands there to begin with. Put your own figures in, one heading after the other, and leave out what the job does not have; the plan follows beside. Papers and files makes what you take to the site." }));
  if (!desk.readable) return [...made, make("p", { text: "The file's text cannot be read as it stands; mend it under “The file's text”." }), stepper()];
  if (topic.asked.some(([first]) => first === BUILDING)) made.push(chooser(desk));
  for (const asked of topic.asked) {
    const place = placeOf(asked);
    if (place.at(-1) === "§outline") {
      if (base().length) made.push(outline(fields, base()));
      continue;
    }
    const node = fields.schemaAt(place);
    if (!node) continue;
    const model = asked[0] === BUILDING ? "BuildingKeys" : "";
    const whole = topic.asked.length === 1 && asked.length === 1;
    if (whole) {
      const [body, name] = fields.resolved(node);
      made.push(fields.faultOf(place), ...fields.keys(place, body, name));
    } else made.push(fields.field(place, node, model));
  }
  if (topic.key === "weigh") made.splice(2, 0, weighing(desk));
  if (topic.key === "building") made.push(oneMore(desk));
  return [...made.filter(Boolean), stepper()];
}

const keysOfTopics = () => [...desk.questions.topics.map((each) => each.key), "away", "text"];

function stepper() {
  const keys = keysOfTopics();
  const here = keys.indexOf(desk.topic);
  const to = (key, text) => key && make("button", { type: "button", text: `${text}: ${titleOf(key)}`, onclick: () => go(key) });
  return make("p", { className: "buttons steps" }, to(keys[here - 1], "Back"), to(keys[here + 1], "Next"));
}

const titleOf = (key) => desk.questions.topics.find((each) => each.key === key)?.title ?? { away: "Papers and files", text: "The file's text" }[key];

function go(key, focus = null) {
  desk.topic = key;
  rebuild(focus);
  topics();
  if (!focus) {
    at("questions").focus({ preventScroll: true });
    at("questions").scrollTop = 0;
  }
}

function topics() {
  const made = keysOfTopics().map((key) => {
    const count = desk.faults.filter((each) => each.place.length && topicOf(each.place) === key).length;
    const mark = count ? make("span", { className: "count", text: String(count) }, make("span", { className: "unseen", text: " to mend" })) : null;
    return make("li", {}, make("button", { type: "button", "aria-current": key === desk.topic ? "page" : null, onclick: () => go(key) }, titleOf(key), mark));
  });
  const held = [...at("topics").querySelectorAll("button")].indexOf(document.activeElement);
  at("topics").replaceChildren(...made);
  if (held >= 0) at("topics").querySelectorAll("button")[held]?.focus();
}

// Which topic asks for a place of the file.
function topicOf(place) {
  const inBuilding = place[0] === "building" || place[0] === "buildings";
  const inner = place[0] === "building" ? place.slice(1) : place[0] === "buildings" ? place.slice(2) : place;
  const found = desk.questions.topics.find((topic) =>
    topic.asked.some((asked) => {
      if (asked[0] !== BUILDING) return !inBuilding && asked[0] === place[0];
      if (asked[1] === "§outline") return inBuilding && (!inner.length || ["rectangle", "sides", "corners"].includes(inner[0]));
      return asked[1] === inner[0];
    }),
  );
  return found?.key ?? "text";
}

function goTo(place) {
  if (place[0] === "buildings" && typeof place[1] === "number") desk.building = place[1];
  go(topicOf(place), place);
}

function focusOn(place) {
  for (let length = place.length; length > 0; length -= 1) {
    const inner = place.slice(0, length);
    const found = at(`f${keyOf(inner)}`) ?? at(`g${keyOf(inner)}`) ?? (["rectangle", "sides", "corners"].includes(inner.at(-1)) ? at(`f${keyOf([...inner.slice(0, -1), "§outline"])}`) : null);
    if (!found) continue;
    for (let outer = found.parentElement; outer; outer = outer.parentElement) if (outer.tagName === "DETAILS") outer.open = true;
    const target = found.tagName === "FIELDSET" && length === place.length ? (found.querySelector("input, select, textarea") ?? found) : found;
    target.focus();
    found.scrollIntoView({ block: "nearest" });
    return;
  }
}

function openTouched(touched) {
  const list = Array.isArray(desk.values.buildings);
  if (list && touched.building !== null) desk.building = touched.building;
  const own = base();
  const { kind, name } = touched;
  if (kind === "corner") {
    const place = [...own, "corners", name];
    return go("building", valueAt(desk.values, place) === undefined ? [...own, "§outline"] : place);
  }
  if (kind === "wall") {
    const key = keyOf([...own, "walls"]);
    const given = valueAt(desk.values, [...own, "walls"]) ?? {};
    const turned = name.split("-").reverse().join("-");
    const called = turned in given ? turned : name;
    const extra = desk.extra.get(key) ?? [];
    if (!(called in given) && !extra.includes(called)) desk.extra.set(key, [...extra, called]);
    return go("walls", [...own, "walls", called]);
  }
  const part = kind === "pad" ? "pads" : "interior";
  const found = (valueAt(desk.values, [...own, part]) ?? []).findIndex((each) => each?.name === name || (each?.count && name.startsWith(each.name)));
  go(kind === "pad" ? "pads" : "inside", [...own, part, Math.max(found, 0)]);
}

// ---- faults

function showFaults() {
  for (const each of fields.open.values()) {
    each.fault.hidden = true;
    each.fault.textContent = "";
    each.input?.removeAttribute("aria-invalid");
  }
  const all = [...desk.faults, ...[...desk.refused.values()].filter((each) => !desk.faults.includes(each))];
  for (const fault of all) {
    for (let length = fault.place.length; length > 0; length -= 1) {
      const found = fields.open.get(keyOf(fault.place.slice(0, length)));
      if (!found) continue;
      setWords(found.fault, [found.fault.textContent, fault.text].filter(Boolean).join(" "));
      found.fault.hidden = false;
      found.input?.setAttribute("aria-invalid", "true");
      break;
    }
  }
  faultList(all.map((each) => ({ ...each, name: fields.placeInWords(each.place) })), goTo);
  topics();
}

desk.go = (key, focus = null) => go(key, focus);
desk.lists = lists;
desk.note = note;
desk.settled = async () => sending;
desk.taken = (told) => {
  take(told);
  draw();
};

function lists() {
  const fill = (id, names) => {
    const list = at(id) ?? document.body.appendChild(make("datalist", { id }));
    list.replaceChildren(...names.map((each) => make("option", { value: each })));
  };
  fill("names-walls", [...desk.names.walls, ...desk.names.lines]);
  fill("names-corners", [...desk.names.corners, ...desk.names.pads]);
  fill("names-files", desk.files);
}

// ---- the file's text

function textOf() {
  const area = make("textarea", { id: "text", rows: 28, spellcheck: false, value: desk.text });
  area.addEventListener("input", () => {
    pending.clear();
    desk.text = area.value;
    again();
  });
  return [make("h2", { text: "The file's text" }), make("label", { htmlFor: "text", text: "What Save writes; whatever is changed here is asked for anew" }), area, stepper()];
}

let waiting = 0;
function again() {
  clearTimeout(waiting);
  waiting = setTimeout(async () => {
    await sending;
    try {
      const told = await post("/answer", { text: desk.text, answers: [] });
      if (told.text !== desk.text) return again();
      take(told);
      draw();
    } catch (error) {
      stop(error);
    }
  }, 150);
}

// ---- saving

desk.isUnsaved = () => isUnsaved();
desk.save = () => save();

const isUnsaved = () => desk.isNew || desk.text !== desk.saved;

function showState() {
  const said = desk.isNew ? "Not on file yet." : isUnsaved() ? "Not saved." : "Saved.";
  if (at("state").textContent !== said) at("state").textContent = said;
  at("state").className = isUnsaved() ? "unsaved" : "";
  at("back-to-file").disabled = desk.text === desk.saved;
}

async function save(anyway = false) {
  await sending;
  const text = desk.text;
  try {
    const told = await post("/save", { text, mark: desk.mark, anyway });
    desk.mark = told.mark;
    desk.saved = text;
    desk.isNew = false;
    at("conflict").hidden = true;
    say("");
    showState();
    return true;
  } catch (error) {
    if (error.status === 409) conflict(error.told, text);
    else say(error.message);
    return false;
  }
}

function conflict(told, text) {
  at("theirs").value = told.text;
  at("mine").value = text;
  at("conflict").hidden = false;
  at("over").onclick = () => {
    desk.mark = told.mark;
    save(true);
  };
  at("take").onclick = () => {
    at("conflict").hidden = true;
    desk.saved = told.text;
    desk.mark = told.mark;
    desk.isNew = false;
    startOver(told.text);
  };
  at("later").onclick = () => {
    at("conflict").hidden = true;
    at("save").focus();
  };
  at("over").focus();
}

async function startOver(text) {
  pending.clear();
  document.body.dataset.busy = "true";
  await sending;
  desk.extra.clear();
  desk.ways.clear();
  desk.refused.clear();
  structure = "";
  try {
    take(await post("/answer", { text, answers: [] }));
    draw();
  } catch (error) {
    stop(error);
  }
  note();
}

function say(text) {
  at("stop").textContent = text;
  at("stop").hidden = !text;
}

function stop(error) {
  at("questions").inert = false;
  if (!(error instanceof Refused)) throw error;
  say(error.message);
}

// ---- beginning and end

const hello = () => post("/hello", { page }).catch(stop);
window.addEventListener("pageshow", (event) => event.persisted && hello());
window.addEventListener("pagehide", () => {
  post("/goodbye", { page, unsaved: desk.text !== desk.saved }, { keepalive: true }).catch(() => {});
});
window.addEventListener("beforeunload", (event) => {
  if (desk.text !== desk.saved) event.preventDefault();
});
window.addEventListener("keydown", (event) => {
  if ((event.ctrlKey || event.metaKey) && event.key === "s") {
    event.preventDefault();
    save();
  }
});
at("save").addEventListener("click", () => save());
at("back-to-file").addEventListener("click", () => startOver(desk.saved));

async function start() {
  try {
    const [questions, job] = await Promise.all([get("/questions"), get("/job")]);
    await hello();
    desk.questions = questions;
    keepWhole(questions.unbroken);
    desk.saved = job.text;
    desk.mark = job.mark;
    desk.isNew = job.is_new;
    desk.files = job.files;
    desk.made = job.made;
    desk.folder = job.folder;
    at("file").textContent = job.name;
    document.title = `${job.name} - desk`;
    lists();
    desk.readable = true;
    await startOver(job.draft ?? job.text);
  } catch (error) {
    at("questions").replaceChildren();
    stop(error);
  }
}

planSizes();
bringing(desk);
start();
