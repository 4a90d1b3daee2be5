// The rod: one reading of the benchmark, typed once, turns every level on the page into a reading.

function hundredths(metres, show) {
  const metric = show === "metres" || show === "millimetres";
  const count = Math.abs(wholeSteps(metres, metric ? 0.001 : FOOT / 100));
  const sign = metres < 0 && count ? "-" : "";
  return metric ? `${sign}${(count / 1000).toFixed(3)} m` : `${sign}${(count / 100).toFixed(2)} ft`;
}

function rodReading(job, instrument, level) {
  const rod = job.rod, reading = instrument - level;
  if (reading < -1e-9) return {ask: `turning point: this level stands above the instrument`};
  if (reading > rod.rodLength + 1e-9) {
    return {ask: `turning point: the rod would have to be ${hundredths(reading, job.show)} long`};
  }
  const metric = job.show === "metres" || job.show === "millimetres";
  const inches = metric ? "" : formatFeetInches(reading, INCH / 16);
  const tenths = hundredths(reading, job.show);
  if (!inches) return {reading: tenths, second: ""};
  return rod.rod === "tenths" ? {reading: tenths, second: inches} : {reading: inches, second: tenths};
}

const today = () => new Date().toDateString();

class Rod {
  constructor(job, memory, pad) {
    Object.assign(this, {job, memory, pad});
    this.kept = memory.kept.rod;
    this.said = document.getElementById("reading-said");
    this.moved = document.getElementById("moved");
    this.ways = [...document.querySelectorAll("[name=rod-way]")];
    // the job's own height of instrument stands there until another is typed
    if (typeof this.kept.text !== "string" && job.rod.instrument !== null) {
      this.kept.text = formatLength(job.rod.instrument, job.show, job.nearest);
      this.kept.way = "instrument";
    }
    for (const way of this.ways) {
      if (this.kept.way === way.value) way.checked = true;
      way.addEventListener("change", () => this.typed("", way.value));
    }
    document.getElementById("reading-type").addEventListener("click", () => this.ask());
    this.startAgain();
  }

  get way() {
    return this.ways.find((each) => each.checked)?.value ?? "instrument";
  }

  get how() {
    const {show, rod} = this.job;
    if (show === "metres" || show === "millimetres") return "metres";
    return rod.rod === "tenths" ? "decimal-feet" : "feet-inches";
  }

  get title() {
    return this.way === "benchmark" ? `The rod on ${this.job.rod.benchmark}` : "Height of the instrument";
  }

  ask() {
    this.pad.ask({title: this.title, how: this.how, text: this.kept.text ?? "",
      take: (text) => this.typed(text, this.way)});
  }

  typed(text, way) {
    Object.assign(this.kept, {text, way, day: today(), again: "", point: null});
    this.save();
  }

  save() {
    if (!this.memory.save()) document.getElementById("forgets")?.removeAttribute("hidden");
    this.show();
  }

  startAgain() {
    const points = document.getElementById("again-point");
    if (!points) return;
    points.replaceChildren(...this.job.rod.known.map(([name]) => element("option", "", name)));
    document.getElementById("again-type").addEventListener("click", () => {
      const point = points.selectedIndex, [name] = this.job.rod.known[point];
      this.pad.ask({title: `The rod on ${name}, once more`, how: this.how, text: "",
        take: (text) => { Object.assign(this.kept, {again: text, point}); this.save(); }});
    });
  }

  // a typed text as a height of the instrument, m; null without one, a fault where it is none
  height(text, level) {
    const {rod, unit} = this.job;
    if (typeof text !== "string" || !text.trim()) return null;
    const length = typedLength(text, unit);
    if (level === null) return length;
    if (length < 0 || length > rod.rodLength) throw new MeasureFault(`${text} is not on the rod`);
    return level + length;
  }

  // the height of the instrument, the fault of what was typed, and how far a second reading is off
  standing() {
    const {rod} = this.job, {kept} = this;
    try {
      const first = this.height(kept.text, this.way === "benchmark" ? rod.benchmarkLevel : null);
      const known = rod.known[kept.point] ?? null;
      const second = first === null || known === null ? null : this.height(kept.again, known[1]);
      return {first, off: second === null ? null : second - first, known, fault: ""};
    } catch (error) {
      if (!(error instanceof MeasureFault)) throw error;
      return {first: null, off: null, known: null, fault: `${error.message}.`};
    }
  }

  // what the rod reads at a level as nodes for a cell
  reads(level) {
    const {first, off} = this.now;
    if (first === null) return [];
    if (this.isMoved(off)) return [element("span", "ask", "set up again")];
    const found = rodReading(this.job, first, level);
    if (found.ask) return [element("span", "ask", found.ask)];
    const main = element("strong", "", found.reading);
    return found.second ? [main, " ", element("span", "second", found.second)] : [main];
  }

  // what was typed, as this rod is read
  written(text) {
    try {
      return formatLength(typedLength(text, this.job.unit), this.how, INCH / 16);
    } catch (error) {
      if (!(error instanceof MeasureFault)) throw error;
      return text;
    }
  }

  isMoved(off) {
    return off !== null && Math.abs(off) > this.job.rod.sameSight;
  }

  show() {
    this.now = this.standing();
    const {job, kept} = this, {first, off, known, fault} = this.now;
    const typed = typeof kept.text === "string" && kept.text.trim();
    document.getElementById("reading-of").replaceChildren(words(this.title));
    document.getElementById("reading-type").replaceChildren(words(typed ? this.written(kept.text) : "type it"));
    this.moved.replaceChildren();
    if (fault) this.moved.append(element("p", "", fault));
    if (this.isMoved(off)) this.sayMoved(off, known);
    this.said.replaceChildren(...this.headLines(first));
    const again = document.getElementById("again-said");
    if (again) {
      const same = off !== null && !this.isMoved(off);
      again.replaceChildren(words(same ? `${known[0]} reads as before: the instrument stands.` : ""));
    }
    for (const cell of document.querySelectorAll("[data-level]")) {
      this.fill(cell, job.rod.levels[Number(cell.dataset.level)]);
    }
    for (const cell of document.querySelectorAll("[data-rod]")) this.fill(cell, Number(cell.dataset.rod));
  }

  headLines(first) {
    if (first === null) return [];
    const lines = [words(`Instrument ${formatLength(first, this.job.show, this.job.nearest)} ` +
      `(${hundredths(first, this.job.show)}).`)];
    if (this.kept.day && this.kept.day !== today()) {
      lines.push(element("b", "ask", " Typed another day: read it again."));
    }
    return lines;
  }

  sayMoved(off, [name]) {
    const size = formatLength(Math.abs(off), this.job.show, this.job.nearest);
    const use = button(`Go on with ${this.written(this.kept.again)}`, () => {
      // the second reading is the set-up from now on
      const height = this.now.first + off, point = this.kept.point;
      if (this.way === "benchmark" && point === 0) this.typed(this.kept.again, "benchmark");
      else {
        for (const way of this.ways) way.checked = way.value === "instrument";
        this.typed(formatLength(height, this.job.show, INCH / 16), "instrument");
      }
    });
    const misread = button("It was misread", () => { Object.assign(this.kept, {again: "", point: null}); this.save(); });
    this.moved.append(element("p", "", element("b", "", "The instrument moved."),
      ` ${name} reads ${size} ${off > 0 ? "more" : "less"} than it did. Dig nothing and set nothing by the rod ` +
      "until this is settled: read the benchmark again."), element("div", "row", use, misread));
  }

  fill(cell, level) {
    const found = this.reads(level);
    cell.replaceChildren(...found);
    cell.classList.toggle("ask", Boolean(found[0]?.classList.contains("ask")));
  }
}
