/** The figure of an exercise: it moves in the set's own time, stands still when it is to, and is seen where it helps. */
import type { Locator } from "@playwright/test";
import { expect, test } from "./fixtures.ts";
import { COUNT_IN, Client, EVENING, oneExercise, shipped } from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin", contextOptions: { reducedMotion: "no-preference" } });

const demo = shipped("demo");
/** The stairs alone, in the words that the figure was drawn for. */
const small = oneExercise((routine) => {
  routine.exercises = demo.routine.exercises.filter(({ id }) => id === "stair-heel-lower");
  routine.limits = demo.routine.limits;
});

/** The word of a phase, as a set shows it. */
function wordOf({ action, word = action === "hold" ? "stay" : action }: { action: string; word?: string }): string {
  return word.charAt(0).toUpperCase() + word.slice(1);
}

/** What is painted on a canvas, as a few letters. */
async function painted(canvas: Locator): Promise<string> {
  return await canvas.evaluate(async (element: HTMLCanvasElement) => {
    const bytes = element.getContext("2d")?.getImageData(0, 0, element.width, element.height).data;
    const digest = await crypto.subtle.digest("SHA-1", bytes ?? new Uint8ClampedArray());
    const ink = bytes?.some((byte) => byte !== 0) ?? false;
    return ink ? [...new Uint8Array(digest).slice(0, 4)].join(" ") : "nothing";
  });
}

test("in a set the figure does what the phase word says, at any moment, and stands still in a pause", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  const looping = client.button("Picture: stand still");
  await expect(looping.locator("canvas")).toBeVisible();
  await client.startFirstSet();
  const figure = page.locator(".runner-middle > canvas");
  await expect(figure).toBeVisible();
  await client.runFor(COUNT_IN + 0.2);
  const words = small.routine.exercises[0]?.dose.tempo.map((phase) => wordOf(phase));
  let [random, seen] = [7, new Set<string>()];
  for (let moment = 0; moment < 12; moment += 1) {
    random = (random * 48271) % 2147483647;
    await client.runFor(0.3 + (random % 1500) / 1000);
    const phase = Number(await figure.getAttribute("data-phase"));
    await expect(page.locator(".runner-middle .poster")).toHaveText(words?.[phase] ?? "");
    seen.add(await painted(figure));
    if (!(await client.button("Stop, it hurts").isVisible())) break;
  }
  expect(seen.has("nothing")).toBe(false);
  expect(seen.size, "it moves").toBeGreaterThan(5);
  await client.button("Pause").click();
  await client.runFor(0.2);
  const still = await painted(figure);
  await client.runFor(3);
  expect(await painted(figure)).toBe(still);
});

test("before a set it shows the movement over and over, until it is tapped", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  const moving = client.button("Picture: stand still");
  await client.runFor(1);
  const first = await painted(moving.locator("canvas"));
  await client.runFor(1.2);
  expect(await painted(moving.locator("canvas"))).not.toBe(first);
  await moving.click();
  const standing = client.button("Picture: move").locator("canvas");
  await client.runFor(0.2);
  const still = await painted(standing);
  await client.runFor(2);
  expect(await painted(standing)).toBe(still);
  await client.expectAccessible();
});

test("with less motion wanted it stands at both ends of the movement, and a reader passes over it", async ({ page }) => {
  await page.emulateMedia({ reducedMotion: "reduce" });
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  await expect(page.locator("main svg.pose.still")).toHaveCount(2);
  await expect(page.locator("main canvas")).toHaveCount(0);
  await client.startFirstSet();
  await expect(page.getByRole("timer")).toBeVisible();
});

test("every exercise of a routine is seen before it is taken on, and on Today", async ({ page }) => {
  const client = await Client.at(page, EVENING);
  /** Stills come once the page has nothing else to do. */
  const seen = async (stills: Locator) => {
    await expect(async () => {
      await client.runFor(0.2);
      expect(await stills.count()).toBe(demo.routine.exercises.length);
    }).toPass();
  };
  await client.openFile("routine.json", demo);
  await expect(client.button("Use this routine")).toBeVisible();
  await seen(page.locator("summary svg.pose"));
  await client.accept();
  await seen(page.locator(".marks svg.pose"));
});

test("an exercise of the practitioner's own has no figure, and nothing stands in its place", async ({ page }) => {
  const own = oneExercise((routine) => Object.assign(routine.exercises[0] ?? {}, { id: "something-of-my-own" }));
  const client = await Client.with(page, own, EVENING);
  await client.begin();
  await client.runFor(1);
  await expect(page.locator(".pose, .poses, .pose-button")).toHaveCount(0);
});

test("a set fits its screen, also one that is turned or made larger in the middle of it", async ({ page }) => {
  // The demo says that it is one, on every screen.
  await page.clock.install({ time: new Date(EVENING) });
  await page.goto("/");
  await page.getByRole("button", { name: "Try the demo" }).click();
  await page.getByRole("button", { name: "Use this routine" }).click();
  await page.getByRole("link", { name: "Start", exact: true }).click();
  await page.getByRole("group", { name: /at rest/ }).getByRole("button", { name: "2", exact: true }).click();
  await page.getByRole("button", { name: "Leave out today" }).click();
  await page.getByRole("button", { name: "Start the first set" }).click();
  await page.clock.runFor((COUNT_IN + 1) * 1000);
  await expect(page.locator(".runner-middle > canvas")).toBeVisible();
  const overflow = (): Promise<number> =>
    page.locator(".runner-scroll").evaluate((scroll) => scroll.scrollHeight - scroll.clientHeight);
  for (const [width, height] of [[360, 740], [740, 360], [360, 740], [1280, 800], [360, 740]] as const) {
    await page.setViewportSize({ width, height });
    await expect.poll(overflow, { message: `${width}x${height}` }).toBe(0);
  }
});
