// From taped readings to how the stakes stand: the adjustment of `staking check`, step by step the
// same (network/solve.py, adjust/blunders.py). What is judged and moved follows in verdict.js.

// one tape's standard error, m
function tapeError(tape, length) {
  if (tape.error !== null) return tape.error;
  return (tape.fixed + tape.perMetre * Math.ceil(length - 1e-6)) / 1000 / Math.sqrt(3);
}

const lengthsOf = (tapes, points) => tapes.map((tape) => distance(points[tape.i], points[tape.j]));

function designOf(tapes, points) {
  return tapes.map((tape) => {
    const row = new Float64Array(2 * points.length), way = unit(points[tape.i], points[tape.j]);
    for (const axis of [0, 1]) { row[2 * tape.i + axis] = -way[axis]; row[2 * tape.j + axis] = way[axis]; }
    return row;
  });
}

// the normal matrix of rows over their errors
function normalOf(design, errors, size) {
  const total = zeros(size, size);
  design.forEach((row, p) => {
    const used = [];
    row.forEach((value, k) => { if (value) used.push(k); });
    const weight = 1 / errors[p] ** 2;
    for (const a of used) for (const b of used) total[a][b] += row[a] * row[b] * weight;
  });
  return total;
}

function withFree(normal, free) {
  return normal.map((row, i) => row.map((value, j) => value + dot(free[i], free[j])));
}

// null where the tapes fix the shape, else which of those that may be taped are needed
function looseTapes(tapes, points, others, least) {
  const size = 2 * points.length, free = freeMotions(points);
  const design = designOf(tapes, points);
  const found = inverse(withFree(normalOf(design, tapes.map(() => 1), size), free));
  if (found && Math.sqrt(found.reduce((sum, row) => sum + dot(row, row), 0)) < 1 / least ** 2) return null;
  const basis = [];
  const rest = (row) => {
    const left = Float64Array.from(row);
    for (const each of basis) { const part = dot(left, each); left.forEach((_, k) => { left[k] -= part * each[k]; }); }
    return left;
  };
  const take = (row) => {
    const left = rest(row), long = Math.sqrt(dot(left, left));
    if (long > least) basis.push(left.map((value) => value / long));
  };
  transposed(free).forEach(take);
  design.forEach(take);
  const need = [], more = others.map((tape) => ({tape, row: designOf([tape], points)[0]}));
  while (basis.length < size) {
    const sizes = more.map(({row}) => { const left = rest(row); return Math.sqrt(dot(left, left)); });
    if (!more.length || Math.max(...sizes) <= least) break;
    const best = indexOfMost(sizes);
    need.push(more[best].tape);
    take(more[best].row);
  }
  return need;
}

// Gauss-Newton on the distances, each over its error, from the plan
function iterate(plan, tapes) {
  const smallest = Math.min(...tapes.map((tape) => tape.error));
  const costOf = (points) => lengthsOf(tapes, points).reduce((sum, length, p) =>
    sum + ((tapes[p].read - length) / tapes[p].error) ** 2, 0);
  let points = plan.map((p) => [...p]), cost = costOf(points), before = Infinity;
  const errors = tapes.map((tape) => tape.error / smallest), size = 2 * plan.length;
  for (let pass = 0; pass < 100; pass += 1) {
    const design = designOf(tapes, points), lengths = lengthsOf(tapes, points);
    const normal = withFree(normalOf(design, errors, size), freeMotions(points));
    const pull = new Float64Array(size);
    design.forEach((row, p) => {
      const part = (tapes[p].read - lengths[p]) / errors[p] ** 2;
      row.forEach((value, k) => { if (value) pull[k] += value * part; });
    });
    const solved = inverse(normal);
    if (!solved) return null;
    let step = timesVector(solved, pull), trial, found;
    const most = Math.max(...step.map(Math.abs));
    let half = 0;
    for (; half < 40; half += 1) {
      trial = points.map(([x, y], c) => [x + step[2 * c], y + step[2 * c + 1]]);
      found = costOf(trial);
      if (found <= cost * (1 + 1e-9) + 1e-18) break;
      step = step.map((value) => value / 2);
    }
    if (half === 40) return null;
    points = trial;
    cost = found;
    if (most < 1e-12 || (most < 1e-6 && most > before / 2)) return points;
    before = most;
  }
  return null;
}

// the shape by some tapes: its points on the plan, covariance and tests; null where there is none
function solve(plan, tapes) {
  const points = iterate(plan, tapes);
  if (!points) return null;
  const fitted = bestFit(points, plan), mirror = plan.map(([x, y]) => [-x, y]);
  const offBy = (a, b) => Math.max(...a.map((p, c) => distance(p, b[c])));
  const off = offBy(fitted, plan);
  if (plan.length > 2 && off > 5e-4 && offBy(bestFit(fitted, mirror), mirror) < off / 2) return null;
  const size = 2 * plan.length, free = freeMotions(fitted);
  const design = designOf(tapes, fitted), lengths = lengthsOf(tapes, fitted);
  const smallest = Math.min(...tapes.map((tape) => tape.error));
  const scaled = inverse(withFree(normalOf(design, tapes.map((t) => t.error / smallest), size), free));
  if (!scaled) return null;
  const covariance = scaled.map((row, i) => row.map((value, j) =>
    (value - dot(free[i], free[j])) * smallest ** 2));
  const spread = product(design, covariance);
  const kept = design.map((_, p) => design.map((row, q) =>
    (p === q ? 1 : 0) - dot(spread[p], row) / tapes[p].error / tapes[q].error));
  const number = kept.map((row, p) => Math.min(Math.max(row[p], 0), 1));
  const residual = lengths.map((length, p) => length - tapes[p].read);
  const root = number.map((value) => (value > 1e-6 ? Math.sqrt(value) : Infinity));
  return {
    points: fitted, covariance, design, lengths, residual, tapes, normal: normalOf(design, tapes.map((t) => t.error), size),
    number: number.map((value) => (value > 1e-6 ? value : 0)),
    tests: residual.map((value, p) => value / tapes[p].error / root[p]),
    alike: (p, q) => (p === q ? 1 : kept[p][q] / root[p] / root[q]),
    redundancy: tapes.length - size + 3,
    misfit: residual.reduce((sum, value, p) => sum + (value / tapes[p].error) ** 2, 0),
  };
}

const misfitLimit = (limits, count) => limits.misfit[Math.min(count, limits.misfit.length - 1)];

// readings that do not fit, one at a time: members, worst first, and whether one is named alone
function sift(plan, tapes, limits) {
  const first = solve(plan, tapes);
  if (!first) return null;
  let solution = first, kept = tapes.map((_, p) => p);
  const suspects = [];
  while (suspects.length < first.redundancy) {
    const sizes = solution.tests.map(Math.abs), worst = indexOfMost(sizes);
    if (!sizes.length || sizes[worst] <= misfitLimit(limits, sizes.length)) break;
    const others = kept.map((_, k) => k).filter((k) =>
      k !== worst && solution.number[k] > 0 && Math.abs(solution.alike(worst, k)) > limits.alike);
    suspects.push({members: [worst, ...others].map((k) => kept[k]),
      size: -solution.residual[worst] / solution.number[worst]});
    if (others.length) break;
    const rest = kept.filter((_, k) => k !== worst);
    const left = rest.map((p) => tapes[p]);
    if (looseTapes(left, plan, [], limits.loose)) break;
    const again = solve(plan, left);
    if (!again) break;
    solution = again;
    kept = rest;
  }
  const out = tapes.map((_, p) => p).filter((p) => !kept.includes(p));
  for (const each of suspects) {
    const p = each.members[0];
    if (!out.includes(p)) continue;
    const tape = tapes[p];
    each.size = tape.read - distance(solution.points[tape.i], solution.points[tape.j]);
  }
  return {first, solution, suspects, out, redundancy: first.redundancy,
    unclear: suspects.some((each) => each.members.length > 1)};
}
