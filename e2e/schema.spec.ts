import { existsSync, readFileSync, readdirSync } from "node:fs";
import { expect, test } from "@playwright/test";
import { validateCopy, validateFile } from "./schema.ts";

const ROUTINES = new URL("../public/routines/", import.meta.url);
const LOGS = new URL("../tests/fixtures/logs/", import.meta.url);
const PAGE = new URL("../docs/file-format.md", import.meta.url);
const RELEASED = new URL("../tests/fixtures/released/", import.meta.url);
const COPY = new URL("caseload-1.json", RELEASED);

/** The example log of the page that explains the format: it has every kind of fact. */
const example = /```json\n(.*?)```/s.exec(readFileSync(PAGE, "utf8"))?.[1] ?? "";
const demo = readFileSync(new URL("demo.json", ROUTINES), "utf8");

for (const folder of [ROUTINES, LOGS]) {
  for (const name of existsSync(folder) ? readdirSync(folder).filter(isJson) : []) {
    test(`${name} follows the schema`, () => {
      expect(validateFile(readFileSync(new URL(name, folder), "utf8"))).toEqual([]);
    });
  }
}

test("every released file follows the schema", () => {
  for (const name of readdirSync(RELEASED)) {
    const validate = name.startsWith("caseload") ? validateCopy : validateFile;
    expect(validate(readFileSync(new URL(name, RELEASED), "utf8")), name).toEqual([]);
  }
});

test("the example on the page about the format follows the schema", () => {
  expect(validateFile(example)).toEqual([]);
});

test("what the schema does not name is allowed", () => {
  expect(validateFile(changed(demo, "/x-sent-with", "a letter"))).toEqual([]);
  expect(validateFile(changed(demo, "/routine/exercises/0/x-picture", "wall.jpg"))).toEqual([]);
  expect(validateFile(changed(example, "/events/5/mood", "calm"))).toEqual([]);
  expect(validateFile(changed(example, "/events/5/what/set_rated/set/mood", "calm"))).toEqual([]);
});

test("a photo of the set-up is allowed", () => {
  for (const photo of ["data:image/jpeg;base64,/9j/4AAQSkZJRgABAQ==", "data:image/webp;base64,UklGRiQAAABXRUJQVlA4"]) {
    expect(validateFile(changed(demo, "/routine/exercises/0/photo", photo))).toEqual([]);
  }
});

const ANSWER = { to: "01M8B6GS5G34BV1JDW9QJGBSM2", asked: "2026-11-26", question: "Wet shoes?", answer: "Dry them first." };

test("answers to what the client wrote are allowed", () => {
  expect(validateFile(changed(demo, "/routine/answers", [ANSWER]))).toEqual([]);
});

test("what a version says of Holds and of usual mornings is allowed", () => {
  const onHold = { "stair-heel-lower": "open", "wall-calf-hold": "leave" };
  expect(validateFile(changed(demo, "/routine/on_hold", onHold))).toEqual([]);
  for (const anchor of ["clear", { set: { rating: 2 } }]) {
    expect(validateFile(changed(demo, "/routine/anchor", anchor))).toEqual([]);
  }
  expect(validateFile(changed(demo, "/routine/joint", "left ankle"))).toEqual([]);
});

test("a fault is told with its place", () => {
  const faults = validateFile(changed(demo, "/routine/limits/usual_morning", 11));
  expect(faults).toEqual([
    '/routine/limits/usual_morning: must be <= 10 {"comparison":"<=","limit":10}',
  ]);
});

const MISSING = undefined;
const STAIRS = "/routine/exercises/3";

const faultsOfRoutines: [string, string, unknown][] = [
  ["another format", "/format", "some-routine"],
  ["no format", "/format", MISSING],
  ["a newer version", "/version", 3],
  ["a version in words", "/version", "1"],
  ["no routine", "/routine", MISSING],
  ["a check value of seven digits", "/check", "0a1b2c3"],
  ["a log in the place of a routine", "/format", "carryover-log"],
  ["an id with a capital", "/routine/id", "Demo"],
  ["version 0 of a routine", "/routine/version", 0],
  ["a blank title", "/routine/title", " \n "],
  ["an endless title", "/routine/title", "a".repeat(1001)],
  ["a control character", "/routine/title", "a\u0000b"],
  ["a day that does not exist", "/routine/issued", "2026-02-30"],
  ["no limits", "/routine/limits", MISSING],
  ["no exercise", "/routine/exercises", []],
  ["a rating of 11", "/routine/limits/usual_morning", 11],
  ["a rating of -1", "/routine/limits/usual_morning", -1],
  ["half a rating", "/routine/limits/usual_morning", 2.5],
  ["an unknown cell", "/routine/limits/table/low/0", "maybe"],
  ["a short row", "/routine/limits/table/low", ["stay", "stay", "ease"]],
  ["an unanswered morning that counts", "/routine/limits/table/low/3", "counts"],
  ["an unknown way to count a site", "/routine/limits/sites/0/counts", "twice"],
  ["seven sites", "/routine/limits/sites", Array(7).fill({ name: "Heel" })],
  ["15 rest days", "/routine/limits/rest_days", 15],
  ["an unknown step up", "/routine/limits/may_step_up", "always"],
  ["a step up after no day", "/routine/limits/step_up_after", 0],
  ["a break of 6 days", "/routine/limits/break_days", 6],
  ["an unknown way back from a break", "/routine/limits/after_break", "at_once"],
  ["a version that opens a sign", "/routine/on_hold", { "stair-heel-lower": "open_sign" }],
  ["a usual morning of 11", "/routine/anchor", { set: { rating: 11 } }],
  ["an unknown reach of swelling", `${STAIRS}/swelling`, "sometimes"],
  ["no steps", `${STAIRS}/steps`, MISSING],
  ["21 steps", `${STAIRS}/steps`, Array(21).fill("Stand up.")],
  ["negative sets", `${STAIRS}/dose/sets`, -3],
  ["a million sets", `${STAIRS}/dose/sets`, 1_000_000],
  ["no reps", `${STAIRS}/dose/reps`, 0],
  ["reps in words", `${STAIRS}/dose/reps`, "8"],
  ["a tempo without phases", `${STAIRS}/dose/tempo`, []],
  ["an unknown action", `${STAIRS}/dose/tempo/0/action`, "jump"],
  ["a phase of no time", `${STAIRS}/dose/tempo/0/secs`, 0],
  ["an endless phase", `${STAIRS}/dose/tempo/0/secs`, 3601],
  ["a negative rest", `${STAIRS}/dose/rest_secs`, -1],
  ["an unknown side", `${STAIRS}/dose/sides`, "middle"],
  ["seven times a day", `${STAIRS}/dose/times_a_day`, 7],
  ["an unknown day", `${STAIRS}/dose/days`, ["funday"]],
  ["a load of 0", `${STAIRS}/dose/load`, { weight: { amount: 0, unit: "kg" } }],
  ["an unknown unit", `${STAIRS}/dose/load`, { weight: { amount: 4, unit: "stone" } }],
  ["two loads in one", `${STAIRS}/dose/load`, { described: "a bag", weight: { amount: 4, unit: "kg" } }],
  ["a ladder without rungs", `${STAIRS}/ladder/rungs`, []],
  ["13 rungs", `${STAIRS}/ladder/rungs`, Array(13).fill({ help: "one hand" })],
  ["a rung without help", `${STAIRS}/ladder/rungs/0/help`, MISSING],
  ["rung 0", `${STAIRS}/ladder/start`, 0],
  ["no ceiling", `${STAIRS}/ladder/ceiling`, MISSING],
  ["an SVG for a photo", `${STAIRS}/photo`, "data:image/svg+xml;base64,PHN2Zz48L3N2Zz4="],
  ["a script for a photo", `${STAIRS}/photo`, "javascript:alert(1)"],
  ["a photo from elsewhere", `${STAIRS}/photo`, "https://example.org/stairs.jpg"],
  ["a JPEG that is none", `${STAIRS}/photo`, "data:image/jpeg;base64,PHNjcmlwdD4="],
  ["an answer to no note", "/routine/answers", [{ ...ANSWER, to: "wet-shoes" }]],
  ["an answer without its question", "/routine/answers", [{ ...ANSWER, question: MISSING }]],
  ["51 answers", "/routine/answers", Array(51).fill(ANSWER)],
  ["an endless photo", `${STAIRS}/photo`, `data:image/jpeg;base64,/9j/${"A".repeat(160_000)}`],
];

for (const [fault, place, value] of faultsOfRoutines) {
  test(`a routine with ${fault} is refused`, () => {
    expect(validateFile(changed(demo, place, value))).not.toEqual([]);
  });
}

/** Where a fact of some kind stands in the example. */
const at = (kind: string, rest = "") => {
  const { events } = JSON.parse(example) as { events: { what: object }[] };
  const index = events.findIndex(({ what }) => typeof what === "object" && kind in what);
  return `/events/${index}/what/${kind}${rest}`;
};

const faultsOfLogs: [string, string, unknown][] = [
  ["no events", "/events", MISSING],
  ["a routine in the place of events", "/events", {}],
  ["an id that is too short", "/events/0/id", "01ARYZ6S41"],
  ["an id with a letter that is none", "/events/0/id", "01ARYZ6S41TSV4RRFFQ69G5FAU"],
  ["an id beyond the end of time", "/events/0/id", "81ARYZ6S41TSV4RRFFQ69G5FAV"],
  ["a moment without an offset", "/events/0/at", "2026-11-25T18:02:00"],
  ["a moment that does not exist", "/events/0/at", "2026-11-25T25:02:00+01:00"],
  ["a blank zone", "/events/0/zone", ""],
  ["a check value in capitals", "/events/0/check", "0A1B2C3D"],
  ["no fact", "/events/0/what", MISSING],
  ["an unknown fact", "/events/0/what", { danced: {} }],
  ["an unknown fact in one word", "/events/0/what", "danced"],
  ["a fact that is two", "/events/0/what", { session_ended: {}, danced: {} }],
  ["a faulty routine", at("routine_accepted", "/routine/exercises/0/dose/sets"), 0],
  ["no plan", at("session_started", "/plan"), MISSING],
  ["an unknown day's work", at("session_started", "/worked_today"), "none"],
  ["an unknown ending", at("set_ended", "/ending"), "bored"],
  ["negative reps", at("set_ended", "/reps"), -1],
  ["a rating of 11", at("set_rated", "/rating"), 11],
  ["a rating in words", at("set_rated", "/rating"), "3"],
  ["no set", at("set_rated", "/set"), MISSING],
  ["a stop of no set taken back", at("stop_taken_back", "/set"), MISSING],
  ["a correction of 11", at("corrected", "/rating"), 11],
  ["a morning of 11", at("morning_answered", "/ratings/wall-calf-hold"), 11],
  ["a morning of no exercise", at("morning_answered", "/ratings"), { "Wall hold": 1 }],
  ["an unknown swelling", at("morning_answered", "/swelling"), "huge"],
  ["an unknown swelling in a correction", at("swelling_corrected", "/swelling"), "huge"],
  ["a warning of no sign", at("warning_ticked", "/signs"), []],
  ["an unknown warning sign", at("warning_ticked", "/signs/0"), "sneezing"],
  ["a sign taken off that is none", at("warning_unticked", "/sign"), "sneezing"],
  ["a usual morning of 11", at("usual_morning", "/rating"), 11],
  ["a go-ahead for something else", at("go_ahead", "/lifts"), "ceiling"],
  ["an edition in words", at("rule_explained", "/edition"), "second"],
  ["a blank note", at("note", "/text"), ""],
  ["an unknown order", at("verdict_given", "/order"), "go"],
  ["an unknown reason", at("verdict_given", "/reasons/0"), "mood"],
  ["a reason of an unknown zone", at("verdict_given", "/reasons/0/during/zone"), "top"],
  ["rung 13", at("verdict_given", "/next/rung"), 13],
];

for (const [fault, place, value] of faultsOfLogs) {
  test(`a log with ${fault} is refused`, () => {
    expect(validateFile(changed(example, place, value))).not.toEqual([]);
  });
}

const copy = readFileSync(COPY, "utf8");

test("what the schema of a copy does not name is allowed", () => {
  const { documents, ...head } = JSON.parse(copy) as { documents: object };
  expect(validateCopy(JSON.stringify({ ...head, documents: { ...documents, "letter/a": { b: 1 } } }))).toEqual([]);
});

/** The way to a place in the copy's first document of a kind. */
const documentOf = (kind: string, rest = ""): string[] => {
  const { documents } = JSON.parse(copy) as { documents: Record<string, unknown> };
  const isOne = (key: string) => key.startsWith(`${kind}/`) && typeof documents[key] === "object";
  return ["documents", Object.keys(documents).find(isOne) ?? kind, ...rest.split("/").filter(Boolean)];
};

const faultsOfCopies: [string, string[], unknown][] = [
  ["a newer version", ["version"], 3],
  ["no documents", ["documents"], MISSING],
  ["a check value that is a number", ["check"], 7],
  ["a client without a label", documentOf("client", "label"), MISSING],
  ["an unknown standing", documentOf("client", "standing"), "gone"],
  ["an unknown thing in a home", documentOf("client", "home"), ["trampoline"]],
  ["a loan of nothing", documentOf("client", "loans/0/what"), ""],
  ["a draft without exercises", documentOf("draft", "items"), MISSING],
  ["an unknown place", documentOf("draft", "items/0/place"), "last"],
  ["a routine of no exercise", documentOf("routine", "exercises"), []],
  ["an event that is none", documentOf("log", "what"), "danced"],
  ["a visit on no day", documentOf("visit", "day"), "2026-02-30"],
  ["an exercise of no region", documentOf("own", "region"), "ear"],
  ["a number in the place of a client", documentOf("client"), 7],
];

for (const [fault, path, value] of faultsOfCopies) {
  test(`a copy with ${fault} is refused`, () => {
    expect(validateCopy(changedAt(copy, path, value))).not.toEqual([]);
  });
}

for (const [what, text] of [
  ["nothing", ""],
  ["a word", "hello"],
  ["a list", "[]"],
  ["null", "null"],
  ["an empty object", "{}"],
  ["a routine cut short", demo.slice(0, -3)],
] as const) {
  test(`${what} is no file of ours`, () => {
    expect(validateFile(text)).not.toEqual([]);
  });
}

function isJson(name: string): boolean {
  return name.endsWith(".json");
}

/** A file with one value put in the place of another, or taken out. */
function changed(text: string, place: string, value: unknown): string {
  return changedAt(text, place.split("/").slice(1), value);
}

function changedAt(text: string, path: string[], value: unknown): string {
  const file = JSON.parse(text);
  const place = path.join("/");
  const last = path.at(-1) ?? "";
  const parent = path.slice(0, -1).reduce((node, key) => {
    expect(node, place).toHaveProperty([key]);
    return node[key];
  }, file);
  if (value === MISSING) {
    expect(parent, place).toHaveProperty([last]);
    delete parent[last];
  } else {
    parent[last] = value;
  }
  return JSON.stringify(file);
}
