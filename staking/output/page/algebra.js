// Small dense matrices: rows of numbers, as the adjustment needs them.

const zeros = (rows, columns) => Array.from({length: rows}, () => new Float64Array(columns));
const dot = (a, b) => { let sum = 0; for (let i = 0; i < a.length; i += 1) sum += a[i] * b[i]; return sum; };
const timesVector = (matrix, vector) => matrix.map((row) => dot(row, vector));
const distance = (a, b) => Math.hypot(b[0] - a[0], b[1] - a[1]);
const unit = (a, b) => [(b[0] - a[0]) / distance(a, b), (b[1] - a[1]) / distance(a, b)];
// the first place of the greatest, those within a billionth being alike
function indexOfMost(list) {
  const most = Math.max(...list);
  return list.findIndex((value) => value >= most - 1e-9 * Math.max(most, 1));
}

function product(a, b) {
  return a.map((row) => {
    const found = new Float64Array(b.length ? b[0].length : 0);
    row.forEach((value, k) => {
      if (value) for (let j = 0; j < found.length; j += 1) found[j] += value * b[k][j];
    });
    return found;
  });
}

const transposed = (a) => (a.length ? Array.from(a[0], (_, j) => Float64Array.from(a, (row) => row[j])) : []);

// the inverse by elimination with pivots, or null where there is none
function inverse(matrix) {
  const size = matrix.length;
  const rows = matrix.map((row, i) => {
    const wide = new Float64Array(2 * size);
    wide.set(row);
    wide[size + i] = 1;
    return wide;
  });
  for (let k = 0; k < size; k += 1) {
    let best = k;
    for (let i = k; i < size; i += 1) if (Math.abs(rows[i][k]) > Math.abs(rows[best][k])) best = i;
    if (!(Math.abs(rows[best][k]) > 1e-14)) return null;
    [rows[k], rows[best]] = [rows[best], rows[k]];
    const pivot = rows[k][k];
    for (let c = k; c < 2 * size; c += 1) rows[k][c] /= pivot;
    for (let i = 0; i < size; i += 1) {
      const factor = rows[i][k];
      if (i === k || !factor) continue;
      for (let c = k; c < 2 * size; c += 1) rows[i][c] -= factor * rows[k][c];
    }
  }
  return rows.map((row) => row.slice(size));
}

// two shifts and a turn, which no distance can show: 2n rows of three
function freeMotions(points) {
  const count = points.length, middle = meanOf(points);
  const size = Math.sqrt(points.reduce((sum, p) => sum + (p[0] - middle[0]) ** 2 + (p[1] - middle[1]) ** 2, 0));
  const rows = zeros(2 * count, 3), share = 1 / Math.sqrt(count);
  points.forEach((p, c) => {
    rows[2 * c][0] = rows[2 * c + 1][1] = share;
    rows[2 * c][2] = -(p[1] - middle[1]) / size;
    rows[2 * c + 1][2] = (p[0] - middle[0]) / size;
  });
  return rows;
}

const meanOf = (points) => [0, 1].map((i) => points.reduce((sum, p) => sum + p[i], 0) / points.length);

// how points are turned so that they come as near as can be to others: cosine and sine, not scaled
function turnOnto(points, goal) {
  const from = meanOf(points), to = meanOf(goal);
  let along = 0, across = 0;
  points.forEach((p, c) => {
    const h = [p[0] - from[0], p[1] - from[1]], g = [goal[c][0] - to[0], goal[c][1] - to[1]];
    along += h[0] * g[0] + h[1] * g[1];
    across += h[0] * g[1] - h[1] * g[0];
  });
  return {from, to, along, across};
}

function turned(points, {from, to, along, across}) {
  const size = Math.hypot(along, across) || 1, cos = along / size, sin = across / size;
  return points.map(([x, y]) => {
    const h = [x - from[0], y - from[1]];
    return [h[0] * cos - h[1] * sin + to[0], h[0] * sin + h[1] * cos + to[1]];
  });
}

const bestFit = (points, goal) => turned(points, turnOnto(points, goal));
