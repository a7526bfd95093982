/** Two windows of the client's page: one is used at a time, and nothing is lost or doubled between them. */
import { expect, test } from "./fixtures.ts";
import { Client, EVENING, SHORT_COUNT_IN, expectNothingDoubled, oneExercise, only, ratingsOf } from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

const small = oneExercise();
const [stairs] = small.routine.exercises as [(typeof small.routine.exercises)[0]];
/** How long a window waits for another that may just be closing, in seconds. */
const PATIENCE = 1.5;

/** Time moves only here, and may have moved before the window asked for its place. */
async function hasWaited(window: Client): Promise<void> {
  await expect
    .poll(async () => {
      await window.runFor(PATIENCE);
      return await window.page.locator("body").innerText();
    })
    .toContain("Use it here");
}

test("a second window says so and can take over, in the middle of a session", async ({ page, context }) => {
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(stairs);
  await client.rate(2);

  const second = await Client.at(await context.newPage(), EVENING);
  await hasWaited(second);
  await expect(second.title("Open in another window")).toBeVisible();
  await second.expectAccessible();
  // The first goes on undisturbed.
  await client.rate(3);
  await second.button("Use it here").click();
  await expect(client.title("Open in another window")).toBeVisible();
  await second.link("Go on with your session").click();
  await second.runFor(1);
  await expect(second.point(3)).toHaveAttribute("aria-pressed", "true");
  await second.button("Next set").click();
  await second.workSet(stairs, stairs.ladder.start, SHORT_COUNT_IN);
  await second.rate(1);

  // And back again.
  await client.button("Use it here").click();
  await expect(second.title("Open in another window")).toBeVisible();
  await client.runFor(1);
  await expect(client.point(1)).toHaveAttribute("aria-pressed", "true");
  const events = await client.stored();
  expectNothingDoubled(events);
  expect(only(events, "session_started")).toHaveLength(1);
  expect(ratingsOf(events).map(([, set, rating]) => [set, rating])).toEqual([
    [1, 3],
    [2, 1],
  ]);
});

test("what one window could not save is saved by the one that takes over", async ({ page, context }) => {
  await page.addInitScript(() => {
    const put = IDBObjectStore.prototype.put;
    IDBObjectStore.prototype.put = function (this: IDBObjectStore, value: unknown, key?: IDBValidKey) {
      if ((window as any).full) throw new DOMException("no room", "QuotaExceededError");
      return put.call(this, value, key);
    };
  });
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(stairs);
  await page.evaluate(() => void ((window as any).full = true));
  await client.point(2).click();
  await expect(page.getByText("Not saved yet").first()).toBeVisible();
  const second = await Client.at(await context.newPage(), EVENING);
  await hasWaited(second);
  await second.button("Use it here").click();
  await expect(client.title("Open in another window")).toBeVisible();
  await expect(page.getByText("Something you entered here is not saved yet.")).toBeVisible();
  await second.link("Go on with your session").click();
  await expect(second.point(2)).toHaveAttribute("aria-pressed", "true");
  const events = await second.stored();
  expectNothingDoubled(events);
  expect(only(events, "set_rated")).toHaveLength(1);
});

test("a window that loses its place while its screens are still on their way makes no fault of it", async ({
  page,
  context,
}) => {
  const client = await Client.with(page, small, EVENING);
  const busy = await context.newPage();
  // What the page leaves for later comes only after another window took over.
  await busy.addInitScript(() => {
    const later: IdleRequestCallback[] = [];
    Object.assign(window, {
      requestIdleCallback: (task: IdleRequestCallback) => later.push(task),
      doLater: () => later.splice(0).forEach((task) => task({ didTimeout: false, timeRemaining: () => 50 })),
    });
  });
  await busy.goto("/");
  const second = new Client(busy);
  await hasWaited(second);
  await second.button("Use it here").click();
  await expect(second.title(/^Good /)).toBeVisible();
  await client.button("Use it here").click();
  await expect(second.title("Open in another window")).toBeVisible();
  await busy.evaluate(() => (window as any).doLater());
  await expect(second.title("Open in another window")).toBeVisible();
  await second.button("Use it here").click();
  await expect(second.title(/^Good /)).toBeVisible();
  await expect(client.title("Open in another window")).toBeVisible();
});

test("a window says so though the browser never answers for its place, as Chromium 156 does one time in six", async ({
  page,
  context,
}) => {
  const client = await Client.with(page, small, EVENING);
  const other = await context.newPage();
  await other.addInitScript(() => {
    const { request } = LockManager.prototype;
    LockManager.prototype.request = function (this: LockManager, ...asked: any[]) {
      return asked[1]?.signal ? new Promise(() => {}) : Reflect.apply(request, this, asked);
    } as typeof request;
  });
  await other.goto("/");
  const second = new Client(other);
  await hasWaited(second);
  await second.button("Use it here").click();
  await expect(second.title(/^Good /)).toBeVisible();
  await expect(client.title("Open in another window")).toBeVisible();
});

test("the window that is closed leaves the next one free, and so does a reload", async ({ page, context }) => {
  const client = await Client.with(page, small, EVENING);
  await client.reload();
  await expect(client.title(/^Good /)).toBeVisible();
  await page.close();
  const second = await Client.at(await context.newPage(), EVENING);
  await expect(second.title(/^Good /)).toBeVisible();
});
