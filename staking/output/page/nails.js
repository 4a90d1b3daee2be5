// Which nail slides on which board: as `staking check` has it (adjust/nail_slides.py).

// how far out the line through two stakes crosses a board's own line
function crossingOf(first, last, foot, out) {
  const way = unit(first, last), along = [-out[1], out[0]];
  const ahead = (a) => a[0] * along[0] + a[1] * along[1];
  const reach = ahead([foot[0] - first[0], foot[1] - first[1]]) / ahead(way);
  return (first[0] + way[0] * reach - foot[0]) * out[0] + (first[1] + way[1] * reach - foot[1]) * out[1];
}

// every nail that slides, by where the stakes stand and where they will be left
function slidesOf(job, here, there) {
  const found = [];
  for (const string of job.strings) {
    const taped = string.stakes.filter((name) => here.has(name));
    if (taped.length < 2) continue;
    const [first, last] = [taped[0], taped[taped.length - 1]];
    for (const board of string.boards) {
      const foot = [board.x, board.y];
      const before = crossingOf(here.get(first), here.get(last), foot, string.out);
      const by = crossingOf(there.get(first), there.get(last), foot, string.out) - before;
      const size = wholeSteps(by, job.step) * job.step;
      if (size) found.push({board: board.name, end: board.end, string: string.name, byWall: string.byWall, size});
    }
  }
  return found;
}

function slideLines(answer, write) {
  return answer.slides.map(({board, end, string, byWall, size}) => {
    const way = byWall ? `${size > 0 ? "away from" : "toward"} the building`
      : `to the ${size > 0 ? "right" : "left"} as seen along ${string}`;
    return `Slide the nail of ${string} on board ${board}, beyond ${end}, ${write(Math.abs(size))} ${way}.`;
  });
}
