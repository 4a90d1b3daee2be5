// Takes a length by touch: pickers for feet, inches and sixteenths, or keys for a decimal, or text.

const DIGITS = ["1", "2", "3", "4", "5", "6", "7", "8", "9", "0"];
const PAD_UNITS = {"decimal-feet": "ft", "metres": "m", "millimetres": "mm"};

const sixteenth = (count) => {
  const common = commonDivisor(count, 16);
  return count ? `${count / common}/${16 / common}` : "0";
};

class LengthPad {
  constructor(job) {
    this.job = job;
    this.dialog = document.getElementById("pad");
    this.input = document.getElementById("pad-text");
    this.fault = document.getElementById("pad-fault");
    this.keys = document.getElementById("pad-keys");
    this.input.addEventListener("input", () => { this.fault.textContent = ""; this.follow(); });
    document.getElementById("pad-form").addEventListener("submit", (event) => {
      event.preventDefault();
      this.give();
    });
    document.getElementById("pad-clear").addEventListener("click", () => this.done(""));
    document.getElementById("pad-leave").addEventListener("click", () => this.dialog.close());
  }

  // `how` is how lengths are written there; `take` gets the text, empty where it was cleared
  ask({title, how, text, take}) {
    Object.assign(this, {how, take});
    document.getElementById("pad-title").replaceChildren(words(title));
    this.fault.textContent = "";
    this.input.value = text;
    this.draw();
    this.follow();
    this.dialog.showModal();
    // the phone's own keyboard stays away until the text is tapped
    document.getElementById("pad-title").focus();
    this.keys.querySelector("button").focus();
  }

  draw() {
    const group = (name, ...buttons) => {
      const set = element("div", `keys ${name}`, ...buttons);
      set.setAttribute("role", "group");
      set.setAttribute("aria-label", name);
      return element("div", "", element("p", "soft", name), set);
    };
    const digits = (act) => [...DIGITS.map((digit) => button(digit, () => act(digit))),
      button("\u232b", () => act(null))];
    if (this.how !== "feet-inches") {
      const unit = PAD_UNITS[this.how], keys = digits((digit) => this.digit(digit));
      keys.at(-1).setAttribute("aria-label", "take the last digit away");
      if (unit !== "mm") keys.splice(10, 0, button(".", () => this.digit(".")));
      this.keys.replaceChildren(group(unit, ...keys));
      return;
    }
    const feet = digits((digit) => this.foot(digit));
    feet.at(-1).setAttribute("aria-label", "take the last digit of the feet away");
    const picks = (count, text, key) => Array.from({length: count}, (_, value) => {
      const made = button(text(value), () => { this.picked[key] = value; this.compose(); });
      made.dataset[key] = String(value);
      return made;
    });
    this.keys.replaceChildren(group("feet", ...feet), group("inches", ...picks(12, String, "inch")),
      group("sixteenths", ...picks(16, sixteenth, "part")));
  }

  foot(digit) {
    const {picked} = this;
    picked.feet = digit === null ? picked.feet.slice(0, -1) : `${picked.feet}${digit}`.slice(-4);
    this.compose();
  }

  digit(digit) {
    const {picked} = this;
    if (digit === "." && picked.number.includes(".")) return;
    picked.number = digit === null ? picked.number.slice(0, -1) : `${picked.number}${digit}`.slice(0, 9);
    this.input.value = picked.number ? `${picked.number} ${PAD_UNITS[this.how]}` : "";
    this.fault.textContent = "";
  }

  compose() {
    const {feet, inch, part} = this.picked;
    const inches = part ? `${inch} ${sixteenth(part)}"` : `${inch}"`;
    this.input.value = Number(feet) ? `${Number(feet)}' ${inches}` : inches;
    this.fault.textContent = "";
    this.press();
  }

  press() {
    for (const key of ["inch", "part"]) {
      for (const each of this.keys.querySelectorAll(`[data-${key}]`)) {
        each.setAttribute("aria-pressed", String(Number(each.dataset[key]) === this.picked[key]));
      }
    }
  }

  // the pickers stand where the text stands, as far as it is a length
  follow() {
    this.picked = {feet: "", inch: 0, part: 0, number: ""};
    try {
      const metres = typedLength(this.input.value, this.job.unit);
      const count = wholeSteps(metres, INCH / 16);
      if (metres >= 0) {
        this.picked.feet = String(Math.floor(count / 192) || "");
        this.picked.inch = Math.floor(count / 16) % 12;
        this.picked.part = count % 16;
      }
    } catch (error) {
      if (!(error instanceof MeasureFault)) throw error;
    }
    this.press();
  }

  give() {
    const text = this.input.value.trim();
    try {
      if (text) typedLength(text, this.job.unit);
      this.done(text);
    } catch (error) {
      if (!(error instanceof MeasureFault)) throw error;
      this.fault.textContent = `${error.message}.`;
    }
  }

  done(text) {
    this.dialog.close();
    this.take(text);
  }
}
