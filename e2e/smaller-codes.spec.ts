/** A code that is too large for an old phone's camera: handed over as smaller ones, turning or by hand. */
import { moveClock } from "./device.ts";
import { expect, expectUsableEverywhere, test } from "./fixtures.ts";
import { EVENING } from "./pages.ts";
import { Practitioner } from "./practitioner.ts";

/** For longer than any code of a sequence is shown, in milliseconds. */
const A_TURN = 900;

/** Which code of a sequence it is: 2 for "Code 2 of 3". */
const place = (name: string) => Number(/^Code (\d)/.exec(name)?.[1]);

test("one code becomes smaller ones, which are stopped, turned by hand, and become one again", async ({ page }) => {
  await moveClock(page, Date.parse(EVENING));
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await practitioner.addExercise("Heel raise at the worktop", "Foot and ankle");
  await practitioner.addExercise("Sit to stand", "Knee");
  await practitioner.addExercise("Bridge", "Hip");
  await practitioner.handOver();
  const one = page.getByRole("img", { name: "The routine as a code to scan" });
  await expect(one).toBeVisible();

  const toSmaller = page.getByRole("button", { name: "Show smaller codes" });
  await toSmaller.focus();
  await page.keyboard.press("Enter");
  const shown = page.getByRole("img", { name: /^Code \d of \d$/ });
  await expect(shown).toHaveAccessibleName(/^Code 1 of [2-9]$/);
  await expect(one).toHaveCount(0);
  const count = Number((await shown.getAttribute("aria-label"))?.at(-1));
  await expect(page.getByRole("button", { name: "Show one code" }), "the focus stays").toBeFocused();

  await test.step("they turn by themselves, without a word to a screen reader", async () => {
    // Time moves only here, and may have moved before they were drawn.
    await expect(async () => {
      await page.clock.runFor(A_TURN / 3);
      expect(await shown.getAttribute("aria-label")).toBe(`Code 2 of ${count}`);
    }).toPass();
    await expect(page.getByText(`Code 2 of ${count}`)).toHaveAttribute("aria-live", "off");
  });

  await test.step("stopped, they stand still and are turned by hand, round and round", async () => {
    await practitioner.tap("Stop turning");
    await expect(page.getByRole("button", { name: "Start turning" })).toBeVisible();
    // On a busy machine they may have turned once more before the tap.
    const stopped = (await shown.getAttribute("aria-label")) ?? "";
    await page.clock.runFor(10 * A_TURN);
    await expect(shown).toHaveAccessibleName(stopped);
    await expect(page.getByText(stopped)).toHaveAttribute("aria-live", "polite");
    const drawings = new Set<string | null>();
    for (let step = 0; step < count; step += 1) {
      drawings.add(await shown.locator("path").getAttribute("d"));
      await practitioner.tap("Next code");
      await expect(shown).toHaveAccessibleName(`Code ${((place(stopped) + step) % count) + 1} of ${count}`);
    }
    expect(drawings.size).toBe(count);
    await expect(shown).toHaveAccessibleName(stopped);
  });

  await test.step("every size and scheme can be used", () => expectUsableEverywhere(page));

  const stood = (await shown.getAttribute("aria-label")) ?? "";
  await practitioner.tap("Start turning");
  await expect(async () => {
    await page.clock.runFor(A_TURN / 3);
    expect(await shown.getAttribute("aria-label")).not.toBe(stood);
  }).toPass();
  await practitioner.tap("Next code");
  await expect(page.getByRole("button", { name: "Start turning" }), "turned by hand, they stop").toBeVisible();

  await practitioner.tap("Show one code");
  await expect(one).toBeVisible();
  await expect(shown).toHaveCount(0);
  await expect(toSmaller).toBeVisible();
});
