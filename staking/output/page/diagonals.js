// A rectangle whose two diagonals are read and whose sides are not: the sides are taken as planned,
// and the answer is that of all six tapes.

function ruleOfDiagonals(network, readings, hold) {
  const {job} = network;
  const place = (a, b) => job.tapes.findIndex((tape) => pairKey(tape.from, tape.to) === pairKey(a, b));
  for (const ring of job.rectangles) {
    const own = (p) => ring.includes(job.tapes[p].from) && ring.includes(job.tapes[p].to);
    const diagonals = [place(ring[0], ring[2]), place(ring[1], ring[3])];
    if (diagonals.some((p) => p < 0 || readings[p] === null)) continue;
    const others = readings.some((value, p) => value !== null && !diagonals.includes(p) &&
      (own(p) || job.rectangles.length === 1));
    if (others) continue;
    const [first, second] = diagonals.map((p) => readings[p]);
    const size = diagonals.map((p) => job.tapes[p].planned)[0];
    const long = Math.sqrt((first * first + second * second) / 2) - size;
    if (Math.abs(long) > job.limits.misfit[1] * tapeError(job.tapeError, first)) return {kind: "sides", long};
    const sides = ring.map((name, i) => place(name, ring[(i + 1) % 4]));
    if (sides.some((p) => p < 0)) continue;
    const filled = readings.map((value, p) => (sides.includes(p) ? job.tapes[p].planned : value));
    const found = answerTapes(network, filled, hold);
    return found.kind === "answer" ? {...found, rule: true} : found;
  }
  return null;
}
