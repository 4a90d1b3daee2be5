// The tape book: what was read, what it says of the stakes, and the file that takes it away.

const FULL_CHECK = "Export the readings and run the full check: staking check JOB --tapes FILE.";
const pairOf = (tape) => `${tape.from}-${tape.to}`;

class TapeBoxes {
  constructor(job, memory, pad) {
    this.job = job;
    this.memory = memory;
    this.pad = pad;
    this.draw();
    this.network = new Network(job);
    this.stage = document.getElementById("stage");
    this.holding = document.getElementById("hold");
    this.out = document.getElementById("answer");
    this.inputs = [...document.querySelectorAll("[data-tape]")];
    this.holds = job.holds;
    this.stage.selectedIndex = kept(memory.kept.stage, job.stages.length);
    this.holding.selectedIndex = kept(memory.kept.hold, this.holds.length);
  }

  // a box for every tape, with the planned length before it and the pickers behind it
  draw() {
    this.heard = new Set();
    document.getElementById("stage").replaceChildren(...this.job.stages.map((each) => element("option", "", each)));
    document.getElementById("tape-list").replaceChildren(...this.job.tapes.map((tape, place) => {
      const label = element("label", "", `${tape.from} - ${tape.to}`,
        element("span", "unseen", `, ${tape.kind}, tape reads`));
      const input = element("input"), note = element("output");
      label.htmlFor = input.id = `tape-${place}`;
      note.id = `tape-note-${place}`;
      Object.assign(input, {type: "text", autocomplete: "off", autocapitalize: "off", spellcheck: false});
      input.dataset.tape = String(place);
      input.setAttribute("aria-describedby", note.id);
      note.htmlFor = input.id;
      note.setAttribute("aria-live", "off");
      const pick = button("pick", () => this.ask(place));
      pick.setAttribute("aria-label", `Pick what the tape reads ${tape.from} - ${tape.to}`);
      return element("div", "tape", label, element("span", "", tape.shown, element("span", "unseen", " on the plan")),
        element("div", "typed", input, pick), note);
    }));
  }

  ask(place) {
    const tape = this.job.tapes[place], input = this.inputs[place];
    this.pad.ask({title: `Tape ${tape.from} - ${tape.to}, ${tape.shown} on the plan`, how: this.job.show,
      text: input.value, take: (text) => {
        input.value = text;
        this.keep();
        this.tell();
      }});
  }

  text(place) {
    return this.inputs[place].value.trim();
  }

  write(metres) {
    return formatLength(metres, this.job.show, this.job.nearest);
  }

  get stageName() {
    return this.job.stages[this.stage.selectedIndex];
  }

  note(place) {
    return document.getElementById(`tape-note-${place}`);
  }

  // one box: the length in it, null where it is empty, NaN where it holds no length
  reading(input) {
    const place = Number(input.dataset.tape), text = input.value.trim(), note = this.note(place);
    note.textContent = "";
    note.classList.remove("fault");
    input.removeAttribute("aria-invalid");
    if (!text) return null;
    try {
      const length = typedLength(text, this.job.unit);
      if (!(length > 0)) throw new MeasureFault(`${text} is not longer than zero`);
      const read = length * this.job.stretch, off = read - this.job.tapes[place].planned;
      const shown = this.write(Math.abs(off));
      note.textContent = shown === this.write(0) ? "as planned"
        : `${shown} ${off > 0 ? "long" : "short"}`;
      return read;
    } catch (error) {
      if (!(error instanceof MeasureFault)) throw error;
      input.setAttribute("aria-invalid", "true");
      note.classList.add("fault");
      note.textContent = `${error.message}.`;
      return NaN;
    }
  }

  say(lines, kind) {
    this.out.className = kind;
    this.out.replaceChildren(...lines.map((line) => element("p", "", line)));
  }

  tell() {
    for (const hear of this.heard) hear();
    const read = this.inputs.map((input) => this.reading(input));
    if (read.some(Number.isNaN)) {
      this.say(["A reading is not a length: see the box marked."], "stop");
      return;
    }
    const hold = this.holds[this.holding.selectedIndex] ?? this.holds[0];
    const found = answerTapes(this.network, read, hold);
    if (found.kind === "answer") {
      const waits = found.waits || found.foreign;
      this.say(this.answerLines(found), found.square ? "good" : waits ? "stop" : "move");
      if (!found.square && !found.waits) this.tellAfter(found);
    } else {
      const waits = found.kind === "empty" || found.kind === "need";
      this.say(this.otherLines(found), waits ? "wait" : "stop");
    }
  }

  otherLines(found) {
    const {job} = this;
    switch (found.kind) {
      case "empty":
        return ["Type what the tapes read. The answer stands here."];
      case "need":
        return [`These do not fix ${found.point ?? "the shape"} yet: tape ${
          found.tapes.map((p) => pairOf(job.tapes[p])).join(" and ") || "it from another corner"} next.`];
      case "far":
        return ["No shape near the plan fits these readings: is it another pair, or another unit?",
          FULL_CHECK];
      case "sides":
        return [`Both diagonals together are ${this.write(Math.abs(found.long))} too ${
          found.long > 0 ? "long" : "short"}: the sides are not as planned. Tape the sides too.`];
      default:
        return ["These tapes are too many for this page.", FULL_CHECK];
    }
  }

  answerLines(found) {
    const write = (metres) => this.write(metres), {job} = this, {hold} = found;
    const lines = [verdictText({...found, coarse: job.limits.coarse}), ...suspectLines(job, found, write),
      ...repeatLines(job, found, write)];
    if (!found.square && !found.waits) {
      const then = found.repeat.length ? " If it reads the same:" : ":";
      lines.push((hold.wall ? `Hold ${hold.corner} and the wall ${hold.wall.join("-")}`
        : "Every stake as little as can be") + (found.repeat.length ? "." : "") + then);
    }
    lines.push(...moveLines(job, found, write));
    const slides = slideLines(found, write);
    if (slides.length) lines.push("Or slide the nails:", ...slides);
    if (found.common) lines.push(FULL_CHECK);
    if (found.rule) lines.push("By the two diagonals alone, taking the sides as planned.");
    else if (found.spare === 0) lines.push("Nothing checks these readings: tape one more distance.");
    return lines;
  }

  // beside each box: what it reads once the stakes are moved
  tellAfter(found) {
    this.job.tapes.forEach((tape, p) => {
      const ends = [found.after.get(tape.from), found.after.get(tape.to)];
      if (!ends[0] || !ends[1]) return;
      const note = this.note(p), then = `then ${this.write(distance(...ends))}`;
      note.textContent = note.textContent ? `${note.textContent}; ${then}` : then;
    });
  }

  keep() {
    const readings = this.memory.kept.readings[this.stageName] = {};
    for (const input of this.inputs) {
      const text = input.value.trim();
      if (text) readings[pairOf(this.job.tapes[Number(input.dataset.tape)])] = text;
    }
    if (!this.memory.save()) document.getElementById("forgets").hidden = false;
  }

  load() {
    const readings = this.memory.kept.readings[this.stageName] ?? {};
    for (const input of this.inputs) {
      const text = readings[pairOf(this.job.tapes[Number(input.dataset.tape)])];
      input.value = typeof text === "string" ? text : "";
    }
    this.tell();
  }
}

const kept = (place, count) => (place >= 0 && place < count ? place : 0);

function startTapes(job, memory, pad) {
  const form = document.getElementById("tapes");
  if (!form) return null;
  const boxes = new TapeBoxes(job, memory, pad);
  form.addEventListener("submit", (event) => event.preventDefault());
  for (const input of boxes.inputs) {
    input.addEventListener("input", () => { boxes.keep(); boxes.tell(); });
  }
  boxes.stage.addEventListener("change", () => {
    memory.kept.stage = boxes.stage.selectedIndex;
    memory.save();
    boxes.load();
  });
  boxes.holding.addEventListener("change", () => {
    memory.kept.hold = boxes.holding.selectedIndex;
    memory.save();
    boxes.tell();
  });
  document.getElementById("clear").addEventListener("click", () => {
    if (!window.confirm(`Clear every reading taken ${boxes.stageName}?`)) return;
    for (const input of boxes.inputs) input.value = "";
    boxes.keep();
    boxes.tell();
  });
  document.getElementById("export").addEventListener("click", () => saveBook(job, memory));
  bringOver(job, memory, boxes);
  if (!memory.works) document.getElementById("forgets").hidden = false;
  boxes.load();
  return boxes;
}

// the job was laid out anew since: its readings are offered, those of the pairs that are still there
function bringOver(job, memory, boxes) {
  const [found] = memory.earlier();
  const bar = document.getElementById("earlier");
  if (!found || Object.values(memory.kept.readings).some((each) => Object.keys(each).length)) return;
  bar.hidden = false;
  document.getElementById("earlier-count").textContent = String(found.count);
  document.getElementById("bring").addEventListener("click", () => {
    const pairs = new Set(job.tapes.map(pairOf));
    for (const stage of job.stages) {
      const readings = Object.entries(found.readings[stage] ?? {}).filter(([pair]) => pairs.has(pair));
      if (readings.length) memory.kept.readings[stage] = Object.fromEntries(readings);
    }
    memory.save();
    bar.hidden = true;
    boxes.load();
  });
}

function saveBook(job, memory) {
  const link = document.createElement("a");
  const url = URL.createObjectURL(new Blob([tapeBook(job, memory.kept.readings)], {type: "text/csv"}));
  const name = job.job.replace(/[^A-Za-z0-9]+/g, "-").replace(/^-|-$/g, "") || "job";
  link.href = url;
  link.download = `${name}-tapes.csv`;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 10000);
}

// the tape book as `staking check --tapes` reads it; what is not a length stays out
function tapeBook(job, readings) {
  const cell = (text) => (/[",\n]/.test(text) ? `"${text.replace(/"/g, "\"\"")}"` : text);
  const lengthOrNothing = (text) => {
    try {
      if (typeof text !== "string" || !(typedLength(text, job.unit) > 0)) return "";
      return typedText(text, job.unit).trim();
    } catch {
      return "";
    }
  };
  const rows = job.tapes.map((tape) => [tape.from, tape.to, tape.shown,
    ...job.stages.map((stage) => lengthOrNothing(readings[stage]?.[pairOf(tape)]))]);
  return [job.headings, ...rows].map((row) => row.map(cell).join(",") + "\n").join("");
}
