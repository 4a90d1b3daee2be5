// What is done, ticked and read, kept on this phone under the job's name and its layout's mark.

const PREFIX = "staking/page/2/";

class Memory {
  constructor(job, mark) {
    this.start = `${PREFIX}${job}/`;
    this.key = this.start + mark;
    this.works = true;
    this.kept = {ticks: {}, readings: {}, rod: {}, stage: 0, hold: 0, layers: {}};
    try {
      const text = window.localStorage.getItem(this.key);
      if (text) this.kept = this.sound(JSON.parse(text));
      else window.localStorage.setItem(this.key, JSON.stringify(this.kept));
    } catch {
      this.works = false;
    }
  }

  // only what has the shape that we write is taken over
  sound(found) {
    const kept = {...this.kept};
    for (const part of ["ticks", "readings", "rod", "layers"]) {
      if (found && typeof found[part] === "object" && found[part]) kept[part] = found[part];
    }
    for (const part of ["stage", "hold"]) if (Number.isInteger(found?.[part])) kept[part] = found[part];
    return kept;
  }

  save() {
    try {
      window.localStorage.setItem(this.key, JSON.stringify(this.kept));
    } catch {
      this.works = false;
    }
    return this.works;
  }

  // readings of this job under another layout, the fullest first
  earlier() {
    const found = [];
    try {
      for (let i = 0; i < window.localStorage.length; i += 1) {
        const key = window.localStorage.key(i);
        if (!key.startsWith(this.start) || key === this.key) continue;
        const readings = JSON.parse(window.localStorage.getItem(key)).readings;
        const count = Object.values(readings).flatMap(Object.values).filter(Boolean).length;
        if (count) found.push({readings, count});
      }
    } catch {
      return [];
    }
    return found.sort((a, b) => b.count - a.count);
  }
}
