// The plan: drag and pinch, wheel, keys and buttons; names that keep their size, thin out and grow;
// layers that switch; a tap opens what is tapped; pictures cropped from it.

const NAME_SIZE = 13, MOST_SIZE = 19, FINGER = 30;

class PlanView {
  constructor(svg) {
    const box = (text) => text.split(" ").map(Number);
    this.svg = svg;
    this.all = box(svg.dataset.all);
    this.first = box(svg.dataset.first);
    this.view = [...this.first];
    this.names = [...svg.querySelectorAll("text")].map((each) => ({each,
      x: Number(each.getAttribute("x")), y: Number(each.getAttribute("y")),
      away: each.dataset.away ? box(each.dataset.away) : null, long: each.textContent.length,
      wide: each.classList.contains("corner") ? 0.7 : 0.58,
      along: each.classList.contains("wall") || each.classList.contains("line")}));
    this.asked = false;
  }

  show() {
    this.svg.setAttribute("viewBox", this.view.map((value) => value.toFixed(2)).join(" "));
    if (this.asked) return;
    this.asked = true;
    requestAnimationFrame(() => { this.asked = false; this.setNames(); });
  }

  // names from the first on, each where it lies over no other one and not over the edge
  setNames() {
    const rect = this.svg.getBoundingClientRect(), [left, top, width, height] = this.view;
    if (!rect.width) return;
    const {scale} = this.drawn(), near = this.first[2] / width;
    const size = Math.min(MOST_SIZE, NAME_SIZE * Math.max(1, near) ** 0.3) / scale;
    const beyond = [(rect.width / scale - width) / 2, (rect.height / scale - height) / 2];
    const room = [left - beyond[0], top - beyond[1], left + width + beyond[0], top + height + beyond[1]];
    const taken = [];
    const free = (box) => box[0] >= room[0] && box[1] >= room[1] && box[2] <= room[2] && box[3] <= room[3] &&
      !taken.some((other) => box[0] < other[2] && other[0] < box[2] && box[1] < other[3] && other[1] < box[3]);
    for (const name of this.names) {
      const half = [name.long * name.wide * size / 2, 0.6 * size];
      // beside what it names, on the other side where there is no room, else over or under it; never on
      // the line of a wall
      const sides = name.away ? [name.away, name.away.map((each) => -each)] : [[0, 0]];
      const ways = name.away && !name.along ? [...sides, [0, 1], [0, -1]] : sides;
      const spots = ways.map((way) => [0, 1].map((i) =>
        [name.x, name.y][i] + (name.away ? way[i] * (half[i] + 0.45 * size) : 0)));
      const boxOf = ([x, y]) => [x - half[0], y - half[1], x + half[0], y + half[1]];
      const at = spots.find((spot) => free(boxOf(spot)));
      name.each.classList.toggle("off", !at);
      if (!at) continue;
      taken.push(boxOf(at));
      name.each.setAttribute("x", at[0].toFixed(1));
      name.each.setAttribute("y", at[1].toFixed(1));
      name.each.setAttribute("font-size", size.toFixed(2));
    }
  }

  reset(to) {
    this.view = [...to];
    this.show();
  }

  // the scale that the browser draws at, and where the view's corner then lies
  drawn() {
    const rect = this.svg.getBoundingClientRect(), [, , width, height] = this.view;
    const scale = Math.min(rect.width / width, rect.height / height) || 1;
    return {scale, left: rect.left + (rect.width - width * scale) / 2,
      top: rect.top + (rect.height - height * scale) / 2};
  }

  // a spot of the screen in the picture
  at(x, y) {
    const {scale, left, top} = this.drawn();
    return [this.view[0] + (x - left) / scale, this.view[1] + (y - top) / scale];
  }

  zoom(factor, x, y) {
    const {view, all} = this;
    const at = x === undefined ? [view[0] + view[2] / 2, view[1] + view[3] / 2] : this.at(x, y);
    const size = Math.max(all[2], all[3]) / Math.max(view[2], view[3]);
    const by = Math.min(1.5 * size, Math.max(size / 80, 1 / factor));
    this.view = [at[0] + (view[0] - at[0]) * by, at[1] + (view[1] - at[1]) * by,
      view[2] * by, view[3] * by];
    this.show();
  }

  move(dx, dy) {
    const {scale} = this.drawn();
    [dx, dy].forEach((by, axis) => {
      const most = this.all[axis] + this.all[axis + 2];
      const least = this.all[axis] - this.view[axis + 2];
      this.view[axis] = Math.min(most, Math.max(least, this.view[axis] - by / scale));
    });
    this.show();
  }
}

function followFingers(frame, plan, tapped) {
  const fingers = new Map();
  let travelled = 0;
  frame.addEventListener("pointerdown", (event) => {
    frame.setPointerCapture(event.pointerId);
    travelled = fingers.size ? Infinity : 0;
    fingers.set(event.pointerId, [event.clientX, event.clientY]);
  });
  frame.addEventListener("pointermove", (event) => {
    const was = fingers.get(event.pointerId);
    if (!was) return;
    const now = [event.clientX, event.clientY];
    travelled += Math.hypot(now[0] - was[0], now[1] - was[1]);
    const other = [...fingers].find(([id]) => id !== event.pointerId);
    fingers.set(event.pointerId, now);
    if (!other) {
      plan.move(now[0] - was[0], now[1] - was[1]);
      return;
    }
    const [, still] = other;
    const before = Math.hypot(was[0] - still[0], was[1] - still[1]);
    const after = Math.hypot(now[0] - still[0], now[1] - still[1]);
    plan.move((now[0] - was[0]) / 2, (now[1] - was[1]) / 2);
    if (before > 5) plan.zoom(after / before, (now[0] + still[0]) / 2, (now[1] + still[1]) / 2);
  });
  for (const end of ["pointerup", "pointercancel"]) {
    frame.addEventListener(end, (event) => {
      // a finger that rests on the glass trembles a little
      if (end === "pointerup" && fingers.has(event.pointerId) && travelled < 10) {
        tapped(plan.at(event.clientX, event.clientY), FINGER / plan.drawn().scale);
      }
      fingers.delete(event.pointerId);
    });
  }
}

function followKeys(frame, plan) {
  const keys = {
    "+": () => plan.zoom(1.3), "=": () => plan.zoom(1.3), "-": () => plan.zoom(1 / 1.3),
    "0": () => plan.reset(plan.first),
    "ArrowLeft": () => plan.move(40, 0), "ArrowRight": () => plan.move(-40, 0),
    "ArrowUp": () => plan.move(0, 40), "ArrowDown": () => plan.move(0, -40),
  };
  frame.addEventListener("keydown", (event) => {
    const act = keys[event.key];
    if (!act || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    act();
  });
  frame.addEventListener("wheel", (event) => {
    // the wheel alone goes on scrolling the page
    if (!event.ctrlKey) return;
    event.preventDefault();
    plan.zoom(event.deltaY < 0 ? 1.2 : 1 / 1.2, event.clientX, event.clientY);
  }, {passive: false});
}

function switchLayers(svg, memory) {
  const groups = [...svg.querySelectorAll("[data-layer]")];
  for (const box of document.querySelectorAll("[data-layer-switch]")) {
    const layer = box.dataset.layerSwitch;
    const group = groups.find((each) => each.dataset.layer === layer);
    const set = () => group.classList.toggle("off", !box.checked);
    if (memory.kept.layers[layer] === false) box.checked = false;
    box.addEventListener("change", () => {
      memory.kept.layers[layer] = box.checked;
      memory.save();
      set();
    });
    set();
  }
}

function startPlan(memory, tapped) {
  const svg = document.getElementById("plan"), frame = document.getElementById("plan-frame");
  const plan = new PlanView(svg);
  followFingers(frame, plan, tapped);
  followKeys(frame, plan);
  switchLayers(svg, memory);
  const press = (id, act) => document.getElementById(id).addEventListener("click", act);
  press("plan-in", () => plan.zoom(1.5));
  press("plan-out", () => plan.zoom(1 / 1.5));
  press("plan-building", () => plan.reset(plan.first));
  press("plan-all", () => plan.reset(plan.all));
  plan.show();
  return plan;
}

// a picture cropped from the plan, with some lines drawn over it and some spots marked
function pictureOf(plan, view, {lines = [], spots = [], label}) {
  const svg = plan.svg.cloneNode(true);
  svg.removeAttribute("id");
  svg.setAttribute("class", "plan picture");
  svg.setAttribute("aria-label", label);
  const twins = [...svg.querySelectorAll("text")];
  plan.names.forEach(({x, y}, k) => { twins[k].setAttribute("x", x); twins[k].setAttribute("y", y); });
  const over = document.createElementNS(svg.namespaceURI, "g");
  over.setAttribute("class", "over");
  const path = (look, d) => {
    const made = document.createElementNS(svg.namespaceURI, "path");
    made.setAttribute("class", look);
    made.setAttribute("d", d);
    over.append(made);
  };
  for (const [x1, y1, x2, y2] of lines) path("taped", `M${x1} ${y1}L${x2} ${y2}`);
  for (const [x, y] of spots) path("spot", `M${x} ${y}h0`);
  svg.insertBefore(over, svg.querySelector("[data-layer=stakes]"));
  const shown = new PlanView(svg);
  shown.view = [...(view ?? plan.first)];
  // names grow by how near this picture is, as on the plan
  shown.show();
  return svg;
}
