// The job as it was handed over, its long lists in short: rows of values get their names back.

function unpacked(job) {
  const tapes = job.tapes.map(([kind, from, to, planned, shown]) => ({kind, from, to, planned, shown}));
  const judged = job.judged.map((row) => {
    if (row.length > 2) {
      const [at, from, to, distance, allowed, legs] = row;
      return {at, from, to, distance, allowed, legs};
    }
    const {from, to, planned} = tapes[row[0]];
    return {at: null, from, to, distance: planned, allowed: row[1], legs: null};
  });
  const steps = (job.steps ?? []).map(([view, ground, taped]) => ({view, ground,
    tapes: taped.map(([from, to, shown, ...line]) => ({from, to, shown, line: line.length ? line : null}))}));
  return {...job, tapes, judged, steps};
}
