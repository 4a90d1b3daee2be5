// Answers sets of readings as the page does: node page_answers.js SCRIPTS.js < sets.json > answers
"use strict";
const fs = require("fs");
const vm = require("vm");

const source = fs.readFileSync(process.argv[2], "utf8");
const {jobs} = JSON.parse(fs.readFileSync(0, "utf8"));
const context = vm.createContext({Math, Number, Map, Set, Float64Array, Array, Infinity, console});
vm.runInContext(`${source}
globalThis.unpackedJob = unpacked;
globalThis.answered = (job, readings, hold) => {
  const network = new Network(job);
  const write = (metres) => formatLength(metres, job.show, job.nearest);
  const found = answerTapes(network, readings, hold);
  if (found.kind !== "answer") {
    return {kind: found.kind, tapes: (found.tapes ?? []).map((p) => pairOf(job.tapes[p]))};
  }
  return {
    kind: "answer", square: found.square, decided: found.decided,
    verdict: verdictText({...found, coarse: job.limits.coarse}),
    moves: moveLines(job, found, write), slides: slideLines(found, write), repeat: repeatLines(job, found, write),
    hold: found.hold.wall ? \`\${found.hold.corner},\${found.hold.wall.join("-")}\` : "best",
    blamed: found.suspects.map((each) => each.members.map((p) => pairOf(job.tapes[p]))),
    limits: found.judged.map((each) => each.limit),
    common: found.common && found.common.kind,
  };
};`, context);
const answers = jobs.map(({job: packed, sets}) => {
  const job = context.unpackedJob(packed);
  return sets.map(({readings, hold}) => context.answered(job, readings, hold ?? job.holds[0]));
});
process.stdout.write(JSON.stringify(answers));
