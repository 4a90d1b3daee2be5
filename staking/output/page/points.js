// Pads and ends of interior lines by tapes from the adjusted corners (adjust/point_places.py).

// one point by some tapes [{i, read, error}]: place, its change with corners and tapes; or null
function fixPoint(solution, target, tapes) {
  const along = target.on !== null && tapes.every((tape) => target.on.includes(tape.i));
  if (along) return fixAlong(solution, target, tapes);
  const corners = tapes.map((tape) => solution.points[tape.i]);
  const ways = corners.map((corner) => unit(corner, target.place));
  const sines = ways.flatMap((a) => ways.map((b) => Math.abs(a[0] * b[1] - a[1] * b[0])));
  if (!sines.length || Math.max(...sines) < Math.sin(Math.PI / 180)) return null;
  let place = [...target.place];
  const weights = tapes.map((tape) => tape.error ** -2);
  const state = () => {
    const lengths = corners.map((corner) => distance(corner, place));
    const rows = corners.map((corner, k) => [0, 1].map((i) => (place[i] - corner[i]) / Math.max(lengths[k], 1e-6)));
    const normal = [0, 1].map((i) => Float64Array.from([0, 1], (j) =>
      rows.reduce((sum, row, k) => sum + row[i] * row[j] * weights[k], 0)));
    return {lengths, rows, cofactor: inverse(normal)};
  };
  for (let pass = 0; pass < 50; pass += 1) {
    const {lengths, rows, cofactor} = state();
    const pull = [0, 1].map((i) => rows.reduce((sum, row, k) =>
      sum + row[i] * weights[k] * (tapes[k].read - lengths[k]), 0));
    const shift = timesVector(cofactor, pull), size = Math.hypot(...shift);
    const part = size > 0 ? Math.min(1, Math.min(...lengths) / 2 / size) : 1;
    place = place.map((value, i) => value + shift[i] * part);
    if (size < 1e-12) break;
  }
  const {lengths, rows, cofactor} = state();
  const gains = [0, 1].map((i) => rows.map((row, k) =>
    (cofactor[i][0] * row[0] + cofactor[i][1] * row[1]) * weights[k]));
  const moved = tapes.map((tape, k) => [tape.i, [0, 1].map((a) => [0, 1].map((b) => gains[a][k] * rows[k][b]))]);
  return {place, lengths, rows, gains, moved, unknowns: 2};
}

// on its wall's string, with tapes from the wall's own corners alone
function fixAlong(solution, target, tapes) {
  const [i, j] = target.on, a = solution.points[i], b = solution.points[j];
  if (!a || !b) return null;
  const length = distance(a, b), e = unit(a, b), n = [-e[1], e[0]];
  const total = tapes.reduce((sum, tape) => sum + tape.error ** -2, 0);
  const weights = tapes.map((tape) => tape.error ** -2 / total);
  const far = tapes.map((tape) => tape.i === j);
  const t = tapes.reduce((sum, tape, k) => sum + weights[k] * (far[k] ? length - tape.read : tape.read), 0);
  const back = weights.reduce((sum, w, k) => sum + (far[k] ? w : 0), 0), share = t / length;
  const mixed = (one, other) => [0, 1].map((p) => [0, 1].map((q) => one * e[p] * e[q] + other * n[p] * n[q]));
  const signs = far.map((each) => (each ? -1 : 1));
  return {
    place: [a[0] + t * e[0], a[1] + t * e[1]],
    lengths: far.map((each) => (each ? length - t : t)),
    rows: signs.map((sign) => [sign * e[0], sign * e[1]]),
    gains: [0, 1].map((axis) => weights.map((w, k) => e[axis] * w * signs[k])),
    moved: [[i, mixed(1 - back, 1 - share)], [j, mixed(back, share)]],
    unknowns: 1,
  };
}

// the tests of the tapes to one point, the corners' own covariance counted in
function pointTests(solution, fix, tapes) {
  const size = 2 * solution.points.length, covariance = solution.covariance;
  const reads = tapes.map((tape, k) => {
    const row = new Float64Array(size);
    for (const axis of [0, 1]) row[2 * tape.i + axis] -= fix.rows[k][axis];
    for (const [corner, change] of fix.moved) for (const axis of [0, 1]) {
      row[2 * corner + axis] += fix.rows[k][0] * change[0][axis] + fix.rows[k][1] * change[1][axis];
    }
    return row;
  });
  return tapes.map((tape, k) => {
    const byTapes = tapes.map((_, q) =>
      fix.rows[k][0] * fix.gains[0][q] + fix.rows[k][1] * fix.gains[1][q] - (k === q ? 1 : 0));
    const variance = dot(timesVector(covariance, reads[k]), reads[k]) +
      byTapes.reduce((sum, part, q) => sum + (part * tapes[q].error) ** 2, 0);
    const number = Math.min(Math.max(-byTapes[k], 0), 1), error = Math.sqrt(Math.max(variance, 0));
    const residual = fix.lengths[k] - tape.read;
    return {number, residual, test: number > 1e-6 && error > 1e-6 ? residual / error : 0};
  });
}

// every point that was taped: fixes, suspects by the places of the tapes, or what to tape next
function findPoints(solution, targets, tapes, limits) {
  const fixes = [], suspects = [], out = [];
  for (const target of targets) {
    const own = tapes.filter((tape) => tape.target === target.name);
    if (!own.length) continue;
    let kept = own;
    for (;;) {
      const fix = fixPoint(solution, target, kept);
      if (!fix) return {need: target.name};
      const tests = pointTests(solution, fix, kept), spare = kept.length - fix.unknowns;
      const worst = indexOfMost(tests.map(({test}) => Math.abs(test)));
      if (spare <= 0 || Math.abs(tests[worst].test) <= misfitLimit(limits, tapes.length)) {
        fixes.push({target, fix, kept});
        break;
      }
      const size = -tests[worst].residual / tests[worst].number;
      if (spare < 2) {
        const others = kept.filter((_, k) => k !== worst && tests[k].number > 1e-6);
        suspects.push({members: [kept[worst], ...others].map((tape) => tape.place), size});
        fixes.push({target, fix, kept});
        break;
      }
      suspects.push({members: [kept[worst].place], size});
      out.push(kept[worst].place);
      kept = kept.filter((_, k) => k !== worst);
    }
  }
  return {fixes, suspects, out, need: null};
}

// corners and points in one frame, with the covariance that counts the step that is read
function locate(solution, names, fixes, step) {
  const corners = 2 * names.length, count = corners + 2 * fixes.length;
  const gains = solution.tapes.map((tape, p) =>
    timesVector(solution.covariance, solution.design[p]).map((value) => value / tape.error ** 2));
  const change = zeros(count, corners), own = zeros(count, count);
  for (let k = 0; k < corners; k += 1) change[k][k] = 1;
  fixes.forEach(({fix, kept}, f) => {
    const at = corners + 2 * f;
    for (const [corner, matrix] of fix.moved) for (const a of [0, 1]) for (const b of [0, 1]) {
      change[at + a][2 * corner + b] += matrix[a][b];
    }
    for (const a of [0, 1]) for (const b of [0, 1]) {
      own[at + a][at + b] = kept.reduce((sum, tape, k) =>
        sum + fix.gains[a][k] * fix.gains[b][k] * (tape.error ** 2 + step ** 2 / 12), 0);
    }
  });
  const read = solution.covariance.map((row, i) => row.map((value, j) =>
    value + step ** 2 / 12 * gains.reduce((sum, gain) => sum + gain[i] * gain[j], 0)));
  const spread = product(product(change, read), transposed(change));
  return {
    names: [...names, ...fixes.map(({target}) => target.name)], corners: names.length,
    points: [...solution.points, ...fixes.map(({fix}) => fix.place)],
    covariance: spread.map((row, i) => row.map((value, j) => value + own[i][j])),
  };
}
