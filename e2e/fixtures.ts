/**
 * What every journey is held to, whatever else it tests: the app sends nothing
 * anywhere, logs no error, and breaks no content security policy.
 */
import { expect, test as base } from "@playwright/test";
import type { BrowserContext, BrowserContextOptions, Page } from "@playwright/test";
import axe from "axe-core";

interface Fixtures {
  /** Opens another person's device: its own storage, held to the same rules. */
  openDevice: (options?: BrowserContextOptions) => Promise<BrowserContext>;
}

export const test = base.extend<Fixtures>({
  context: async ({ context, baseURL }, use) => {
    const complaints = await watch(context, baseURL);
    await use(context);
    expect(complaints).toEqual([]);
  },

  openDevice: async ({ browser, baseURL }, use) => {
    const devices: { context: BrowserContext; complaints: string[] }[] = [];
    await use(async (options) => {
      const context = await browser.newContext(options);
      devices.push({ context, complaints: await watch(context, baseURL) });
      return context;
    });
    for (const { context, complaints } of devices) {
      await context.close();
      expect(complaints).toEqual([]);
    }
  },
});

export { expect };

/** Collects what a context does that no journey may do. */
async function watch(context: BrowserContext, baseURL: string | undefined): Promise<string[]> {
  const complaints: string[] = [];
  const home = new URL(baseURL ?? "http://127.0.0.1").host;

  const mustStayHome = (url: string) => {
    const { protocol, host } = new URL(url);
    if (["data:", "blob:", "about:"].includes(protocol) || host === home) return;
    complaints.push(`a request left the app: ${url}`);
  };
  context.on("request", (request) => mustStayHome(request.url()));
  context.on("page", (page) => page.on("websocket", (socket) => mustStayHome(socket.url())));

  context.on("weberror", (error) => complaints.push(`an uncaught error: ${error.error().message}`));
  context.on("console", (message) => {
    if (message.type() !== "error") return;
    complaints.push(`an error in the console: ${message.text()} (${message.location().url})`);
  });
  await context.addInitScript(() => {
    addEventListener("securitypolicyviolation", ({ violatedDirective, blockedURI }) => {
      console.error(`the content security policy (${violatedDirective}) blocked ${blockedURI}`);
    });
  });
  return complaints;
}

/** WCAG 2.2, levels A and AA: as much of it as a machine can check. */
const STANDARD = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];

/** Fails with one paragraph per broken rule, naming the elements that break it. */
export async function expectAccessible(page: Page): Promise<void> {
  await page.evaluate(axe.source);
  const { violations } = await page.evaluate(async (tags) => {
    // At the end of the page nothing lies half under the buttons that stay in sight.
    const { scrollY: before } = window;
    scrollTo(0, document.documentElement.scrollHeight);
    const found = await window.axe.run(document, { runOnly: tags, resultTypes: ["violations"] });
    scrollTo(0, before);
    return found;
  }, STANDARD);
  const report = violations.map(({ id, help, nodes }) =>
    [`${help} (${id})`, ...nodes.map((node) => `  ${node.html}\n    ${node.failureSummary}`)].join("\n"),
  );
  expect(report.join("\n\n"), "accessibility, WCAG 2.2 A and AA").toBe("");
}

/** Fails where the page cannot be used on a phone or a laptop, light or dark, or moves sideways. */
export async function expectUsableEverywhere(page: Page): Promise<void> {
  for (const size of [{ width: 360, height: 740 }, { width: 1280, height: 800 }]) {
    await page.setViewportSize(size);
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
    for (const colorScheme of ["light", "dark"] as const) {
      await page.emulateMedia({ colorScheme });
      await expectAccessible(page);
    }
  }
}

declare global {
  interface Window {
    axe: typeof axe;
  }
}
