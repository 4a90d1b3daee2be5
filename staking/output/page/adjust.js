// From taped readings to how the stakes stand, by the matrix that was worked out beforehand, and
// what to move. The full check of the program does the same by least squares.

// well above what the rounding of the matrix leaves of nothing
const LEAST_PIVOT = 1e-4;

const distance = (a, b) => Math.hypot(b[0] - a[0], b[1] - a[1]);

class Network {
  constructor(job) {
    this.job = job;
    this.names = job.corners.map((corner) => corner.name);
    this.at = new Map(this.names.map((name, place) => [name, place]));
    this.plan = job.corners.map((corner) => [corner.x, corner.y]);
    this.ends = job.tapes.map((tape) => [this.at.get(tape.from), this.at.get(tape.to)]);
    this.moves = job.matrix && job.matrix.moves.map((row) => row.map((share) => share / 1e5));
    this.errors = job.matrix && job.matrix.errors;
    if (this.moves) this.redundancy = this.ends.map((_, p) => this.ends.map((__, q) => this.kept(p, q)));
  }

  // the share of reading q that shows in the residual of p, by the design rows and the matrix
  kept(p, q) {
    const [i, j] = this.ends[p], a = this.plan[i], b = this.plan[j], size = distance(a, b);
    const part = (axis) => this.moves[2 * j + axis][q] - this.moves[2 * i + axis][q];
    return (p === q ? 1 : 0) - ((b[0] - a[0]) * part(0) + (b[1] - a[1]) * part(1)) / size;
  }

  // For the tapes that were not read: the factors that give each the value at which it would
  // change nothing. `need` names the first that cannot be done without.
  fold(known, missing) {
    const size = missing.length, r = this.redundancy;
    const rows = missing.map((p) => [...missing.map((q) => r[p][q]), ...known.map((q) => -r[p][q])]);
    const need = [];
    for (let k = 0; k < size; k += 1) {
      let best = k;
      for (let i = k; i < size; i += 1) if (Math.abs(rows[i][k]) > Math.abs(rows[best][k])) best = i;
      if (Math.abs(rows[best][k]) < LEAST_PIVOT) {
        need.push(missing[k]);
        return {need, rows: null};
      }
      [rows[k], rows[best]] = [rows[best], rows[k]];
      for (let i = 0; i < size; i += 1) {
        if (i === k) continue;
        const factor = rows[i][k] / rows[k][k];
        if (factor) for (let c = k; c < rows[i].length; c += 1) rows[i][c] -= factor * rows[k][c];
      }
    }
    return {need, rows: rows.map((row, k) => row.slice(size).map((value) => value / row[k]))};
  }

  // displacements of the corners for values of the known tapes
  spread(values, known, missing, folded) {
    const full = new Array(this.ends.length).fill(0);
    known.forEach((p, k) => { full[p] = values[k]; });
    missing.forEach((p, s) => {
      full[p] = folded[s].reduce((sum, factor, k) => sum + factor * values[k], 0);
    });
    const along = (row) => row.reduce((sum, factor, p) => sum + factor * full[p], 0);
    return this.plan.map((_, c) => [along(this.moves[2 * c]), along(this.moves[2 * c + 1])]);
  }

  length(points, p) {
    return distance(points[this.ends[p][0]], points[this.ends[p][1]]);
  }

  // the standard error of a figure whose change with the corners is `row`, [[corner, x, y], ...]
  figureError(row, known, missing, folded) {
    const each = this.ends.map((_, p) => row.reduce((sum, [c, x, y]) =>
      sum + x * this.moves[2 * c][p] + y * this.moves[2 * c + 1][p], 0));
    const total = known.reduce((sum, p, k) => {
      const share = missing.reduce((part, q, s) => part + each[q] * folded[s][k], each[p]);
      return sum + (share * this.errors[p]) ** 2;
    }, 0);
    return Math.sqrt(total);
  }
}

// the answer for the readings given: an array with a length, m, or null for each tape
function answerTapes(network, readings, hold) {
  const job = network.job, limits = job.limits;
  const known = [], missing = [];
  readings.forEach((value, p) => (value === null ? missing : known).push(p));
  if (!known.length) return {kind: "empty"};
  const ruled = missing.length ? ruleOfDiagonals(network, readings, hold) : null;
  if (ruled) return ruled;
  if (!network.moves) return {kind: "none"};
  const {need, rows: folded} = network.fold(known, missing);
  if (need.length) return {kind: "need", tapes: need};
  const read = known.map((p) => readings[p]);
  const shifted = (points, by) => points.map(([x, y], c) => [x + by[c][0], y + by[c][1]]);
  const step = (points) => network.spread(
    known.map((p, k) => read[k] - network.length(points, p)), known, missing, folded);
  const linear = shifted(network.plan, step(network.plan));
  let points = linear;
  for (let pass = 0; pass < 4; pass += 1) points = shifted(points, step(points));
  // what reads worst, before anything is said of the stakes
  let worst = {test: 0, place: -1};
  known.forEach((p, k) => {
    const number = missing.reduce((sum, q, s) => sum + network.redundancy[p][q] * folded[s][k],
      network.redundancy[p][p]);
    if (number <= LEAST_PIVOT) return;
    const residual = network.length(points, p) - read[k];
    const test = Math.abs(residual) / (network.errors[p] * Math.sqrt(number));
    if (test > worst.test) worst = {test, place: p};
  });
  const held = placed(network, points, hold), first = placed(network, linear, hold);
  const off = Math.max(...held.map((point, c) => distance(point, first[c])));
  if (!(off <= limits.holdsTo)) return {kind: "far"};
  if (worst.test > limits.misfit) return {kind: "misfit", tape: worst.place};
  const judged = judge(network, points, (row) => network.figureError(row, known, missing, folded));
  const spare = known.length - (2 * network.plan.length - 3);
  return finish(network, held, judged, {rule: false, spare, hold});
}

// A rectangle whose two diagonals are read and whose sides are not: (d1^2 - d2^2) / (4 a).
function ruleOfDiagonals(network, readings, hold) {
  const job = network.job;
  const place = (a, b) => job.tapes.findIndex((tape) =>
    (tape.from === a && tape.to === b) || (tape.from === b && tape.to === a));
  for (const ring of job.rectangles) {
    const own = (p) => ring.includes(job.tapes[p].from) && ring.includes(job.tapes[p].to);
    const diagonals = [place(ring[0], ring[2]), place(ring[1], ring[3])];
    if (diagonals.some((p) => p < 0 || readings[p] === null)) continue;
    const others = readings.some((value, p) => value !== null && !diagonals.includes(p) &&
      (own(p) || job.rectangles.length === 1));
    if (others) continue;
    let from = hold.wall ? ring.findIndex((name, i) =>
      hold.wall.includes(name) && hold.wall.includes(ring[(i + 1) % 4])) : 0;
    if (from < 0) from = 0;
    const names = [0, 1, 2, 3].map((i) => ring[(from + i) % 4]);
    return leaning(network, names, readings[place(names[0], names[2])],
      readings[place(names[1], names[3])], hold);
  }
  return null;
}

function leaning(network, names, first, second, hold) {
  const job = network.job, limits = job.limits;
  const [p, q, r, s] = names.map((name) => network.at.get(name));
  const side = distance(network.plan[p], network.plan[q]);
  const depth = distance(network.plan[q], network.plan[r]);
  const lean = (first * first - second * second) / (4 * side);
  const long = Math.sqrt((first * first + second * second) / 2) - Math.hypot(side, depth);
  if (lean * lean / (2 * depth) > limits.holdsTo) return {kind: "far"};
  if (Math.abs(long) > limits.misfit * limits.error) return {kind: "sides", long, names};
  const at = (racked) => {
    const along = unit(network.plan[p], network.plan[q]), up = unit(network.plan[q], network.plan[r]);
    const height = Math.sqrt(depth * depth - racked * racked);
    const points = network.plan.map((point) => [...point]);
    for (const [corner, base] of [[r, q], [s, p]]) {
      points[corner] = [0, 1].map((axis) =>
        network.plan[base][axis] + racked * along[axis] + height * up[axis]);
    }
    return points;
  };
  const ring = new Set(names);
  const own = job.judged.filter((check) =>
    [check.at, check.from, check.to].every((name) => name === null || ring.has(name)));
  const error = Math.hypot(first, second) * limits.error / (2 * side);
  const points = at(lean), beside = at(lean + 1e-5);
  const judged = own.map((check) => {
    const now = figure(network, check, points).now;
    const slope = (figure(network, check, beside).now - now) / 1e-5;
    return verdictOf(check, now, Math.abs(slope) * error, limits);
  });
  return finish(network, placed(network, points, hold, names), judged,
    {rule: true, spare: 1, hold, names, lean});
}

const unit = (a, b) => [(b[0] - a[0]) / distance(a, b), (b[1] - a[1]) / distance(a, b)];

// what a check reads with the corners at `points`, and how that changes with them
function figure(network, check, points) {
  const f = network.at.get(check.from), t = network.at.get(check.to);
  if (check.at === null) {
    const way = unit(points[f], points[t]);
    return {now: distance(points[f], points[t]), row: [[t, way[0], way[1]], [f, -way[0], -way[1]]]};
  }
  const c = network.at.get(check.at), [a, b] = check.legs;
  const one = [0, 1].map((i) => points[f][i] - points[c][i]);
  const other = [0, 1].map((i) => points[t][i] - points[c][i]);
  const turned = one[0] * other[1] - one[1] * other[0];
  const angle = Math.atan2(Math.abs(turned), one[0] * other[0] + one[1] * other[1]);
  const now = Math.sqrt(a * a + b * b - 2 * a * b * Math.cos(angle));
  const way = turned >= 0 ? 1 : -1, factor = a * b * Math.sin(angle) / now, row = [];
  for (const [place, wall, sign] of [[f, one, -way], [t, other, way]]) {
    const square = wall[0] * wall[0] + wall[1] * wall[1];
    const x = -sign * wall[1] / square * factor, y = sign * wall[0] / square * factor;
    row.push([place, x, y], [c, -x, -y]);
  }
  return {now, row};
}

function verdictOf(check, now, error, limits) {
  const off = Math.abs(now - check.distance), reach = limits.half95 * error;
  const most = check.allowed + limits.onLine;
  return {
    check, now, square: off <= most, decided: off + reach <= most || off - reach > most,
  };
}

function judge(network, points, errorOf) {
  return network.job.judged.map((check) => {
    const {now, row} = figure(network, check, points);
    return verdictOf(check, now, errorOf(row), network.job.limits);
  });
}

// the stakes on the plan's grid with a corner and the way of a wall held, or moved least in all
function placed(network, points, hold, names) {
  const plan = network.plan;
  if (!hold.wall) return fitted(network, points, names);
  const [c, first, last] = [hold.corner, ...hold.wall].map((name) => network.at.get(name));
  const here = [0, 1].map((i) => points[last][i] - points[first][i]);
  const there = [0, 1].map((i) => plan[last][i] - plan[first][i]);
  return turned(points, points[c], plan[c],
    here[0] * there[0] + here[1] * there[1], here[0] * there[1] - here[1] * there[0]);
}

function fitted(network, points, names) {
  const places = (names || network.names).map((name) => network.at.get(name));
  const mean = (list) => [0, 1].map((i) => places.reduce((sum, c) => sum + list[c][i], 0) / places.length);
  const from = mean(points), to = mean(network.plan);
  let along = 0, across = 0;
  for (const c of places) {
    const h = [points[c][0] - from[0], points[c][1] - from[1]];
    const g = [network.plan[c][0] - to[0], network.plan[c][1] - to[1]];
    along += h[0] * g[0] + h[1] * g[1];
    across += h[0] * g[1] - h[1] * g[0];
  }
  return turned(points, from, to, along, across);
}

function turned(points, from, to, along, across) {
  const size = Math.hypot(along, across) || 1, cos = along / size, sin = across / size;
  return points.map(([x, y]) => {
    const h = [x - from[0], y - from[1]];
    return [h[0] * cos - h[1] * sin + to[0], h[0] * sin + h[1] * cos + to[1]];
  });
}

function rounded(size, step) {
  return Math.sign(size) * Math.floor(Math.abs(size) / step + 0.5 - 1e-9) * step + 0;
}

// how to move one stake: along the walls that meet at a square corner, along and across elsewhere
function stepsOf(network, c, move) {
  const job = network.job, corner = job.corners[c], here = network.plan[c];
  const after = unit(here, network.plan[network.at.get(corner.after)]);
  const before = unit(here, network.plan[network.at.get(corner.before)]);
  const found = [];
  const take = (way, said, along) => {
    const size = rounded(move[0] * way[0] + move[1] * way[1], job.step);
    if (size) found.push({distance: Math.abs(size), toward: said(size), along,
      x: size * way[0], y: size * way[1]});
  };
  const to = (name) => (size) => (size > 0 ? `toward ${name}` : `away from ${name}`);
  take(after, to(corner.after), corner.after);
  if (Math.abs(after[0] * before[0] + after[1] * before[1]) <= job.limits.squareSine) {
    take(before, to(corner.before), corner.before);
  } else {
    const sign = corner.leftIsInside ? 1 : -1;
    take([-after[1] * sign, after[0] * sign],
      (size) => `${size > 0 ? "inward" : "outward"} from ${corner.name}-${corner.after}`, null);
  }
  return found;
}

function finish(network, held, judged, more) {
  const square = judged.every((each) => each.square);
  const decided = square ? judged.every((each) => each.decided)
    : judged.some((each) => each.decided && !each.square);
  const names = more.names || network.names;
  const moves = names.map((name) => {
    const c = network.at.get(name);
    const move = [network.plan[c][0] - held[c][0], network.plan[c][1] - held[c][1]];
    return {corner: name, x: move[0], y: move[1], steps: square ? [] : stepsOf(network, c, move)};
  });
  const after = held.map((point) => [...point]);
  for (const move of moves) {
    const c = network.at.get(move.corner);
    for (const step of move.steps) after[c] = [after[c][0] + step.x, after[c][1] + step.y];
  }
  return {kind: "answer", ...more, square, decided, judged, moves, after};
}

// stakes that move alike are said together: C and D both 1/2" toward D
function moveLines(network, answer, write) {
  if (answer.square) return ["Leave every stake where it is."];
  const lines = [], told = new Set(), same = network.job.limits.samePoint;
  const by = new Map(answer.moves.map((move) => [move.corner, move]));
  const text = (step) => `${write(step.distance)} ${step.toward}`;
  for (const move of answer.moves) {
    for (const step of move.steps) {
      const mate = by.get(step.along);
      if (!mate || step.toward !== `toward ${step.along}`) continue;
      for (const other of mate.steps) {
        const alike = Math.abs(other.x - step.x) + Math.abs(other.y - step.y) < same;
        if (other.along === move.corner && other.toward.startsWith("away") && alike) {
          told.add(`${move.corner} ${step.toward}`).add(`${mate.corner} ${other.toward}`);
          const both = [move.corner, mate.corner].sort().join(" and ");
          lines.push(`Move ${both} both ${text(step)}.`);
        }
      }
    }
  }
  for (const move of answer.moves) {
    const left = move.steps.filter((step) => !told.has(`${move.corner} ${step.toward}`));
    if (left.length) lines.push(`Move ${move.corner} ${left.map(text).join(" and ")}.`);
  }
  const still = answer.moves.filter((move) => !move.steps.length).map((move) => move.corner);
  if (still.length) lines.push(`Leave ${still.join(", ")}.`);
  return lines;
}

const nameOf = (check) => (check.at !== null ? `the corner ${check.at}` : `${check.from}-${check.to}`);

function verdictText(answer) {
  if (answer.square) {
    return answer.decided ? "Square." : "Square, as near as these readings can tell.";
  }
  const bad = [...new Set(answer.judged.filter((each) => !each.square).map((each) => nameOf(each.check)))];
  const sure = answer.decided ? "Not square" : "Not square, as near as these readings can tell";
  return `${sure}: more than allowed at ${bad.join(", ")}.`;
}
