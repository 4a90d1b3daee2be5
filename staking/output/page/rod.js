// The rod box: the height of the instrument, or the rod's reading on the benchmark, turns every
// level into a rod reading.

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

class RodBox {
  constructor(job, memory) {
    this.job = job;
    this.memory = memory;
    this.input = document.getElementById("rod-length");
    this.fault = document.getElementById("rod-fault");
    this.said = document.getElementById("rod-said");
    this.ways = [...document.querySelectorAll("[name=rod-way]")];
    this.cells = [...document.querySelectorAll("[data-level]")];
  }

  get way() {
    return this.ways.find((each) => each.checked)?.value ?? "instrument";
  }

  // the height of the instrument by what is typed, m; null where nothing sound is
  instrument() {
    const text = this.input.value.trim(), {rod, unit} = this.job;
    this.fault.textContent = "";
    this.input.removeAttribute("aria-invalid");
    if (!text) return null;
    try {
      const length = parseLength(text, unit);
      if (this.way !== "benchmark") return length;
      if (length < 0 || length > rod.rodLength) throw new MeasureFault(`${text} is not on the rod`);
      return rod.benchmarkLevel + length;
    } catch (error) {
      if (!(error instanceof MeasureFault)) throw error;
      this.input.setAttribute("aria-invalid", "true");
      this.fault.textContent = `${error.message}.`;
      return null;
    }
  }

  fill(cell, found) {
    const main = document.createElement(found.ask ? "span" : "strong");
    main.textContent = found.ask ?? found.reading;
    cell.append(main);
    cell.classList.toggle("ask", Boolean(found.ask));
    if (!found.second) return;
    const second = document.createElement("span");
    second.className = "second";
    second.textContent = found.second;
    cell.append(" ", second);
  }

  show() {
    const {job} = this, instrument = this.instrument();
    let asks = 0;
    for (const cell of this.cells) {
      cell.replaceChildren();
      if (instrument === null) continue;
      const found = rodReading(job, instrument, job.rod.levels[Number(cell.dataset.level)]);
      this.fill(cell, found);
      if (found.ask) asks += 1;
    }
    this.said.textContent = instrument === null ? ""
      : `Height of instrument ${formatLength(instrument, job.show, job.nearest)} ` +
        `(${hundredths(instrument, job.show)}).` +
        (asks ? ` ${asks} of ${this.cells.length} levels ask for a turning point.` : "");
    Object.assign(this.memory.kept.rod, {way: this.way, text: this.input.value});
    this.memory.save();
  }
}

function startRod(job, memory) {
  if (!job.rod) return;
  const box = new RodBox(job, memory), kept = memory.kept.rod;
  // the job's own height of instrument stands there until another is typed
  if (typeof kept.text !== "string" && job.rod.instrument !== null) {
    kept.text = formatLength(job.rod.instrument, job.show, job.nearest);
    kept.way = "instrument";
  }
  if (typeof kept.text === "string") box.input.value = kept.text;
  for (const way of box.ways) {
    if (kept.way === way.value) way.checked = true;
    way.addEventListener("change", () => box.show());
  }
  box.input.addEventListener("input", () => box.show());
  box.show();
}
