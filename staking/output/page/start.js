// Starts the page; the tests reach its parts under `stakingPage`.

function tickBox(memory, key, row, label) {
  const box = document.createElement("input");
  box.type = "checkbox";
  box.dataset.tick = key;
  box.autocomplete = "off";
  if (label) box.setAttribute("aria-label", label);
  box.checked = memory.kept.ticks[key] === true;
  row.classList.toggle("done", box.checked);
  box.addEventListener("change", () => {
    if (box.checked) memory.kept.ticks[key] = true;
    else delete memory.kept.ticks[key];
    row.classList.toggle("done", box.checked);
    if (!memory.save()) document.getElementById("forgets")?.removeAttribute("hidden");
  });
  return box;
}

// beside its heading a cell's words stand as one piece
function wrapWords(cell) {
  const whole = document.createElement("span");
  whole.append(...cell.childNodes);
  if (whole.textContent) cell.append(whole);
}

// a box to tick before every row, and each cell's heading for where rows stand as cards
function startTable(table, memory) {
  const cards = table.classList.contains("cards");
  const roles = cards ? [["table", [table]], ["rowgroup", table.querySelectorAll("thead, tbody")],
    ["row", table.querySelectorAll("tr")], ["columnheader", table.querySelectorAll("th")],
    ["cell", table.querySelectorAll("td")]] : [];
  // rows shown as blocks are not a table to a screen reader, unless they say so
  for (const [role, parts] of roles) for (const part of parts) part.setAttribute("role", role);
  const heads = [...table.querySelectorAll("thead th")];
  const first = document.createElement("th");
  first.className = "tick";
  first.scope = "col";
  if (cards) first.setAttribute("role", "columnheader");
  first.innerHTML = "<span class=\"unseen\">done</span>";
  table.querySelector("thead tr").prepend(first);
  for (const row of table.querySelectorAll("tbody tr")) {
    const cells = [...row.cells];
    cells.forEach((cell, column) => {
      cell.dataset.label = heads[column].textContent;
      cell.classList.toggle("r", heads[column].classList.contains("r"));
      if (cards) wrapWords(cell);
    });
    const text = cells.map((cell) => cell.textContent).filter(Boolean).slice(0, 3).join(", ");
    const cell = document.createElement("td");
    cell.className = "tick";
    if (cards) cell.setAttribute("role", "cell");
    const label = document.createElement("label");
    // what is ticked is kept by its words: a row that says something else is not done
    label.append(tickBox(memory, `${table.dataset.ticks}: ${text}`, row, `done: ${text}`));
    cell.append(label);
    row.prepend(cell);
  }
}

function startTicks(memory) {
  for (const table of document.querySelectorAll("table[data-ticks]")) startTable(table, memory);
  for (const line of document.querySelectorAll("ul[data-ticks] > li, [data-step]")) {
    const label = document.createElement("label"), text = document.createElement("span");
    text.append(...line.childNodes);
    label.append(tickBox(memory, `line: ${text.textContent}`, line, ""), text);
    line.append(label);
  }
}

function startPrinting() {
  const shut = new Set();
  window.addEventListener("beforeprint", () => {
    for (const each of document.querySelectorAll("details:not([open]):not(.switches)")) {
      shut.add(each);
      each.open = true;
    }
  });
  window.addEventListener("afterprint", () => {
    for (const each of shut) each.open = false;
    shut.clear();
  });
  document.getElementById("print").addEventListener("click", () => window.print());
}

const job = unpacked(JSON.parse(document.getElementById("job-data").textContent));
Unbroken.pattern = new RegExp(job.unbroken, "g");
const memory = new Memory(job.job, job.mark);
startTicks(memory);
const pad = new LengthPad(job);
const places = new Places({});
const boxes = startTapes(job, memory, pad);
const rod = job.rod ? new Rod(job, memory, pad) : null;
const plan = startPlan(memory, (spot, reach) => cards.tapped(spot, reach));
const walls = new Walls(job, rod);
const cards = new Cards(job, plan, rod, boxes, (address) => places.go(address));
const steps = new Steps(job, memory, plan, boxes);
places.shows = {
  "place-next": () => steps.show(),
  "place-plan": () => plan.show(),
  "place-card": (place) => { if (!cards.show(Number(place))) places.go("place-plan"); },
  "place-levels": () => walls.show(),
};
rod?.show();
document.documentElement.classList.add("ready");
places.show();
startPrinting();
window.stakingPage = {job, parseLength, typedLength, formatLength, rodReading, Network, answerTapes, tapeBook, plan};
