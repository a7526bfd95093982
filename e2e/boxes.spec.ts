/**
 * A session at every size of text and screen: no text or button is cut or lies over another, and the buttons
 * that stop and pause are on the screen whatever state the session is in.
 */
import { expect, test } from "./fixtures.ts";
import { record } from "./bench/results.mjs";
import { Client, COUNT_IN, EVENING, SHORT_COUNT_IN, shipped } from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

const TEXT_SIZES = [100, 130, 150, 200];
const SCREENS = [[180, 370], [320, 568], [360, 740], [740, 360]] as const;

/** What is wrong with where things stand on the page now. */
function misplaced(): string[] {
  interface Item {
    said: string;
    element: Element;
    box: DOMRect;
    isText: boolean;
  }
  const cut = (one: DOMRect, other: DOMRect) => {
    const [left, top] = [Math.max(one.left, other.left), Math.max(one.top, other.top)];
    const [right, bottom] = [Math.min(one.right, other.right), Math.min(one.bottom, other.bottom)];
    return new DOMRect(left, top, Math.max(0, right - left), Math.max(0, bottom - top));
  };
  const screen = new DOMRect(0, 0, innerWidth, innerHeight);
  const isSeen = (element: Element) =>
    element.checkVisibility({ opacityProperty: true, visibilityProperty: true }) && !element.closest(".unseen, [aria-hidden=true]");
  const items: Item[] = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const element = node.parentElement;
    if (!element || !node.textContent?.trim() || !isSeen(element)) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const { left, top, width, height } of range.getClientRects()) {
      // Above and below its letters a line has room for accents.
      const air = height * 0.14;
      if (0 < width) items.push({ said: node.textContent.trim(), element, box: new DOMRect(left, top + air, width, height - 2 * air), isText: true });
    }
  }
  for (const element of document.querySelectorAll("button, a, input, select, summary")) {
    if (isSeen(element)) items.push({ said: element.textContent?.trim() ?? "", element, box: element.getBoundingClientRect(), isText: false });
  }
  const wrong: string[] = [];
  const near = 1.5;
  const shown = items.map((item) => {
    let [clip, scrolls] = [screen, false];
    for (let at = item.element.parentElement; at; at = at.parentElement) {
      const { overflowX, overflowY } = getComputedStyle(at);
      if (overflowX === "visible" && overflowY === "visible") continue;
      const room = at === document.documentElement || at === document.body ? screen : at.getBoundingClientRect();
      const moves = ["auto", "scroll"].includes(overflowY);
      if (item.box.left < room.left - near || room.right + near < item.box.right) wrong.push(`cut at a side: "${item.said}"`);
      if (!moves && !scrolls && (item.box.top < room.top - near || room.bottom + near < item.box.bottom)) wrong.push(`cut: "${item.said}"`);
      scrolls ||= moves;
      clip = cut(clip, room);
    }
    if (item.box.left < -near || innerWidth + near < item.box.right) wrong.push(`beside the screen: "${item.said}"`);
    return { ...item, box: cut(item.box, clip) };
  });
  for (const [index, one] of shown.entries()) {
    for (const other of shown.slice(index + 1)) {
      if (one.element === other.element || one.element.contains(other.element) || other.element.contains(one.element)) continue;
      const shared = cut(one.box, other.box);
      if (near < shared.width && near < shared.height) wrong.push(`"${one.said}" lies over "${other.said}"`);
    }
  }
  for (const text of document.querySelectorAll("p, h1, h2, span, button")) {
    const { transform, zoom } = getComputedStyle(text);
    const isScaled = transform !== "none" && !/^matrix\(1, 0, 0, 1,/.test(transform);
    if (text.textContent?.trim() && isSeen(text) && (isScaled || !["1", ""].includes(zoom))) wrong.push(`stretched: "${text.textContent}"`);
  }
  // What one looks at from across the room is never smaller than what stands beside it.
  const size = (element: Element | null) => (element && isSeen(element) ? parseFloat(getComputedStyle(element).fontSize) : undefined);
  const beside = size(document.querySelector(".runner .how"));
  for (const poster of document.querySelectorAll(".runner :is(.poster, .secs) > span")) {
    const its = size(poster);
    if (its !== undefined && beside !== undefined && its < beside) wrong.push(`"${poster.textContent}" is smaller than what stands beside it`);
  }
  for (const drawn of document.querySelectorAll("svg text")) if (isSeen(drawn)) wrong.push(`drawn: "${drawn.textContent}"`);
  return [...new Set(wrong)];
}

for (const [motion, counted] of [
  ["no-preference", "client.clipped_boxes"],
  ["reduce", "client.clipped_boxes_less_motion"],
] as const) {
  test.describe(`motion: ${motion}`, () => {
    test.use({ contextOptions: { reducedMotion: motion } });

    test("every state of a session, at every size", async ({ page }) => {
      test.slow();
      const file = shipped("demo");
      file.routine.exercises = file.routine.exercises.filter(({ id }) => id === "band-leg-out");
      const client = await Client.with(page, file, EVENING);
      let clipped = 0;
      const complaints: string[] = [];
      const look = async (state: string, ...always: (string | RegExp)[]) => {
        for (const text of TEXT_SIZES) {
          await page.evaluate((size) => void (document.documentElement.style.fontSize = `${size}%`), text);
          for (const [width, height] of SCREENS) {
            await page.setViewportSize({ width, height });
            const place = `${state}, ${text} % at ${width} x ${height}`;
            const found = await page.evaluate(misplaced);
            clipped += found.length;
            complaints.push(...found.map((what) => `${place}: ${what}`));
            for (const name of always) {
              const box = await client.button(name).boundingBox();
              const isOn = box !== null && -1 < box.x && -1 < box.y && box.x + box.width < width + 1 && box.y + box.height < height + 1;
              if (!isOn) complaints.push(`${place}: ${name} is not on the screen`);
            }
          }
        }
        await page.evaluate(() => void (document.documentElement.style.fontSize = ""));
        await page.setViewportSize({ width: 360, height: 740 });
      };
      const inASet = ["Pause", "Stop, it hurts"] as const;
      const standsStill = [/^Go on with set/, "Stop, it hurts"] as const;

      await client.begin();
      await client.startFirstSet();
      await client.runFor(2);
      await look("getting ready", ...inASet);
      await client.runFor(COUNT_IN - 1);
      await expect(page.getByText("Out", { exact: true })).toBeVisible();
      await look("a phase with a word of its own", ...inASet);
      await client.button("Pause").click();
      await look("a pause", ...standsStill);
      await client.button("Something else").click();
      await look("other ways", ...standsStill);
      await client.button(/^Go on with set/).click();
      await client.runFor(SHORT_COUNT_IN + 41);
      await expect(page.getByText("Swap", { exact: true })).toBeVisible();
      await look("a change of sides", ...inASet);
      await client.button("End set").click();
      await look("the question", "Pause", "End session");
      await client.rate(4);
      await look("what a rating means", "Pause", "End session");
      await client.button("Pause").click();
      await look("a rest that stands still", "Go on resting", "End session");
      await client.button("Go on resting").click();
      await client.button("Next set").click();
      await client.button("Stop, it hurts").click();
      await look("after a stop", "End session");
      await client.rate(8);
      await look("an exercise that ends", "End session");

      console.log(`  ${counted} ${clipped}`);
      record({ [counted]: clipped });
      expect(complaints.join("\n")).toBe("");
    });
  });
}
