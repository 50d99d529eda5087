// Outside check of the grammar: the engine of the package apg-js (BSD-2-Clause) judges lines by grammar/log.abnf (RFC 5234,
// RFC 7405) and must agree with the reader, as `logassay walk --json` and `examine --json` tell it.
//
// 1. Every line of corpus/lines.txt: its stated shape, by the engine.
// 2. Seeded mutations of the lines that fit: the engine's shape against the reader's.
// 3. Whole files by the rule `stream`: all logs of the corpus.
// 4. The grammar with one bound, count or letter case changed, one at a time: lines or logs of the corpus must tell it
//    from the right one.
//
// The engine takes the first alternative that fits and never goes back, unlike that of grammar.py.
// Usage: grammar.mjs PATH-TO-LOGASSAY FOLDER-OF-NODE-MODULES
import { spawnSync } from "node:child_process";
import { readFileSync, readdirSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

const [binary, modules] = process.argv.slice(2);
const require = createRequire(join(modules, "x.js"));
const { apgApi, apgLib } = require("apg-js");

const MUTATIONS = 12_000;
const SEED = 20310510;
const KINDS = ["blank", "comment", "heading", "header", "record", "closing"];
// A file holds at most 250 logs, and a line may be a heading itself.
const LINES_AT_ONCE = 120;
const HEADING = Buffer.from("unit-event-log 1\n");
const LF = Buffer.from("\n");
const GRAMMAR = readFileSync("grammar/log.abnf", "utf8");
const AGAINST = Object.fromEntries(
  Array.from(readFileSync("grammar/format.md", "utf8").matchAll(/^\| `([a-z0-9-]+)` \| (line|log|value) \|/gm), (m) => [m[1], m[2]]),
);

function fail(why) {
  console.error(why);
  process.exit(1);
}

function engine(grammar) {
  const api = new apgApi(grammar);
  api.generate();
  if (api.errors.length > 0) fail(api.errorsToAscii());
  const object = api.toObject();
  const parser = new apgLib.parser();
  return (rule, codes) => parser.parse(object, rule, codes).success;
}

// The characters of a text in UTF-8 (RFC 3629) by their numbers; nothing where it is none.
function codes(bytes) {
  try {
    const text = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
    return Array.from(text, (c) => c.codePointAt(0));
  } catch {
    return null;
  }
}

function judge(fits, line) {
  const text = codes(line);
  if (text === null) return "none";
  text.push(10);
  const found = KINDS.filter((kind) => fits(`${kind}-line`, text));
  if (found.length > 1) fail(`${line} fits ${found}`);
  return found[0] ?? "none";
}

function run(form, input) {
  const done = spawnSync(binary, [form, "--json", "-"], { input, maxBuffer: 2 ** 30 });
  if (done.status !== 0 && done.status !== 1) fail(`${done.status} ${done.stderr}`);
  return JSON.parse(done.stdout);
}

// Kind and faults of each line by the reader, each in a log of its own.
function read(lines) {
  const verdicts = [];
  for (let at = 0; at < lines.length; at += LINES_AT_ONCE) {
    const some = lines.slice(at, at + LINES_AT_ONCE);
    const rows = run("walk", Buffer.concat(some.flatMap((line) => [HEADING, line, LF]))).logs.flatMap((log) => log.lines);
    if (rows.length !== 2 * some.length) fail(`${rows.length} rows for ${some.length} lines`);
    verdicts.push(...rows.filter((row) => row.line % 2 === 0));
  }
  return verdicts;
}

// The shape that the reader found: null where it says none; of unread lines only records have faults of value.
function shape({ kind, faults }) {
  if (faults.some((fault) => AGAINST[fault] === "line")) return "none";
  if (kind === "unread") return faults.includes("line-too-long") ? null : "record";
  return kind;
}

function piece(text) {
  if (text.startsWith("U+")) return Buffer.from(String.fromCodePoint(parseInt(text.slice(2), 16)));
  return text.startsWith("byte ") ? Buffer.from([parseInt(text.slice(5), 16)]) : Buffer.from(text);
}

function lineOf(notation) {
  const parts = notation.split(/<(?:(\d+) x )?([^>]*)>/);
  const out = [Buffer.from(parts[0])];
  for (let at = 1; at < parts.length; at += 3) {
    out.push(...Array(Number(parts[at] ?? 1)).fill(piece(parts[at + 1])), Buffer.from(parts[at + 2]));
  }
  return Buffer.concat(out);
}

function corpus() {
  const entries = readFileSync("corpus/lines.txt", "utf8").split("\n").filter((entry) => entry !== "" && !entry.startsWith("#"));
  return entries.map((entry) => {
    const [, kind, , notation] = /^(\w+) \| ([\w,-]+) \|(?: (.*))?$/.exec(entry);
    return { kind, line: lineOf(notation ?? "") };
  });
}

// A small generator of pseudo-random numbers (mulberry32, from memory): every run makes the same mutations.
function dice(seed) {
  let state = seed;
  return (sides) => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) % sides;
  };
}

function mutations(entries) {
  const roll = dice(SEED);
  const choose = (list) => list[roll(list.length)];
  const seeds = (kind) => entries.filter((entry) => entry.kind === kind && entry.line.length < 500).map((entry) => codes(entry.line));
  const ofKind = Object.fromEntries(KINDS.map((kind) => [kind, seeds(kind)]));
  const bounds = Array.from(GRAMMAR.matchAll(/%x([0-9A-F]+)(?:-([0-9A-F]+))?/g), (m) => [m[1], m[2] ?? m[1]]).flat();
  const near = [...new Set(bounds.map((hex) => parseInt(hex, 16)).flatMap((n) => [n - 1, n, n + 1]))];
  const odd = [0, 9, 13, ...near.filter((n) => n !== 10 && n <= 0x10ffff && !(n >= 0xd800 && n <= 0xdfff))];
  const plain = Array.from({ length: 95 }, (_, n) => n + 32);
  const frequent = codes(Buffer.from(' =:"\\-.;{}0129aefzAFZ'));
  const weighted = [...KINDS, ...Array(6).fill("record"), "closing", "header"];
  const mutated = new Set();
  while (mutated.size < MUTATIONS) {
    const text = [...choose(ofKind[choose(weighted)])];
    for (let times = choose([1, 1, 1, 2, 3]); times > 0; times -= 1) {
      const at = roll(text.length + 1);
      const letter = choose(choose([odd, plain, frequent]));
      [
        () => text.splice(at, 0, letter),
        () => text.splice(at, 1),
        () => text.splice(at, 1, letter),
        () => text.splice(at, 2, ...text.slice(at, at + 2).reverse()),
      ][roll(4)]();
    }
    mutated.add(String.fromCodePoint(...text));
  }
  return Array.from(mutated, (text) => Buffer.from(text));
}

function logsBelow(folder) {
  const found = readdirSync(folder, { recursive: true }).filter((name) => name.endsWith(".log"));
  return found.sort().map((name) => join(folder, name));
}

// The grammar with one number or one letter case changed, for every number and every text in it.
function changedGrammars() {
  const changed = [GRAMMAR.replace("%x0D.0A", "%x0C.0A"), GRAMMAR.replace("%x0D.0A", "%x0E.0A")].map((text) => ["%x0D", text]);
  const put = (at, length, text) => {
    const line = GRAMMAR.slice(0, at).split("\n").length;
    changed.push([`${text} in line ${line}`, GRAMMAR.slice(0, at) + text + GRAMMAR.slice(at + length)]);
  };
  for (const m of GRAMMAR.matchAll(/^[^;]*?$/gm)) {
    for (const n of m[0].matchAll(/%x([0-9A-F.]+)(?:-([0-9A-F]+))?|%s|(\d*)\*(\d*)|\b(\d+)(?=decimal|hex)/g)) {
      const at = m.index + n.index;
      if (n[0] === "%s") put(at, 2, "%i");
      const hex = (text) => text.toString(16).toUpperCase();
      if (n[1] !== undefined && !n[1].includes(".")) {
        const [first, last] = [parseInt(n[1], 16), parseInt(n[2] ?? n[1], 16)];
        for (const [a, b] of [[first - 1, last], [first + 1, last], [first, last - 1], [first, last + 1]]) {
          // Where a bound would move to a number that is no scalar value, nothing would change.
          const same = b > 0x10ffff || a === 0xdfff || b === 0xd800;
          if (a <= b && !same) put(at, n[0].length, `%x${hex(a)}-${hex(b)}`);
        }
      }
      if (n[4]) for (const d of [-1, 1]) put(at, n[0].length, `${n[3]}*${Number(n[4]) + d}`);
      if (n[3] && !(n[4] && n[3] === n[4])) put(at, n[0].length, `${Number(n[3]) + 1}*${n[4]}`);
      if (n[3]) put(at, n[0].length, `${Number(n[3]) - 1}*${n[4]}`);
      if (n[5]) for (const d of [-1, 1]) put(at, n[0].length, `${Number(n[5]) + d}`);
    }
  }
  return changed;
}

const differ = [];
const fits = engine(GRAMMAR);
const entries = corpus();
const verdicts = read(entries.map((entry) => entry.line));
entries.forEach(({ kind, line }, at) => {
  if (judge(fits, line) !== kind) differ.push(["corpus", line.toString(), kind]);
  if (![kind, null].includes(shape(verdicts[at]))) differ.push(["reader", line.toString(), kind, verdicts[at].kind]);
});

const mutated = mutations(entries);
let fitting = 0;
read(mutated).forEach((verdict, at) => {
  const found = judge(fits, mutated[at]);
  fitting += found !== "none";
  if (shape(verdict) !== found) differ.push(["mutation", mutated[at].toString(), found, verdict.kind, verdict.faults]);
});

const whole = [];
const files = { true: 0, false: 0, null: 0 };
for (const file of logsBelow("corpus")) {
  const bytes = readFileSync(file);
  const text = codes(bytes);
  const found = text !== null && fits("stream", text);
  whole.push({ text, found });
  const faults = run("examine", bytes).examinations.flatMap((one) => one.faults.map((fault) => fault.code));
  const clean = faults.every((fault) => AGAINST[fault] === "value");
  const verdict = clean && faults.includes("line-too-long") ? null : clean;
  files[verdict === null ? null : found] += 1;
  if (![found, null].includes(verdict)) differ.push(["stream", file, found]);
}

const short = entries.filter(({ line }) => line.length < 500);
const unseen = changedGrammars().filter(([, grammar]) => {
  const other = engine(grammar);
  const same = short.every(({ kind, line }) => judge(other, line) === kind);
  return same && whole.every(({ text, found }) => text === null || other("stream", text) === found);
});

differ.slice(0, 20).forEach((one) => console.log("differs:", ...one));
unseen.forEach(([change]) => console.log("nothing in the corpus tells the grammar from the one with", change));
if (fitting < MUTATIONS / 10 || fitting > (MUTATIONS * 9) / 10) fail(`${fitting} of ${MUTATIONS} mutations fit: the sample is one-sided`);
if (files.true < 20 || files.false < 20) fail(JSON.stringify(files));
console.log(
  `apg-js: ${entries.length} lines (${entries.filter(({ kind }) => kind !== "none").length} fit), ${mutated.length} mutations (${fitting} fit), ` +
    `${files.true + files.false + files.null} logs (${files.true} fit, ${files.null} not judged), ${differ.length} differ; ` +
    `${changedGrammars().length} changed grammars, ${unseen.length} not noticed`,
);
process.exit(differ.length + unseen.length > 0 ? 1 : 0);
