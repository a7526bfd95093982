/** The whole job without touching the screen: every control is reached by Tab, seen when it is, and works. */
import { expect, test } from "./fixtures.ts";
import { tabTo } from "./keyboard.ts";
import { COUNT_IN, Client, EVENING, NEXT_MORNING, SHORT_COUNT_IN, oneExercise, only } from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

const small = oneExercise((routine) => {
  Object.assign(routine.exercises[0]?.dose ?? {}, { sets: 1 });
});

test("a session and the morning after, by keyboard alone", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  const press = async (words: RegExp) => {
    await tabTo(page, words);
    await page.keyboard.press("Enter");
  };
  await press(/^Start$/);
  await expect(client.title("Any of these today?")).toBeVisible();
  await press(/^2$/);
  await expect(client.button("Start the first set")).toBeVisible();
  await press(/^Start the first set$/);
  await client.runFor(COUNT_IN + 3);
  await press(/^Pause$/);
  await expect(page.getByText("Paused", { exact: true })).toBeVisible();
  await press(/^Go on with set 1/);
  await client.runFor(SHORT_COUNT_IN + 25);
  await expect(client.question()).toBeVisible();
  await press(/^3$/);
  await expect(client.point(3)).toHaveAttribute("aria-pressed", "true");
  await press(/^Go on$/);
  await expect(client.title("Session done")).toBeVisible();
  await press(/^Done$/);
  await expect(client.title(/^Good /)).toBeVisible();
  await client.until(NEXT_MORNING);
  await press(/^Answer the morning check$/);
  await press(/^2$/);
  await press(/^No more than the day before$/);
  await expect(client.title("Your lights")).toBeVisible();
  await press(/^Done$/);
  await expect(client.title(/^Good /)).toBeVisible();
  const events = await client.stored();
  expect(only(events, "set_rated").map(({ fact }) => fact.rating)).toEqual([3]);
  expect(only(events, "morning_answered").map(({ fact }) => Object.values(fact.ratings))).toEqual([[2]]);
});

test("moving along the scale rates nothing, and a sign is ticked with the space bar", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.link("Start").click();
  await tabTo(page, /^A foot or hand newly cold/);
  await page.keyboard.press("Space");
  await expect(page.getByRole("checkbox", { name: /^A foot or hand/ })).toBeChecked();
  await page.keyboard.press("Space");
  await expect(page.getByRole("checkbox", { name: /^A foot or hand/ })).not.toBeChecked();
  await tabTo(page, /^5$/);
  for (const key of ["ArrowRight", "ArrowLeft", "ArrowUp", "Home", "End"]) await page.keyboard.press(key);
  await expect(client.title("Any of these today?")).toBeVisible();
  expect(only(await client.stored(), "session_started")).toEqual([]);
});

test("an answer can be opened, read and left by keyboard on every long page", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  for (const [link, title] of [
    [/^My routine$/, "One exercise"],
    [/^Sound and voice$/, "Sound, voice and pace"],
    [/^Help$/, "Warning signs and how it works"],
    [/^Hand back the log$/, "Hand back the log"],
    [/^Keep a copy$/, "Keep your log safe"],
  ] as const) {
    await tabTo(page, link);
    await page.keyboard.press("Enter");
    await expect(client.title(title)).toBeVisible();
    await tabTo(page, /^Back/);
    await page.keyboard.press("Enter");
    await expect(client.title(/^Good /)).toBeVisible();
  }
});
