// The walls from the side: ground, wall, footing and dig, and the rod for every run.

const SVG = "http://www.w3.org/2000/svg";
const PROFILE = {high: 190, air: 26, most: 12};

function drawn(name, attributes, text) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  if (text) made.textContent = text;
  return made;
}

// heights are stretched so that a step is seen, and how much is said
function profileOf(wall, wide) {
  const across = wall.wall.map(([x]) => x), ends = [Math.min(...across), Math.max(...across)];
  const outer = wall.footing.map(([x]) => x), low = Math.min(wall.low, ...wall.dig.map(([, z]) => z));
  const left = Math.min(...outer), right = Math.max(...outer);
  const scale = (wide - 2 * PROFILE.air) / (right - left);
  const fits = (PROFILE.high - 2 * PROFILE.air) / Math.max(wall.high - low, 0.3) / scale;
  const stretch = Math.max(0.1, Math.min(PROFILE.most, fits >= 2 ? Math.floor(fits) : fits));
  const high = (wall.high - low) * scale * stretch + 2 * PROFILE.air;
  const at = ([x, z]) => [PROFILE.air + (x - left) * scale, high - PROFILE.air - (z - low) * scale * stretch];
  const path = (chain, look, closed) => drawn("path", {class: look, d: `M${chain.map((p) =>
    at(p).map((v) => v.toFixed(1)).join(" ")).join("L")}${closed ? "Z" : ""}`});
  const svg = drawn("svg", {class: "profile", viewBox: `0 0 ${wide} ${high.toFixed(0)}`, role: "img",
    "aria-label": `Profile of ${wall.name}, ${wall.ends[0]} on the left and ${wall.ends[1]} on the right`});
  svg.append(path(wall.wall, "side-wall", true), path(wall.footing, "side-footing", true),
    path(wall.dig, "side-dig"), path(wall.frost, "side-frost"), path(wall.ground, "side-ground"));
  if (wall.existing) svg.append(path(wall.existing, "side-existing"));
  if (wall.string !== null) svg.append(path([[left, wall.string], [right, wall.string]], "side-string"));
  wall.ends.forEach((name, k) => {
    const [x] = at([ends[k], low]);
    svg.append(drawn("text", {x: x.toFixed(1), y: 14, class: k ? "end" : "start"}, name));
  });
  wall.runs.forEach((run, k) => {
    const [x] = at([run.middle, low]);
    svg.append(drawn("text", {x: x.toFixed(1), y: (high - 8).toFixed(0), class: "run"}, String(k + 1)));
  });
  return {svg, stretch};
}

class Walls {
  constructor(job, rod) {
    Object.assign(this, {job, rod});
    this.part = document.getElementById("walls-part");
    if (!this.part || !job.profiles.length) return;
    this.choice = element("select", "", ...job.profiles.map((wall) => element("option", "", wall.name)));
    this.choice.id = "wall-choice";
    this.choice.autocomplete = "off";
    const label = element("label", "choice", "Wall");
    label.htmlFor = this.choice.id;
    this.shown = element("div");
    this.shown.id = "wall";
    const step = (by) => () => {
      const count = job.profiles.length;
      this.choose((this.choice.selectedIndex + by + count) % count);
    };
    this.choice.addEventListener("change", () => this.show());
    this.part.replaceChildren(element("h3", "", "Wall by wall"), element("div", "row tools", label, this.choice,
      button("Before", step(-1)), button("Next wall", step(1))), this.shown);
  }

  choose(place) {
    this.choice.selectedIndex = place;
    this.show();
  }

  show() {
    if (!this.choice) return;
    const wall = this.job.profiles[this.choice.selectedIndex];
    const {svg, stretch} = profileOf(wall, Math.max(260, Math.min(680, this.part.clientWidth || 320)));
    const scale = stretch > 1.05 ? `Heights are stretched ${Number(stretch.toFixed(1))} times.`
      : "Heights are drawn as lengths or lower.";
    const key = `Seen with ${wall.ends[0]} on the left; ${wall.length} long, stations from ${wall.from}. ${scale} ` +
      "Heavy: ground. Dashes: frost line. Below: bottom of the dig.";
    const rows = wall.runs.flatMap((run, k) => [
      [`${k + 1}: from ${run.from} to ${run.to}, footing top`, ...this.level(run.top)],
      [`${k + 1}: dig`, ...this.level(run.dig)],
    ]);
    const known = this.job.rod.benchmarkLevel !== null;
    this.shown.replaceChildren(svg, element("p", "soft", key),
      ...wall.deep.map((deep) => element("p", "caution", `From ${deep.from} to ${deep.to} the trench is ` +
        `${deep.limit} deep or more, up to ${deep.deepest}.`)),
      tableOf(["run", known ? "add to the benchmark" : "level", "rod reads"], rows, `Runs of ${wall.name}`),
      ...wall.steps.map((each) => element("p", "", `At ${each.at} from ${wall.from} the footing goes ${each.goes} ` +
        `${each.rise}; the lower level is dug to ${each.digTo}.`)),
      element("p", "soft", `${wall.runs.map((run) => run.courses).join(", ")} courses from the footing up, run by run.`));
    this.rod.show();
  }

  level([level, shown, added]) {
    return [added || shown, rodCell(level)];
  }
}

// a cell that the rod fills
function rodCell(level) {
  const cell = element("td", "rod");
  cell.dataset.rod = String(level);
  return cell;
}
