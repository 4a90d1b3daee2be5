// Fields made from the job file's schema: each takes what the file takes.

const WAYS = {
  FitKeys: "corners that stand at surveyed stakes",
  ByTapeKeys: "two corners by two tapes each",
  AlongKeys: "along a surveyed line",
  ByBearingKeys: "one corner and a bearing",
  RodKeys: "rod readings",
  LevelBookKeys: "a level book",
  SurfaceKeys: "a surface of the survey",
  CloudKeys: "a point cloud or height grid",
  DeedKeys: "a deed or plat",
  ExistingKeys: "what is known of it",
  MortarKeys: "what the maker states",
  "§map": "figures by name",
  "§list": "a list",
  "§word": "in a word",
  "§object": "figure by figure",
};

// What a way is called where its general name says too little.
const WAYS_OF = {
  ground: { "§word": "a survey", "§map": "elevations at corners and along walls" },
  finished: { "§word": "existing, or so much over or under it", "§map": "elevations at corners and along walls" },
  boundary: { "§list": "points of the survey, in order" },
  top_of_wall: { "§object": "from one height to another", "§list": "these heights" },
};

// Elevations and readings are asked for at every corner.
const AT_CORNERS = ["ground", "finished", "rod"];

const MAIN = {
  SiteKeys: ["survey", "units", "place", "boundary", "setbacks", "overhang", "buried", "stay_clear"],
  GradeKeys: ["ground", "finished", "benchmark", "top_of_wall", "frost_depth", "course", "steps"],
  OrderKeys: ["waste", "truck", "discharge_limit", "minutes_per_load", "steel", "block", "wall_height"],
  PadKeys: ["name", "at", "size", "diameter", "thickness"],
  SteelKeys: ["bars", "size", "cover", "lap", "stock", "dowels"],
  WallKeys: ["wall", "footing", "existing"],
  DeedKeys: ["deed", "pins"],
  TapeKeys: ["length", "error"],
};

const NAMED_FIRST = ["name", "wall", "from", "to", "at"];

// Lengths, angles and walls' names are never torn over two lines.
let whole = null;
export const keepWhole = (pattern) => (whole = new RegExp(pattern, "g"));

export function setWords(node, text) {
  if (!whole || ["OPTION", "TITLE", "TEXTAREA", "PRE"].includes(node.tagName)) return (node.textContent = text);
  const made = [];
  let last = 0;
  for (const found of String(text).matchAll(whole)) {
    const kept = document.createElement("span");
    kept.className = "n";
    kept.textContent = found[0];
    made.push(String(text).slice(last, found.index), kept);
    last = found.index + found[0].length;
  }
  node.replaceChildren(...made, String(text).slice(last));
  return text;
}

export function make(tag, given = {}, ...inside) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(given)) {
    if (value === undefined || value === null || value === false) continue;
    if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
    else if (name === "text") setWords(made, value);
    else if (name in made && name !== "list" && name !== "form") made[name] = value;
    else made.setAttribute(name, value);
  }
  made.append(...inside.filter((each) => each !== null && each !== undefined));
  return made;
}

export const keyOf = (place) => JSON.stringify(place);

export function valueAt(values, place) {
  let found = values;
  for (const step of place) {
    if (found === null || typeof found !== "object") return undefined;
    found = found[step];
  }
  return found === null ? undefined : found;
}

const isObject = (value) => value !== null && typeof value === "object" && !Array.isArray(value);

export class Fields {
  // `desk` gives: values, questions, names, extra (cards opened and not yet in the file), ways,
  // answer(place, value, more), rebuild().
  constructor(desk) {
    this.desk = desk;
    this.open = new Map();
  }

  get schema() {
    return this.desk.questions.schema;
  }

  clear() {
    this.open.clear();
  }

  resolved(node) {
    let name = "";
    let found = node;
    while (found.$ref) {
      name = found.$ref.split("/").pop();
      found = { ...this.schema.$defs[name], description: node.description };
    }
    return [found, name];
  }

  schemaAt(place) {
    let node = this.schema;
    for (const step of place) {
      [node] = this.resolved(node);
      if (typeof step === "number") node = node.items;
      else node = node.properties?.[step] ?? node.additionalProperties;
      if (!node) return null;
    }
    return node;
  }

  // A place in the words of its fields, as in "Levels, Top of wall".
  placeInWords(place) {
    let node = this.schema;
    const words = [];
    for (const step of place) {
      const [body, model] = node ? this.resolved(node) : [{}, ""];
      const ways = [[body, model], ...[...(body.oneOf ?? []), ...(body.anyOf ?? [])].map((way) => this.resolved(way))];
      const found = ways.find(([way]) => (typeof step === "number" ? way.items : way.properties?.[step]));
      node = found ? (typeof step === "number" ? found[0].items : found[0].properties[step]) : ways.map(([way]) => way.additionalProperties).find(isObject);
      if (typeof step === "number") words.push(String(step + 1));
      else if (step !== "building") words.push(found ? this.label(step, found[1]) : step);
    }
    return words.join(", ");
  }

  label(key, model) {
    const words = this.desk.questions.words;
    if (key === "wall" && ["BuildingKeys", "WallKeys", "InteriorKeys", ""].includes(model)) return words["wall:thickness"];
    const plain = key.replaceAll("_", " ");
    return words[`${model}.${key}`] ?? words[key] ?? plain[0].toUpperCase() + plain.slice(1);
  }

  leftOut(model, key) {
    const table = this.desk.questions.left_out;
    return table[model]?.[key] ?? (model === "" ? table.HeadKeys?.[key] : undefined);
  }

  hint(node, model, key, place) {
    const about = this.desk.questions.hints[model]?.[key] ?? node.description;
    const said = [about && (about.endsWith(".") ? about : `${about[0].toUpperCase()}${about.slice(1)}.`)].filter(Boolean);
    const inherits = model === "FootingKeys" && key !== "outside" && place.some((step) => ["walls", "interior"].includes(step));
    const out = inherits ? "the building's" : this.leftOut(model, key);
    if (out) said.push(out.startsWith("must") ? `M${out.slice(1)}.` : `Left out: ${out}.`);
    return said.join(" ");
  }

  // One key of a section, whatever it takes.
  field(place, node, model = "", label = null) {
    const [body, name] = this.resolved(node);
    const key = String(place[place.length - 1]);
    const words = { label: label ?? this.label(key, model), hint: this.hint({ ...body, description: node.description }, model, key, place) };
    if (key === "deed") return this.deed(place, words);
    if (key === "survey") return this.survey(place, words);
    const ways = (body.oneOf ?? body.anyOf ?? []).filter((way) => !way.required && !("not" in way && Object.keys(way).length === 1));
    if (ways.some((way) => way.$ref || way.properties)) return this.union(place, ways, model, words);
    if (body.properties) return this.group(place, body, name, words);
    if (isObject(body.additionalProperties)) return this.named(place, body.additionalProperties, words);
    if (body.type === "array" && body.items?.$ref) return this.list(place, body.items, words);
    const choices = body.enum ?? ways.find((way) => way.enum)?.enum;
    if (choices && body.type !== "array") return this.choice(place, choices, words, this.leftOut(model, key));
    const isList = body.type === "array" || ways.some((way) => way.type === "array");
    return this.text(place, words, { isList, must: body.type === "array", pair: body.maxItems === 2, names: this.namesFor(key, model) });
  }

  namesFor(key, model) {
    if (key === "wall" && !["BuildingKeys", "WallKeys", "InteriorKeys", ""].includes(model)) return "names-walls";
    if (key === "along" && model === "PadKeys") return "names-walls";
    if (key === "corner") return "names-corners";
    return null;
  }

  frame(place, words, input, extra = []) {
    const id = input.id;
    const hint = words.hint ? make("p", { className: "hint", id: `${id}-hint`, text: words.hint }) : null;
    const fault = make("p", { className: "fault", id: `${id}-fault`, hidden: true });
    input.setAttribute("aria-describedby", `${hint ? `${id}-hint ` : ""}${id}-fault`);
    return make("div", { className: "field" }, make("label", { htmlFor: id, text: words.label }), hint, input, ...extra, fault);
  }

  register(place, input, fault, show) {
    this.open.set(keyOf(place), { place, input, fault, show });
  }

  input(place, words, given, send, show) {
    const id = `f${keyOf(place)}`;
    const input = make("input", { type: "text", id, autocomplete: "off", spellcheck: false, ...given });
    const made = this.frame(place, words, input);
    input.addEventListener("input", () => input.value.trim() && send(input.value));
    input.addEventListener("change", () => send(input.value));
    const shown = () => {
      if (document.activeElement !== input) input.value = show(valueAt(this.desk.values, place));
    };
    shown();
    this.register(place, input, made.lastChild, shown);
    return made;
  }

  text(place, words, { isList, must, pair, names }) {
    const send = (typed) => this.desk.answer(place, this.read(typed, isList, must), { is_written: /^\s*[[{]/.test(typed) });
    const show = (value) => shown(value, isList);
    return this.input(place, words, { list: names, placeholder: pair ? "x, y" : undefined }, send, show);
  }

  read(typed, isList, must) {
    const text = typed.trim();
    if (!text) return null;
    if (/^[[{]/.test(text)) return text;
    if (!isList) return text;
    const parts = text.split(",").map((each) => each.trim()).filter(Boolean);
    return parts.length > 1 || must ? parts : parts[0];
  }

  choice(place, choices, words, out) {
    const id = `f${keyOf(place)}`;
    const flags = choices.includes(true);
    const names = flags ? ["yes", "no"] : choices.map(String);
    const none = out && names.includes(out) ? `${out} (left out)` : "left out";
    const input = make("select", { id }, make("option", { value: "", text: none }), ...names.map((each) => make("option", { value: each, text: each })));
    const made = this.frame(place, words, input);
    input.addEventListener("change", () => this.desk.answer(place, input.value || null));
    const show = () => {
      const value = valueAt(this.desk.values, place);
      const text = value === undefined ? "" : String(value);
      const plain = flags ? { true: "yes", false: "no" }[text] ?? text : text;
      if (plain && ![...input.options].some((each) => each.value === plain)) input.append(make("option", { value: plain, text: plain }));
      input.value = plain;
    };
    show();
    this.register(place, input, made.lastChild, show);
    return made;
  }

  deed(place, words) {
    const id = `f${keyOf(place)}`;
    const input = make("textarea", { id, rows: 6, spellcheck: false });
    const made = this.frame(place, { ...words, hint: "The courses once round the lot, one on a line, or the deed's text as it stands. Must be given." }, input);
    input.addEventListener("change", () => {
      const lines = input.value.split("\n").map((each) => each.trim()).filter(Boolean);
      const isText = /thence/i.test(input.value);
      this.desk.answer(place, lines.length === 0 ? null : isText ? lines.join("\n") + "\n" : lines);
    });
    const show = () => {
      const value = valueAt(this.desk.values, place);
      if (document.activeElement !== input) input.value = Array.isArray(value) ? value.join("\n") : (value ?? "");
    };
    show();
    this.register(place, input, made.lastChild, show);
    return made;
  }

  survey(place, words) {
    const made = this.text(place, words, { isList: true, must: false });
    made.querySelector("input").setAttribute("list", "names-files");
    const id = `f${keyOf(place)}-file`;
    const pick = make("input", { type: "file", id });
    const said = make("p", { className: "hint", role: "status" });
    pick.addEventListener("change", () => pick.files.length && this.desk.bring(pick.files[0], "survey", said));
    const looked = this.desk.looked ? this.desk.looking(place) : null;
    made.insertBefore(make("div", { className: "field" }, make("label", { htmlFor: id, text: "Copy a survey or a deed beside the job" }), pick, said), made.lastChild);
    if (looked) made.insertBefore(looked, made.lastChild);
    return made;
  }

  // A section or a part of one: its keys in order, the rarer ones put away.
  group(place, body, model, words) {
    const inside = this.keys(place, body, model);
    return make("fieldset", { id: `f${keyOf(place)}`, className: "group", tabIndex: -1 }, make("legend", { text: words.label }), this.faultOf(place), ...inside);
  }

  keys(place, body, model) {
    const order = Object.keys(body.properties);
    const first = NAMED_FIRST.filter((key) => order.includes(key) && (body.required ?? []).includes(key));
    const all = [...first, ...order.filter((key) => !first.includes(key))];
    const main = MAIN[model];
    const set = valueAt(this.desk.values, place) ?? {};
    const near = main ? [...main.filter((key) => all.includes(key)), ...all.filter((key) => !main.includes(key) && key in set)] : all;
    const rest = all.filter((key) => !near.includes(key));
    const made = near.map((key) => this.field([...place, key], body.properties[key], model));
    if (rest.length) {
      const more = make("details", { id: `more${keyOf(place)}` }, make("summary", { text: "More" }), ...rest.map((key) => this.field([...place, key], body.properties[key], model)));
      more.open = this.desk.opened.has(more.id);
      more.addEventListener("toggle", () => (more.open ? this.desk.opened.add(more.id) : this.desk.opened.delete(more.id)));
      made.push(more);
    }
    return made;
  }

  faultOf(place) {
    const fault = make("p", { className: "fault", hidden: true });
    this.register(place, null, fault, () => {});
    return fault;
  }

  // One of several ways to say a thing.
  union(place, ways, model, words) {
    const value = valueAt(this.desk.values, place);
    const named = ways.map((way) => ({ way, name: wayName(way) }));
    const fits = named.map(({ way, name }) => this.fit(way, name, value));
    const key = keyOf(place);
    let at = this.desk.ways.get(key);
    if (value !== undefined && Math.max(...fits) > 0) at = at !== undefined && fits[at] > 0 ? at : fits.indexOf(Math.max(...fits));
    const id = `way${key}`;
    const own = WAYS_OF[place.at(-1)] ?? {};
    const called = (name, way) => own[name] ?? (name === "§word" && way.enum ? (way.enum.includes(true) ? "yes or no" : "one of these") : (WAYS[name] ?? name));
    const pick = make(
      "select",
      { id },
      make("option", { value: "", text: this.leftOut(model, String(place.at(-1))) ? `left out: ${this.leftOut(model, String(place.at(-1)))}` : "left out" }),
      ...named.map(({ way, name }, number) => make("option", { value: String(number), text: called(name, way) })),
    );
    pick.value = at === undefined ? "" : String(at);
    pick.addEventListener("change", () => {
      if (pick.value === "") this.desk.ways.delete(key);
      else this.desk.ways.set(key, Number(pick.value));
      if (valueAt(this.desk.values, place) !== undefined) this.desk.answer(place, null);
      this.desk.rebuild();
    });
    // Its one field, where the way has but one, is called after the place itself.
    const made = make("fieldset", { className: "group", id: `g${key}`, tabIndex: -1 }, make("legend", { text: words.label }), make("div", { className: "field" }, make("label", { htmlFor: id, text: `${words.label}: how` }), words.hint ? make("p", { className: "hint", text: words.hint }) : null, pick), this.faultOf(place));
    if (at !== undefined) {
      const { way, name } = named[at];
      const [body, ref] = this.resolved(way);
      if (body.properties) made.append(...this.keys(place, body, ref || modelOf(body, this.schema)));
      else if (isObject(body.additionalProperties)) made.append(...this.rows(place, body.additionalProperties));
      else {
        this.open.delete(keyOf(place));
        const plain = { label: name === "§list" ? "Which, in order" : words.label, hint: "" };
        made.append(way.enum ? this.choice(place, way.enum, plain) : this.text(place, plain, { isList: name === "§list", must: name === "§list" }));
      }
    }
    return made;
  }

  fit(way, name, value) {
    if (value === undefined) return 0;
    if (name === "§word") return typeof value === "string" ? 3 : 0;
    if (name === "§list") return Array.isArray(value) ? 3 : 0;
    if (!isObject(value)) return 0;
    if (name === "§map") return 1;
    const [body] = this.resolved(way);
    const keys = Object.keys(value);
    const known = keys.filter((key) => key in body.properties);
    const must = (body.required ?? []).every((key) => keys.includes(key));
    return known.length === keys.length ? 2 + (must ? 1 : 0) : known.length ? 1.5 * (known.length / keys.length) : 0;
  }

  // Names, each with its value.
  named(place, item, words) {
    const made = make("fieldset", { className: "group", id: `f${keyOf(place)}`, tabIndex: -1 }, make("legend", { text: words.label }), words.hint ? make("p", { className: "hint", text: words.hint }) : null, this.faultOf(place));
    made.append(...this.rows(place, item));
    return made;
  }

  rows(place, item) {
    const value = valueAt(this.desk.values, place);
    const corners = AT_CORNERS.includes(place.at(-1)) ? this.desk.names.corners : [];
    const extra = [...new Set([...corners, ...(this.desk.extra.get(keyOf(place)) ?? [])])];
    const names = [...new Set([...corners, ...Object.keys(isObject(value) ? value : {}), ...extra])];
    const [body, model] = this.resolved(item);
    const made = names.map((name) => {
      const inner = [...place, name];
      const isAsked = corners.includes(name) && !(isObject(value) && name in value);
      const gone = isAsked ? "" : this.remove(inner, name, () => this.desk.extra.set(keyOf(place), extra.filter((each) => each !== name)));
      if (body.properties) return make("fieldset", { className: "card", id: `f${keyOf(inner)}`, tabIndex: -1 }, make("legend", { text: name }), this.faultOf(inner), ...this.keys(inner, body, model), gone);
      const row = this.field(inner, item, model, corners.includes(name) ? `At corner ${name}` : name);
      row.append(gone);
      return row;
    });
    return [...made, this.adder(place, extra, names, body)];
  }

  adder(place, extra, names, body) {
    const isParts = Boolean(body.properties) || isObject(body.additionalProperties);
    const isList = body.type === "array";
    const key = String(place.at(-1));
    const walls = ["walls", "steps"].includes(key) ? [...this.desk.names.walls, ...(key === "walls" && place[0] !== "grade" ? [] : this.desk.names.lines)].filter((each) => !names.includes(each)) : null;
    const id = `add${keyOf(place)}`;
    const open = (name) => {
      this.desk.extra.set(keyOf(place), [...extra, name]);
      this.desk.rebuild([...place, name]);
    };
    if (walls) {
      const pick = make("select", { id }, make("option", { value: "", text: "choose a wall" }), ...walls.map((each) => make("option", { value: each, text: each })));
      pick.addEventListener("change", () => pick.value && open(pick.value));
      return make("div", { className: "field adder" }, make("label", { htmlFor: id, text: "Add" }), pick);
    }
    const list = { ground: "names-corners", finished: "names-corners", stake_tops: "names-corners", rod: "names-corners", fit: "names-corners", tape: "names-corners" }[key];
    const input = make("input", { type: "text", id, autocomplete: "off", list });
    // A name alone opens its field; names with their figures, as the file writes them, go in at once.
    const add = () => {
      const parts = input.value.split(/,\s*(?=[^,:]+:)/).map((each) => each.trim()).filter(Boolean);
      const pairs = parts.map((each) => each.match(/^([^:]+):\s*(.+)$/)).filter(Boolean);
      if (pairs.length !== parts.length || isParts) return parts.length && open(input.value.trim());
      for (const [, name, figure] of pairs) this.desk.answer([...place, name.trim()], this.read(figure, isList, isList));
      input.value = "";
    };
    input.addEventListener("keydown", (event) => event.key === "Enter" && add());
    return make("div", { className: "field adder" }, make("label", { htmlFor: id, text: isParts ? "Add a name" : "Add, as in name: figure" }), input, make("button", { type: "button", text: "Add", onclick: add }));
  }

  // A list of parts, each a card.
  list(place, item, words) {
    const value = valueAt(this.desk.values, place);
    const count = Array.isArray(value) ? value.length : 0;
    const [body, model] = this.resolved(item);
    const key = keyOf(place);
    const blank = this.desk.extra.get(key)?.includes(count);
    const one = singular(words.label);
    const made = make("fieldset", { className: "group", id: `f${key}`, tabIndex: -1 }, make("legend", { text: words.label }), words.hint ? make("p", { className: "hint", text: words.hint }) : null, this.faultOf(place));
    for (let number = 0; number < count + (blank ? 1 : 0); number += 1) {
      const inner = [...place, number];
      const own = value?.[number];
      const name = own?.name ?? own?.wall ?? String(number + 1);
      const gone = this.remove(inner, `${one} ${name}`, () => this.desk.extra.delete(key));
      made.append(make("fieldset", { className: "card", id: `f${keyOf(inner)}`, tabIndex: -1 }, make("legend", { text: `${one} ${name}` }), this.faultOf(inner), ...this.keys(inner, body, model), gone));
    }
    if (!blank) {
      const add = () => {
        this.desk.extra.set(key, [count]);
        this.desk.rebuild([...place, count]);
      };
      made.append(make("button", { type: "button", id: `add${key}`, text: `Add: ${one.toLowerCase()}`, onclick: add }));
    }
    return made;
  }

  remove(place, name, forget) {
    const go = () => {
      forget();
      if (valueAt(this.desk.values, place) !== undefined) this.desk.answer(place, null);
      this.desk.rebuild();
    };
    return make("button", { type: "button", className: "take-out", "aria-label": `Take out ${name}`, text: "Take out", onclick: go });
  }

  update() {
    for (const each of this.open.values()) each.show();
  }
}

function wayName(way) {
  if (way.$ref) return way.$ref.split("/").pop();
  if (way.properties) return "§object";
  if (way.type === "array") return "§list";
  if (isObject(way.additionalProperties)) return "§map";
  return "§word";
}

function modelOf(body, schema) {
  const own = JSON.stringify(Object.keys(body.properties));
  for (const [name, each] of Object.entries(schema.$defs)) {
    const inner = each.properties ? [each] : (each.anyOf ?? []);
    if (inner.some((way) => way.properties && JSON.stringify(Object.keys(way.properties)) === own)) return name;
  }
  return "";
}

function shown(value, isList) {
  if (value === undefined) return "";
  if (Array.isArray(value) && isList && value.every((each) => typeof each !== "object")) return value.join(", ");
  return typeof value === "object" ? written(value) : value;
}

function written(value) {
  if (Array.isArray(value)) return `[${value.map(written).join(", ")}]`;
  if (isObject(value)) return `{${Object.entries(value).map(([key, each]) => `${key}: ${written(each)}`).join(", ")}}`;
  return value ?? "";
}

function singular(label) {
  const known = { "Door openings": "Opening", "Walls and lines inside": "Line", Pads: "Pad", Doors: "Door", "Pipes through walls": "Pipe", "Buried lines": "Buried line", "Stay clear of": "Shape", "Keep away from": "Place" };
  return known[label] ?? label;
}
