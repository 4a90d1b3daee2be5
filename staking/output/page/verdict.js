// Square or not, what to read again and what to move: as `staking check` has it (adjust/verdict.py,
// common_error.py, explanations.py, repeats.py, holds.py, moves.py).

const chiSquaredLimit = (freedom) => {
  const part = 2 / (9 * freedom);
  return freedom * (1 - part + 2.326348 * Math.sqrt(part)) ** 3;
};

// what a check reads with the corners at `points`, and how that changes with them
function figure(at, check, points) {
  const f = at.get(check.from), t = at.get(check.to);
  if (check.at === null) {
    const way = unit(points[f], points[t]);
    return {now: distance(points[f], points[t]), row: [[t, way[0], way[1]], [f, -way[0], -way[1]]]};
  }
  const c = at.get(check.at), [a, b] = check.legs;
  const one = [0, 1].map((i) => points[f][i] - points[c][i]);
  const other = [0, 1].map((i) => points[t][i] - points[c][i]);
  const cross = one[0] * other[1] - one[1] * other[0];
  const angle = Math.atan2(Math.abs(cross), one[0] * other[0] + one[1] * other[1]);
  const now = Math.sqrt(a * a + b * b - 2 * a * b * Math.cos(angle));
  const way = cross >= 0 ? 1 : -1, factor = a * b * Math.sin(angle) / now, row = [];
  for (const [place, wall, sign] of [[f, one, -way], [t, other, way]]) {
    const square = wall[0] * wall[0] + wall[1] * wall[1];
    const x = -sign * wall[1] / square * factor, y = sign * wall[0] / square * factor;
    row.push([place, x, y], [c, -x, -y]);
  }
  return {now, row};
}

function judgedBy(check, now, error, z, job, planned) {
  const limit = Math.max(check.allowed, job.limits.steps * job.step, z * error);
  const past = Math.abs(now - check.distance) - limit, near = job.limits.onLine;
  const square = planned || past <= near;
  return {check, now, limit, error, square, decided: square || past >= error - near};
}

// every check that was taped, and the angle at every corner
function judge(job, located, tapes) {
  const at = new Map(located.names.map((name, place) => [name, place]));
  const taped = new Set(tapes.map((tape) => pairKey(tape.from, tape.to)));
  const checks = job.judged.filter((check) => [check.at, check.from, check.to].every((name) =>
    name === null || at.has(name)) && (check.at !== null || taped.has(pairKey(check.from, check.to))));
  const planned = tapes.every((tape) => Math.abs(tape.read - tape.planned) <= job.step / 2 + job.limits.onLine);
  const z = job.limits.z[Math.min(checks.length, job.limits.z.length) - 1];
  return checks.map((check) => {
    const {now, row} = figure(at, check, located.points), long = new Float64Array(2 * located.points.length);
    for (const [c, x, y] of row) { long[2 * c] += x; long[2 * c + 1] += y; }
    const error = Math.sqrt(Math.max(dot(timesVector(located.covariance, long), long), 0));
    return judgedBy(check, now, error, z, job, planned);
  });
}

const pairKey = (a, b) => [a, b].sort().join("\u0000");

// the least sum of squares that freeing a single stake leaves
function leftByOneStake(solution, plan) {
  const off = bestFit(solution.points, plan).flatMap((p, c) => [p[0] - plan[c][0], p[1] - plan[c][1]]);
  const pull = timesVector(solution.normal, off);
  const taken = plan.map((_, c) => {
    const [i, j] = [2 * c, 2 * c + 1], n = solution.normal;
    const own = inverse([Float64Array.of(n[i][i], n[i][j]), Float64Array.of(n[j][i], n[j][j])]);
    return own ? dot(timesVector(own, [pull[i], pull[j]]), [pull[i], pull[j]]) : 0;
  });
  return dot(off, pull) - Math.max(...taken);
}

// one offset or factor in every reading; the longest side is named to be read again
function commonError(network, first, tapes, square) {
  const {job, plan, names} = network, {limits} = job;
  const at = new Map(names.map((name, place) => [name, place]));
  const taped = new Set(tapes.map((tape) => pairKey(tape.from, tape.to)));
  const sides = job.walls.filter(([a, b]) => taped.has(pairKey(a, b))).map((side) => [...side].sort());
  if (tapes.length < limits.fewest || !sides.length) return null;
  sides.sort((a, b) => (a.join() < b.join() ? -1 : 1));
  const far = sides.map(([a, b]) => Number(distance(plan[at.get(a)], plan[at.get(b)]).toFixed(6)));
  const found = commonInNetwork(first, limits) ||
    (square ? null : commonOffPlan(first, plan, tapes, limits));
  return found && {...found, longest: sides[indexOfMost(far)]};
}

function commonInNetwork(first, limits) {
  if (first.redundancy < 2) return null;
  const weights = first.tapes.map((tape) => tape.error ** -2);
  const combined = new Float64Array(first.design[0].length);
  first.design.forEach((row, p) => row.forEach((value, k) => { combined[k] += weights[p] * value; }));
  const size = first.tapes.reduce((sum, tape, p) => sum + weights[p] ** 2 * tape.error ** 2, 0) -
    dot(timesVector(first.covariance, combined), combined);
  const pull = first.residual.reduce((sum, value, p) => sum + weights[p] * value, 0);
  if (size <= 1e-6 * weights.reduce((sum, value) => sum + value, 0)) return null;
  const test = Math.abs(pull) / Math.sqrt(size), worst = Math.max(...first.tests.map(Math.abs));
  if (test <= misfitLimit(limits, first.tapes.length) || test < worst) return null;
  if (first.misfit - test ** 2 > chiSquaredLimit(first.redundancy - 1)) return null;
  return {kind: "offset", amount: -pull / size};
}

function commonOffPlan(first, plan, tapes, limits) {
  const weights = tapes.map((tape) => tape.error ** -2), fits = [];
  const off = tapes.map((tape) => tape.read - tape.planned);
  for (const [kind, column] of [["offset", off.map(() => 1)], ["factor", tapes.map((tape) => tape.planned)]]) {
    const size = column.reduce((sum, value, p) => sum + weights[p] * value * value, 0);
    const amount = column.reduce((sum, value, p) => sum + weights[p] * value * off[p], 0) / size;
    const left = off.map((value, p) => (value - amount * column[p]) ** 2 * weights[p]);
    if (Math.max(...left) <= limits.misfit[1] ** 2 && Math.abs(amount) * Math.sqrt(size) > limits.misfit[1]) {
      fits.push({kind, amount, left: left.reduce((sum, value) => sum + value, 0)});
    }
  }
  if (!fits.length) return null;
  const best = fits.reduce((one, other) => (other.left < one.left ? other : one));
  const each = off.map((value, p) => value * value * weights[p]);
  const byReading = each.reduce((sum, value) => sum + value, 0) - Math.max(...each);
  const byStake = leftByOneStake(first, plan) + first.misfit;
  if (best.left > chiSquaredLimit(off.length - 1) || best.left >= Math.min(byReading, byStake)) return null;
  return {kind: best.kind, amount: best.kind === "offset" ? best.amount : 1 + best.amount};
}

// whether more than half the corners are a foot or more off, which nothing single explains
function isForeign(network, solution) {
  const {job, plan, names} = network, foot = job.limits.foreign;
  const away = (points, goal, least = foot / 2) =>
    bestFit(points, goal).filter((p, c) => distance(p, goal[c]) >= least).length;
  const places = bestFit(solution.points, plan);
  if (2 * away(places, plan, foot) <= plan.length) return false;
  if (plan.length > 3 && plan.some((_, k) => {
    const rest = (list) => list.filter((__, c) => c !== k);
    return !away(rest(places), rest(plan));
  })) return false;
  if (job.walls.some((wall) => wallExplains(places, plan, names, wall, away))) return false;
  return !solution.tapes.some((_, wrong) => {
    const mended = solution.tapes.map((tape, p) => (p === wrong ? {...tape, read: tape.planned} : tape));
    const found = solve(plan, mended);
    return found && !away(found.points, plan);
  });
}

function wallExplains(places, plan, names, wall, away) {
  const [i, j] = wall.map((name) => names.indexOf(name));
  if (i < 0 || j < 0) return false;
  const along = unit(plan[i], plan[j]), length = distance(plan[i], plan[j]);
  const station = plan.map((p) => (p[0] - plan[i][0]) * along[0] + (p[1] - plan[i][1]) * along[1]);
  for (const least of [0.5 * length, length - 1e-6, 1e-6]) {
    const beyond = station.map((value) => (least === length - 1e-6 ? value >= least : value > least));
    let stretched = plan.map((p) => [...p]);
    for (let pass = 0; pass < 10; pass += 1) {
      const fitted = bestFit(places, stretched), sums = [[0, 0], [0, 0]];
      stretched.forEach((p, c) => {
        const sum = sums[beyond[c] ? 1 : 0];
        sum[0] += (fitted[c][0] - p[0]) * along[0] + (fitted[c][1] - p[1]) * along[1];
        sum[1] += 1;
      });
      if (!sums[0][1]) break;
      const more = sums[1][0] / sums[1][1] - sums[0][0] / sums[0][1];
      stretched = stretched.map((p, c) => (beyond[c] ? [p[0] + more * along[0], p[1] + more * along[1]] : p));
    }
    if (!away(places, stretched)) return true;
  }
  return false;
}

// a corner nearer to another corner's place than to its own
function isFolded(solution, plan) {
  if (plan.length < 3) return false;
  const fitted = bestFit(solution.points, plan);
  return plan.some((p, c) => {
    const gap = Math.min(...plan.filter((_, k) => k !== c).map((other) => distance(p, other)));
    return distance(fitted[c], p) > Math.max(gap / 2, 0.5);
  });
}

// the reading to take again before any stake is moved, by its place; or none
function toRepeat(sifted, decided, isSquareWithout) {
  const {solution} = sifted, tests = solution.tests.map(Math.abs);
  if (!tests.length) return [];
  const worst = indexOfMost(tests);
  const alike = tests.map((_, k) => tests[worst] <= 1e-6 || k === worst ||
    Math.abs(solution.alike(worst, k)) > 0.95);
  const far = solution.tapes.map((tape, k) =>
    (alike[k] ? Math.abs(tape.read - tape.planned) / tape.error : -1));
  const wrong = indexOfMost(far);
  if (decided && (sifted.redundancy === 0 ||
    !isSquareWithout(solution.tapes.filter((_, k) => k !== wrong)))) return [];
  return [solution.tapes[wrong].place];
}

// the corner and wall that are held: as chosen where they were taped, else as where nobody chooses
function heldOf(job, names, hold) {
  if (!hold.wall) return hold;
  if (hold.wall.every((name) => names.includes(name)) && names.includes(hold.corner)) return hold;
  const at = new Map(job.corners.map((corner) => [corner.name, [corner.x, corner.y]]));
  const taped = job.walls.map((wall, k) => ({wall: [...wall].sort(), against: job.against[k]}))
    .filter(({wall}) => wall.every((name) => names.includes(name)));
  const long = ({wall}) => Number(distance(at.get(wall[0]), at.get(wall[1])).toFixed(4));
  const least = job.least_share * Math.max(0, ...taped.map(long));
  const against = taped.filter((each) => each.against && long(each) >= least);
  const listed = against.length ? against : taped;
  if (listed.length) {
    listed.sort((a, b) => long(b) - long(a) || (a.wall.join() < b.wall.join() ? -1 : 1));
    return {corner: listed[0].wall[0], wall: listed[0].wall};
  }
  const rest = names.slice(1), far = rest.map((name) => distance(at.get(names[0]), at.get(name)));
  return {corner: names[0], wall: [names[0], rest[indexOfMost(far)]]};
}

// corners and points on the plan's grid, with a corner and the way of a wall held, or moved least
function placed(located, plan, hold) {
  const corners = located.points.slice(0, located.corners);
  if (!hold.wall) return turned(located.points, turnOnto(corners, plan));
  const [c, first, last] = [hold.corner, ...hold.wall].map((name) => located.names.indexOf(name));
  const here = [0, 1].map((i) => corners[last][i] - corners[first][i]);
  const there = [0, 1].map((i) => plan[last][i] - plan[first][i]);
  return turned(located.points, {from: corners[c], to: plan[c],
    along: here[0] * there[0] + here[1] * there[1], across: here[0] * there[1] - here[1] * there[0]});
}

// a wall as it runs from a corner, and the sine of how far the stakes show it turned
function cornerWall(name, neighbour, wall, inner, at, seen) {
  const way = unit(at.get(name), at.get(neighbour)), left = [-way[1], way[0]];
  const other = seen.get(neighbour) || at.get(neighbour), own = seen.get(name);
  const shown = [other[0] - own[0], other[1] - own[1]], size = Math.hypot(...shown);
  const ahead = shown[0] * way[0] + shown[1] * way[1], aside = shown[0] * left[0] + shown[1] * left[1];
  return {neighbour, wall, way, inward: [inner * left[0], inner * left[1]],
    turned: ahead > 0 ? Math.abs(aside) / size : 1};
}

// how to move one stake: along the walls that meet at a square corner, along and across elsewhere
// and where the stakes show one of the two too much turned to be a guide
function stepsOf(job, name, move, seen) {
  const found = [];
  const take = (way, said, along) => {
    const size = wholeSteps(move[0] * way[0] + move[1] * way[1], job.step) * job.step;
    if (size) found.push({distance: Math.abs(size), toward: said(size), along,
      x: size * way[0], y: size * way[1]});
  };
  const corner = job.corners.find((each) => each.name === name);
  if (!corner) return pointSteps(job, name, take, found);
  const at = new Map(job.corners.map((each) => [each.name, [each.x, each.y]]));
  const sign = corner.leftIsInside ? 1 : -1;
  const after = cornerWall(name, corner.after, `${name}-${corner.after}`, sign, at, seen);
  const before = cornerWall(name, corner.before, `${corner.before}-${name}`, -sign, at, seen);
  const to = (other) => (size) => (size > 0 ? `toward ${other}` : `away from ${other}`);
  const square = Math.abs(after.way[0] * before.way[0] + after.way[1] * before.way[1]) <= job.limits.squareSine;
  const misleads = (wall) => wall.turned > job.limits.seenSine;
  if (square && !misleads(after) && !misleads(before)) {
    for (const wall of [after, before]) take(wall.way, to(wall.neighbour), wall.neighbour);
  } else {
    const guide = misleads(after) && before.turned < after.turned ? before : after;
    take(guide.way, to(guide.neighbour), guide.neighbour);
    take(guide.inward, (size) => `${size > 0 ? "inward" : "outward"} from ${guide.wall}`, null);
  }
  return found;
}

function pointSteps(job, name, take, found) {
  const target = job.targets.find((each) => each.name === name);
  const [first, last] = target.towardName, [ahead, back] = target.acrossNames;
  take(target.toward, (size) => `toward ${size > 0 ? last : first} along ${first}-${last}`, null);
  take(target.across, (size) => (size > 0 ? ahead : back), null);
  return found;
}
