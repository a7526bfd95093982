/**
 * The client's screens as a person meets them: by what they say and what can be tapped.
 *
 * Time stands still until a journey moves it, so every countdown shows exactly what it must.
 */
import { readFileSync } from "node:fs";
import type { Download, Locator, Page } from "@playwright/test";
import { held, moveClock } from "./device.ts";
import { expect, expectAccessible } from "./fixtures.ts";
import { validateFile } from "./schema.ts";

/** A Wednesday, after work. */
export const EVENING = "2026-11-25T18:30:00+01:00";
export const NEXT_MORNING = "2026-11-26T06:40:00+01:00";

/** Seconds to get into place before a first set, and before one that was called for or taken up again. */
export const COUNT_IN = 8;
export const SHORT_COUNT_IN = 4;
const CHANGE_SIDES = 10;

export interface Phase {
  action: string;
  secs: number;
  word?: string;
  how?: string;
}

export interface Dose {
  sets: number;
  reps: number;
  tempo: Phase[];
  rest_secs: number;
  sides?: string;
}

export interface Exercise {
  id: string;
  name: string;
  equipment?: string[];
  steps: string[];
  cautions?: string[];
  dose: Dose;
  ladder: { rungs: { help: string; dose?: Partial<Dose> }[]; start: number; ceiling: number };
}

export interface Routine {
  id: string;
  version: number;
  title: string;
  practitioner?: string;
  cautions?: string[];
  limits: {
    table: { low_max: number; middle_max: number };
    sites: { name: string }[];
    [more: string]: unknown;
  };
  exercises: Exercise[];
}

export interface RoutineFile {
  format: string;
  version: number;
  routine: Routine;
}

/** One event of the log; `kind` is the name of its fact, `fact` what the fact holds. */
export interface Event {
  id: string;
  at: string;
  zone?: string;
  kind: string;
  /** Its shape is the schema's business; each journey knows which fact it looks at. */
  fact: any;
}

export function shipped(name: string): RoutineFile {
  return JSON.parse(readFileSync(new URL(`../public/routines/${name}.json`, import.meta.url), "utf8"));
}

/** A routine of one exercise, short enough to be trained day after day. */
export function oneExercise(change: (routine: Routine) => void = () => {}): RoutineFile {
  const text = readFileSync(new URL("../tests/fixtures/small-routine.json", import.meta.url), "utf8");
  const file: RoutineFile = JSON.parse(text);
  change(file.routine);
  return file;
}

/** How long the work of one set takes, without its count-in, on one rung. */
export function workSeconds(exercise: Exercise, rung = exercise.ladder.start): number {
  const { sides, total } = setTime(exercise, rung);
  return sides * total;
}

/** How long one set takes from its first cue to its last, the change of sides included. */
export function setSeconds(exercise: Exercise, rung = exercise.ladder.start): number {
  const { sides, total } = setTime(exercise, rung);
  return sides * total + (sides - 1) * CHANGE_SIDES;
}

function setTime(exercise: Exercise, rung: number): { sides: number; total: number } {
  const { reps, tempo, sides } = doseOn(exercise, rung);
  const rep = tempo.reduce((sum, phase) => sum + phase.secs, 0);
  return { sides: sides === "in_turn" ? 2 : 1, total: reps * rep };
}

/** What helps on one rung, in the routine's own words. */
export function helpOn(exercise: Exercise, rung = exercise.ladder.start): string {
  return exercise.ladder.rungs[rung - 1]?.help ?? "";
}

export function doseOn(exercise: Exercise, rung = exercise.ladder.start): Dose {
  return { ...exercise.dose, ...exercise.ladder.rungs[rung - 1]?.dose };
}

export class Client {
  readonly page: Page;

  constructor(page: Page) {
    this.page = page;
  }

  /** Opens the app at a moment; from then on time moves only when told to. */
  static async at(page: Page, moment: string, path = "/"): Promise<Client> {
    const client = new Client(page);
    await moveClock(page, Date.parse(moment) - 60_000);
    await page.clock.pauseAt(Date.parse(moment));
    await page.addInitScript(soundKeepsTime);
    await page.goto(path);
    await expect(page.getByRole("heading", { level: 1 })).toBeVisible();
    return client;
  }

  /** Opens the app with a routine that was taken on already. */
  static async with(page: Page, file: RoutineFile, moment: string): Promise<Client> {
    const client = await Client.at(page, moment);
    await client.openFile("routine.json", file);
    await client.accept();
    return client;
  }

  // Time

  async runFor(secs: number): Promise<void> {
    await this.page.clock.runFor(Math.round(secs * 1000));
  }

  /** The device sleeps: nothing runs in between. */
  async sleepFor(secs: number): Promise<void> {
    await this.page.clock.fastForward(Math.round(secs * 1000));
  }

  /** Puts the phone away until a later moment. */
  async until(moment: string): Promise<void> {
    const now = await this.page.evaluate(() => Date.now());
    await this.page.clock.fastForward(Date.parse(moment) - now);
  }

  async reload(): Promise<void> {
    await this.page.reload();
    await expect(this.page.getByRole("heading", { level: 1 })).toBeVisible();
  }

  /** Loads the page anew, and lets time move until the app stands. */
  async startAnew(): Promise<void> {
    await this.reload();
    await this.moveTimeDuring(() => expect(this.page.locator("#shell")).toHaveCount(0));
  }

  /** Checks the screen; the check waits for timers of its own. */
  async expectAccessible(): Promise<void> {
    await this.moveTimeDuring(() => expectAccessible(this.page));
  }

  /** Time moves by milliseconds while something waits for timers: on a busy machine a start does, too. */
  private async moveTimeDuring(waiting: () => Promise<void>): Promise<void> {
    let over = false;
    const done = waiting().finally(() => {
      over = true;
    });
    await Promise.all([done, this.tickUntil(() => over)]);
  }

  private async tickUntil(over: () => boolean): Promise<void> {
    while (!over()) await this.page.clock.runFor(1);
  }

  // Words and taps

  button(name: string | RegExp): Locator {
    return this.page.getByRole("button", { name, exact: true });
  }

  link(name: string | RegExp): Locator {
    return this.page.getByRole("link", { name, exact: true });
  }

  title(name: string | RegExp): Locator {
    return this.page.getByRole("heading", { level: 1, name });
  }

  alert(): Locator {
    return this.page.getByRole("alert");
  }

  timer(): Locator {
    return this.page.getByRole("timer");
  }

  // Routine

  async openFile(name: string, content: RoutineFile | string): Promise<void> {
    const text = typeof content === "string" ? content : JSON.stringify(content, null, 2);
    const file = { name, mimeType: "application/json", buffer: Buffer.from(text) };
    await this.page.getByLabel("Open a routine file").setInputFiles(file);
  }

  async accept(): Promise<void> {
    await this.button("Use this routine").click();
    await expect(this.title(/^Good /)).toBeVisible();
  }

  // Session

  /** From Today to the first exercise's set-up: two taps. */
  async begin(atRest = 2): Promise<void> {
    await this.page.getByRole("link", { name: /^(Start|Train again)$/ }).click();
    await this.page
      .getByRole("group", { name: /at rest/ })
      .getByRole("button", { name: String(atRest), exact: true })
      .click();
    await expect(this.button("Start the first set")).toBeVisible();
  }

  async startFirstSet(): Promise<void> {
    await this.button("Start the first set").click();
    await expect(this.timer()).toHaveText(String(COUNT_IN));
  }

  /** Begins a session, and stops its first set for pain so many seconds into the work. */
  async stopFirstSetAt(seconds: number): Promise<void> {
    await this.begin();
    await this.startFirstSet();
    await this.runFor(COUNT_IN + seconds);
    await this.button("Stop, it hurts").click();
  }

  question(): Locator {
    return this.page.getByRole("heading", {
      name: /^How (much did that set hurt|bad was it when you stopped)\?$/,
    });
  }

  point(rating: number): Locator {
    return this.page
      .getByRole("group", { name: /^How (much|bad)/ })
      .getByRole("button", { name: String(rating), exact: true });
  }

  async rate(rating: number, site?: string): Promise<void> {
    await this.point(rating).click();
    await expect(this.point(rating)).toHaveAttribute("aria-pressed", "true");
    if (site) await this.button(site).click();
    await expect(this.saved()).toBeVisible();
  }

  saved(): Locator {
    return this.page.getByText("Saved", { exact: true });
  }

  /** Of a set that stands still: what can be done but go on or stop. */
  async otherwise(way: "One rep back" | "Set again" | "End set" | "Leave set out" | "End all"): Promise<void> {
    await this.button("Something else").click();
    await this.button(way).click();
  }

  /** What a rating means for what comes next, with the limit beside it. */
  meaning(): Locator {
    return this.page.getByRole("group", { name: "What this rating means" });
  }

  /** Works one set from its count-in to its rating, and leaves nothing out. */
  async workSet(exercise: Exercise, rung = exercise.ladder.start, countIn = COUNT_IN): Promise<void> {
    await this.runFor(countIn + setSeconds(exercise, rung) - 0.5);
    await expect(this.button("Stop, it hurts")).toBeVisible();
    await this.runFor(1);
    await expect(this.question()).toBeVisible();
  }

  /** Trains a whole exercise, each set with its rating, the next one called for without waiting. */
  async train(exercise: Exercise, ratings: number[], rung = exercise.ladder.start): Promise<void> {
    await this.startFirstSet();
    for (const [index, rating] of ratings.entries()) {
      await this.workSet(exercise, rung, index === 0 ? COUNT_IN : SHORT_COUNT_IN);
      await this.rate(rating);
      if (index + 1 < ratings.length) await this.button("Next set").click();
    }
    await this.button("Go on").click();
  }

  /** A whole session of a routine of one exercise, down to Today. */
  async trainDay(exercise: Exercise, ratings: number[], rung = exercise.ladder.start): Promise<void> {
    await this.begin();
    await this.train(exercise, ratings, rung);
    await this.finish();
  }

  async finish(): Promise<void> {
    await expect(this.title("Session done")).toBeVisible();
    await expect(this.saved()).toBeVisible();
    await this.button("Done").click();
    await expect(this.title(/^Good /)).toBeVisible();
  }

  // Morning

  async openMorning(): Promise<void> {
    await this.link("Answer the morning check").click();
    await expect(this.title("How much does it hurt this morning?")).toBeVisible();
  }

  async answerMorning(rating: number, swelling = "No more than the day before"): Promise<void> {
    await this.openMorning();
    await this.page
      .getByRole("group", { name: /^Pain this morning/ })
      .getByRole("button", { name: String(rating), exact: true })
      .click();
    await this.button(swelling).click();
    await expect(this.title("Your lights")).toBeVisible();
    await expect(this.saved()).toBeVisible();
  }

  /** The card of one exercise's light. */
  verdict(exercise: string): Locator {
    return this.page
      .locator("section")
      .filter({ has: this.page.getByRole("heading", { name: exercise, exact: true }) });
  }

  /** One of the numbers behind a light. */
  async reason(exercise: string, what: RegExp): Promise<Locator> {
    const card = this.verdict(exercise);
    if (!(await card.getByRole("table").isVisible())) await card.getByText("Each number and its limit").click();
    return card.getByRole("row", { name: what });
  }

  /** One exercise's line on Today or on the end page. */
  line(exercise: string): Locator {
    return this.page.getByRole("listitem").filter({ hasText: exercise });
  }

  async done(): Promise<void> {
    await this.link("Done").click();
    await expect(this.title(/^Good /)).toBeVisible();
  }

  // The log

  /** Hands the log back as a file, and reads it. */
  async handBack(): Promise<{ download: Download; text: string; events: Event[] }> {
    await this.link("Hand back the log").click();
    const [download] = await Promise.all([
      this.page.waitForEvent("download"),
      this.button("Save the log as a file").click(),
    ]);
    const text = readFileSync(await download.path(), "utf8");
    expect(validateFile(text)).toEqual([]);
    const { events } = JSON.parse(text) as {
      events: { id: string; at: string; zone?: string; what: object | string }[];
    };
    await this.link("Back to Today").click();
    await expect(this.title(/^Good /)).toBeVisible();
    return { download, text, events: events.map(named) };
  }

  /** What the device holds, in the order in which it happened. */
  async stored(): Promise<Event[]> {
    const texts = await this.texts();
    return texts.filter((text) => text.startsWith("{")).map((text) => named(JSON.parse(text)));
  }

  /** Every text that the device holds. */
  async texts(): Promise<string[]> {
    return (await held(this.page, "carryover")).map(([, text]) => text);
  }
}

/**
 * The clock of sounds cannot be moved; here it follows the one that can. And sound is there from the
 * first tap on, rather than a moment later, unless something takes it away.
 */
function soundKeepsTime(): void {
  const sound = BaseAudioContext.prototype;
  const state = Object.getOwnPropertyDescriptor(sound, "state")?.get;
  const suspend = AudioContext.prototype.suspend;
  const taken = new WeakSet<BaseAudioContext>();
  AudioContext.prototype.suspend = function (this: AudioContext) {
    taken.add(this);
    return suspend.call(this);
  };
  Object.defineProperties(sound, {
    currentTime: { get: () => performance.now() / 1000 },
    state: {
      get(this: BaseAudioContext) {
        const real: AudioContextState = state?.call(this);
        return real === "suspended" && !taken.has(this) ? "running" : real;
      },
    },
  });
}

/** A log as somebody leaves it who means to change it: without check values. */
export function unchecked(log: string): string {
  return log.replaceAll(/,"check":"[0-9a-f]{8}"/g, "");
}

function named({
  id,
  at,
  zone,
  what,
}: {
  id: string;
  at: string;
  zone?: string;
  what: object | string;
}): Event {
  const [kind, fact] = typeof what === "string" ? [what, {}] : (Object.entries(what)[0] ?? ["", {}]);
  return { id, at, zone, kind, fact };
}

export const kinds = (events: Event[]): string[] => events.map(({ kind }) => kind);

export const only = (events: Event[], kind: string): Event[] => events.filter((event) => event.kind === kind);

/** Every rating of a set as it was tapped last, in order: exercise, set, points, site. */
export function ratingsOf(events: Event[]): [string, number, number, string | undefined][] {
  const last = new Map<string, [string, number, number, string | undefined]>();
  for (const { fact } of only(events, "set_rated")) {
    const { session, exercise, number } = fact.set;
    last.set(`${session} ${exercise} ${number}`, [exercise, number, fact.rating, fact.site]);
  }
  return [...last.values()];
}

/** Nothing stands twice: no event, no session's end, no set. */
export function expectNothingDoubled(events: Event[]): void {
  const names = events.flatMap(({ id, kind, fact }) => {
    if (kind === "set_ended") return [id, `${fact.set.session} ${fact.set.exercise} ${fact.set.number}`];
    if (kind === "session_ended") return [id, `${fact.session} ended`];
    return [id];
  });
  expect(names.filter((name, index) => names.indexOf(name) !== index)).toEqual([]);
}
