// Pictures of every phase of a session, to be looked at from across the room, into target/walk/.
//
//   make page && node e2e/walk-phases.mjs [width height light|dark]
import { begin } from "./pictures.mjs";

const { address, page, picture, tap, end } = await begin("phases");

const exercise = {
  id: "step-lower",
  name: "Heel lowering on a step",
  steps: ["Stand with the balls of both feet on the lowest step.", "Let the heels sink below the step."],
  dose: {
    sets: 2,
    reps: 2,
    sides: "in_turn",
    tempo: [
      { action: "lift", secs: 3, how: "both legs" },
      { action: "hold", secs: 12 },
      { action: "lower", secs: 5, how: "the sore leg alone" },
      { action: "relax", secs: 2 },
    ],
    rest_secs: 30,
  },
  ladder: { rungs: [{ help: "both hands on the banister" }, { help: "one hand on the banister" }], start: 2, ceiling: 2 },
};
const routine = {
  format: "carryover-routine",
  version: 1,
  routine: {
    id: "phases",
    version: 1,
    title: "Every phase",
    issued: "2026-11-20",
    limits: {
      table: {
        low_max: 2,
        middle_max: 5,
        low: ["counts", "stay", "ease", "stay"],
        middle: ["stay", "ease", "hold", "stay"],
        high: ["ease", "hold", "hold", "hold"],
      },
      rest_days: 2,
      may_step_up: "win_back",
      step_up_after: 3,
      on_lowest_rung: "one_set_fewer",
      after_middle_set: "same",
    },
    exercises: [exercise],
  },
};

await page.goto(address);
const file = { name: "phases.json", mimeType: "application/json", buffer: Buffer.from(JSON.stringify(routine)) };
await page.locator("input[type=file]").first().setInputFiles(file);
await tap("Use this routine");
await page.getByRole("link", { name: "Start" }).click();
await tap("0");
await page.getByRole("button", { name: "Start the first set" }).waitFor();
await picture("set-up");
await tap("Start the first set");
const after = async (seconds, name) => {
  await page.clock.runFor(1000 * seconds);
  await picture(name);
};
await after(2, "count-in");
await after(4, "count-in-counted");
await after(3.5, "lift");
await after(7, "hold");
await after(4, "hold-counted");
await after(5, "lower");
await after(4, "relax");
await after(23, "change-sides");
await tap("Pause");
await picture("paused");
await page.getByRole("button", { name: /^Go on with/ }).click();
await after(50, "set-done");
await tap("2");
await after(2, "rest");
await after(12, "rest-later");
await after(28, "next-set");
await tap("End set");
await after(1, "rating-owed");
await tap("7");
await after(1, "ended");
await end();
