// The answer to the readings in the boxes: the verdict of `staking check`, and its sentences.

class Network {
  constructor(job) {
    this.job = job;
    this.corners = new Map(job.corners.map((corner) => [corner.name, [corner.x, corner.y]]));
    this.targets = new Map(job.targets.map((target) => [target.name, target]));
  }

  place(name) {
    const target = this.targets.get(name);
    return target ? [target.x, target.y] : this.corners.get(name);
  }
}

const isPoint = (tape) => tape.kind === "point";

// the corners that were taped, as the check has them, and what was read between and from them
function gathered(network, readings) {
  const {job} = network, read = readings.map((value, place) => ({...job.tapes[place], place, read: value}))
    .filter(({read: value}) => value !== null);
  const named = new Set(read.flatMap((tape) => (isPoint(tape) ? [tape.from] : [tape.from, tape.to])));
  const names = job.corners.map(({name}) => name).filter((name) => named.has(name) || named.size < 3);
  const at = new Map(names.map((name, place) => [name, place]));
  const whole = (tape) => ({...tape, i: at.get(tape.from), j: at.get(tape.to), target: tape.to,
    error: tapeError(job.tapeError, tape.read ?? tape.planned)});
  const targets = job.targets.map((target) => ({...target, place: [target.x, target.y],
    on: target.on && target.on.map((name) => at.get(name) ?? -1)}));
  const others = job.tapes.map((tape, place) => ({...tape, place, read: null})).filter((tape, place) =>
    readings[place] === null && !isPoint(tape) && at.has(tape.from) && at.has(tape.to)).map(whole);
  return {job, names, plan: names.map((name) => network.corners.get(name)), targets, others,
    between: read.filter((tape) => !isPoint(tape)).map(whole), toPoints: read.filter(isPoint).map(whole)};
}

function judgedShape(given, sifted) {
  const {job, names} = given;
  const points = findPoints(sifted.solution, given.targets, given.toPoints, job.limits);
  if (points.need) return {need: points.need};
  const located = locate(sifted.solution, names, points.fixes, job.step);
  const judged = judge(job, located, [...given.between, ...given.toPoints]);
  const suspects = [...sifted.suspects.map((each) => ({...each, members: each.members.map((p) => given.between[p].place)})),
    ...points.suspects];
  const square = judged.every((each) => each.square), unclear = suspects.some((each) => each.members.length > 1);
  const sure = square || judged.some((each) => each.decided && !each.square);
  return {located, judged, suspects, unclear, square, decided: sure && !unclear,
    out: [...sifted.out.map((p) => given.between[p].place), ...points.out]};
}

// the answer for the readings given: an array with a length, m, or null for each tape
function answerTapes(network, readings, hold) {
  const {job} = network;
  if (readings.every((value) => value === null)) return {kind: "empty"};
  if (!job.solvable) return {kind: "none"};
  const ruled = readings.some((value) => value === null) ? ruleOfDiagonals(network, readings, hold) : null;
  if (ruled) return ruled;
  const given = gathered(network, readings), {between, plan, names} = given;
  const need = between.length || names.length ? looseTapes(between, plan, given.others, job.limits.loose) : [];
  if (need) return {kind: "need", tapes: need.map((tape) => tape.place)};
  const sifted = sift(plan, between, job.limits);
  if (!sifted) return {kind: "far"};
  const network2 = {job, plan, names};
  const bare = {...sifted, solution: sifted.first, suspects: [], out: []};
  if (isForeign(network2, sifted.solution)) return finish(given, judgedShape(given, bare), hold, {foreign: true});
  const found = judgedShape(given, sifted);
  if (found.need) return needsPoint(job, readings, found.need);
  const common = commonError(network2, sifted.first, between, found.square);
  if (common) return finish(given, judgedShape(given, bare), hold, {common});
  if (isFolded(sifted.solution, plan)) return {kind: "far"};
  let repeat = [];
  if (found.unclear) {
    repeat = [...new Set(found.suspects.filter(({members}) => members.length > 1).flatMap(({members}) => members))];
    repeat.sort((a, b) => a - b);
  } else if (found.judged.every((each) => each.square || job.targets.some(({name}) => name === each.check.to))) {
    repeat = closePoint(job, given, found);
  } else {
    repeat = toRepeat(sifted, found.decided, (rest) => {
      if (looseTapes(rest, plan, [], job.limits.loose)) return false;
      const kept = {...given, between: rest}, again = sift(plan, rest, job.limits);
      const shape = again && judgedShape(kept, again);
      return Boolean(shape && !shape.need && shape.square);
    });
  }
  const spare = between.length - (2 * plan.length - 3);
  return finish(given, found, hold, {repeat, spare});
}

// the tape to the pad or end of an interior line that is too close to call
function closePoint(job, given, found) {
  const close = found.judged.filter((each) => !each.decided);
  if (!close.length) return [];
  const past = close.map(({check, now, limit}) => Math.abs(now - check.distance) - limit);
  const {from, to} = close[indexOfMost(past)].check;
  return given.toPoints.filter((tape) => tape.from === from && tape.to === to)
    .map((tape) => tape.place).slice(0, 1);
}

function needsPoint(job, readings, name) {
  const next = job.tapes.findIndex((tape, p) => isPoint(tape) && tape.to === name && readings[p] === null);
  return {kind: "need", tapes: next < 0 ? [] : [next], point: name};
}

function finish(given, found, hold, {foreign = false, common = null, repeat = [], ...more}) {
  const {job, plan, names} = given, {located} = found;
  const held = heldOf(job, names, hold), here = placed(located, plan, held);
  const square = found.square && !foreign && !common, waits = foreign || common !== null || found.unclear;
  const goal = located.names.map((name, c) => {
    const target = job.targets.find((each) => each.name === name);
    return target ? [target.x, target.y] : plan[c];
  });
  const seen = new Map(located.names.map((name, c) => [name, here[c]]));
  const moves = located.names.map((name, c) => {
    const move = [goal[c][0] - here[c][0], goal[c][1] - here[c][1]];
    return {corner: name, x: move[0], y: move[1], steps: square || waits ? [] : stepsOf(job, name, move, seen)};
  });
  const after = new Map(moves.map((move, c) => [move.corner, move.steps.reduce(
    (p, step) => [p[0] + step.x, p[1] + step.y], here[c])]));
  const all = [...job.corners, ...job.targets].map(({name}) => name);
  return {kind: "answer", ...more, square, decided: found.decided && !foreign && !common, judged: found.judged,
    suspects: foreign || common ? [] : found.suspects, out: found.out, unclear: found.unclear, foreign, common,
    repeat, moves, after, slides: slidesOf(job, seen, after), hold: held, waits, untaped: all.filter((name) => !after.has(name))};
}

// stakes that move alike are said together: C and D both 1/2" toward D
function moveLines(job, answer, write) {
  if (answer.foreign) return ["Move nothing by these readings."];
  if (answer.waits) return ["Move nothing yet."];
  if (!answer.moves.some((move) => move.steps.length)) {
    if (!answer.square) return ["No stake is off by as much as can be moved: read again."];
    return [answer.untaped.length ? "Leave every stake that was taped where it is." : "Leave every stake where it is."];
  }
  const lines = [], told = new Set(), same = job.limits.samePoint;
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
  if (answer.foreign) return "These readings are not of this building.";
  if (answer.common) return "Not square, and not decided: every reading is off by one amount.";
  const coarse = answer.judged.some(({check, limit}) => check.at === null && limit > answer.coarse * check.allowed);
  if (answer.square) {
    return answer.decided && !coarse ? "Square." : "Square, as near as these readings can tell.";
  }
  const bad = [...new Set(answer.judged.filter((each) => !each.square).map((each) => nameOf(each.check)))];
  const sure = answer.decided ? "Not square" : "Not square, as near as these readings can tell";
  return `${sure}: more than allowed at ${bad.join(", ")}.`;
}

function repeatLines(job, answer, write) {
  const pairs = answer.repeat.map((p) => pairOf(job.tapes[p])).join(", ");
  if (answer.common) {
    return [`Read ${answer.common.longest.join("-")}, the longest side, again with another tape or from its ` +
      `${write(job.wholeMark)} mark and take that off. If it reads the same, give both readings; else read all of them again.`];
  }
  if (!pairs) return [];
  if (answer.unclear) return [`Read ${pairs} again: one of them is wrong.`];
  return [`Read ${pairs} again, and give both readings: it fits worst.`];
}

// what does not fit, alone
function suspectLines(job, answer, write) {
  return answer.suspects.filter(({members}) => members.length === 1).map(({members, size}) =>
    `${pairOf(job.tapes[members[0]])} reads about ${write(Math.abs(size))} ${size > 0 ? "long" : "short"}: ` +
    (answer.out.includes(members[0]) ? "what follows leaves it out; read it again." : "read it again."));
}
