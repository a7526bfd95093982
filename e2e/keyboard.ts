/** A person with a keyboard and nothing else. */
import type { Page } from "@playwright/test";
import { expect } from "./fixtures.ts";

interface Stop {
  said: string;
  href: string;
  outline: number;
  covered: boolean;
  /** Where it stands on the page, in pixels; none for what is pinned to the screen. */
  top?: number;
  bottom?: number;
}

/** So many stops of Tab are more than any page has. */
const MOST_STOPS = 140;

/** What has the focus, and whether that is seen; none where nothing has. */
async function stop(page: Page): Promise<Stop | undefined> {
  return await page.evaluate(() => {
    const at = document.activeElement;
    if (!(at instanceof HTMLElement) || at === document.body) return undefined;
    const label = at.matches("label input, label textarea") ? at.closest("label") : null;
    // A screen that has the focus shows it on its title.
    const whole = label ?? at.querySelector(":scope:is(main) h1") ?? at;
    const box = whole.getBoundingClientRect();
    // Of words that go on in a second line, the first.
    const first = whole.getClientRects()[0] ?? box;
    const over = document.elementFromPoint(first.x + first.width / 2, first.y + first.height / 2);
    const drawn = [whole, at].map((element) => getComputedStyle(element));
    const outlines = drawn.map((style) => (style.outlineStyle === "none" ? 0 : parseFloat(style.outlineWidth)));
    const place = at.closest(".screen-foot, .session-foot") ? {} : { top: box.top + scrollY, bottom: box.bottom + scrollY };
    return {
      said: (at.getAttribute("aria-label") ?? whole.textContent ?? "").trim(),
      href: at.getAttribute("href") ?? "",
      outline: Math.max(...outlines),
      covered: over !== null && !whole.contains(over),
      ...place,
    };
  });
}

/**
 * Goes on by Tab until what has the focus says `words`, and leads to `href` where one is given. Every stop on
 * the way must be in sight, and none may stand wholly above the one before.
 */
export async function tabTo(page: Page, words: RegExp, href = ""): Promise<void> {
  let before: Stop | undefined;
  for (let stops = 0; stops < MOST_STOPS; stops += 1) {
    await page.keyboard.press("Tab");
    const now = await stop(page);
    if (now) {
      expect(now.outline, `the focus is seen on "${now.said}"`).toBeGreaterThanOrEqual(1);
      expect(now.covered, `"${now.said}" has the focus and is covered`).toBe(false);
      if (before?.top !== undefined && now.bottom !== undefined) {
        expect(now.bottom, `"${now.said}" comes after "${before.said}" and stands above it`).toBeGreaterThan(before.top);
      }
      if (words.test(now.said) && now.href.endsWith(href)) return;
    }
    before = now;
  }
  throw new Error(`Tab never reached ${words}`);
}

export class Keyboard {
  readonly page: Page;

  constructor(page: Page) {
    this.page = page;
  }

  /** Goes to a button or link and presses Enter; something must have the focus afterwards. */
  async press(words: RegExp, href = ""): Promise<void> {
    await tabTo(this.page, words, href);
    await this.page.keyboard.press("Enter");
    await this.keepsFocus();
  }

  /** Writes over what a field holds, and leaves it where that is how it is taken. */
  async write(label: RegExp, text: string): Promise<void> {
    await tabTo(this.page, label);
    await this.page.keyboard.press("ControlOrMeta+A");
    await this.page.keyboard.type(text);
  }

  /** A new screen of that title is there, and has the focus. */
  async lands(title: string | RegExp): Promise<void> {
    const heading = this.page.getByRole("heading", { level: 1, name: title, exact: true });
    await expect(heading).toBeVisible();
    await expect(this.page.getByRole("main")).toBeFocused();
    const outline = await heading.evaluate((element) => getComputedStyle(element).outlineStyle);
    expect(outline, `the title "${title}" shows that its screen has the focus`).toBe("solid");
  }

  /** What has the focus says these words. */
  async isOn(words: string | RegExp): Promise<void> {
    await expect.poll(async () => (await stop(this.page))?.said ?? "nothing has the focus").toMatch(words);
  }

  async keepsFocus(): Promise<void> {
    await expect.poll(async () => await stop(this.page), "something has the focus").toBeDefined();
    // What a change leaves behind is gone a moment later.
    await this.page.evaluate(async () => {
      for (let turn = 0; turn < 20; turn += 1) await Promise.resolve();
    });
    expect(await stop(this.page), "the focus stayed somewhere").toBeDefined();
  }
}
