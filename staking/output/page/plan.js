// The plan: drag and pinch, wheel, keys and buttons; layers that switch.

class PlanView {
  constructor(svg) {
    const box = (text) => text.split(" ").map(Number);
    this.svg = svg;
    this.all = box(svg.dataset.all);
    this.first = box(svg.dataset.first);
    this.view = [...this.first];
  }

  show() {
    this.svg.setAttribute("viewBox", this.view.map((value) => value.toFixed(2)).join(" "));
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

  zoom(factor, x, y) {
    const {view, all} = this, {scale, left, top} = this.drawn();
    const at = x === undefined ? [view[0] + view[2] / 2, view[1] + view[3] / 2]
      : [view[0] + (x - left) / scale, view[1] + (y - top) / scale];
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

function followFingers(frame, plan) {
  const fingers = new Map();
  frame.addEventListener("pointerdown", (event) => {
    frame.setPointerCapture(event.pointerId);
    fingers.set(event.pointerId, [event.clientX, event.clientY]);
  });
  frame.addEventListener("pointermove", (event) => {
    const was = fingers.get(event.pointerId);
    if (!was) return;
    const now = [event.clientX, event.clientY];
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
    frame.addEventListener(end, (event) => fingers.delete(event.pointerId));
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

function startPlan(memory) {
  const svg = document.getElementById("plan"), frame = document.getElementById("plan-frame");
  const plan = new PlanView(svg);
  followFingers(frame, plan);
  followKeys(frame, plan);
  switchLayers(svg, memory);
  const press = (id, act) => document.getElementById(id).addEventListener("click", act);
  press("plan-in", () => plan.zoom(1.5));
  press("plan-out", () => plan.zoom(1 / 1.5));
  press("plan-building", () => plan.reset(plan.first));
  press("plan-all", () => plan.reset(plan.all));
  plan.show();
}
