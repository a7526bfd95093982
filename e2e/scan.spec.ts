/** A routine that is too long for one code: the app's own camera reads a sequence of them. */
import { execFileSync } from "node:child_process";
import { mkdirSync, rmSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { args, findChromium } from "./chromium.mjs";
import { expect, test } from "./fixtures.ts";
import { fragment, frames, serveLibrary } from "./links.ts";
import { Client, EVENING, kinds, shipped } from "./pages.ts";

const root = fileURLToPath(new URL("..", import.meta.url));
const video = `${root}target/tmp/codes-${process.pid}.y4m`;
const demo = shipped("demo").routine;

// What the camera sees: the frames from the middle on, something foreign among them, over and over.
const some = new RegExp(`^[1-9] of ${frames.length}$`);
const seen = [...frames.slice(2), "https://carryover.example/help", ...frames.slice(0, 2)];

test.use({
  launchOptions: {
    executablePath: findChromium(),
    args: [...args, "--use-fake-device-for-media-stream", `--use-file-for-fake-video-capture=${video}`],
  },
});

test.beforeAll(() => {
  mkdirSync(`${root}target/tmp`, { recursive: true });
  const command = ["run", "--quiet", "--locked", "--example", "code_video", "--", video];
  execFileSync("cargo", command, { cwd: root, input: seen.join("\n") });
});

test.afterAll(() => rmSync(video, { force: true }));

test("a sequence of codes is read with the camera, and the routine is taken on", async ({ page, context }) => {
  await context.grantPermissions(["camera"]);
  await page.goto("/");
  const scanner: string[] = [];
  page.on("request", (request) => request.url().includes("/scanner") && scanner.push(request.url()));
  await page.getByRole("button", { name: "Scan the codes" }).click();
  await expect(page.getByText(some)).toBeVisible();
  await expect(page.getByRole("heading", { name: demo.title })).toBeVisible();
  expect(scanner.length, "the reader is loaded when the camera opens").toBeGreaterThan(0);
  await page.getByRole("button", { name: "Use this routine" }).click();
  await expect(page.getByRole("heading", { name: /^Good / })).toBeVisible();
  const events = await new Client(page).stored();
  expect(kinds(events)).toEqual(["routine_accepted", "rule_explained"]);
  expect(events[0]?.fact.routine).toEqual(demo);
});

test("nothing of the reader is loaded before a camera opens", async ({ page }) => {
  const requests: string[] = [];
  page.on("request", (request) => requests.push(new URL(request.url()).pathname));
  await page.goto("/");
  await expect(page.getByRole("button", { name: "Scan the codes" })).toBeVisible();
  expect(requests.filter((path) => path.startsWith("/scanner"))).toEqual([]);
});

test("the camera is let go when its view is closed", async ({ page, context }) => {
  await context.grantPermissions(["camera"]);
  await page.addInitScript(() => {
    const streams: MediaStream[] = [];
    const open = MediaDevices.prototype.getUserMedia;
    MediaDevices.prototype.getUserMedia = async function (constraints) {
      const stream = await open.call(this, constraints);
      streams.push(stream);
      return stream;
    };
    Object.assign(window, { streams });
  });
  const live = () =>
    page.evaluate(() => {
      const { streams } = window as unknown as { streams: MediaStream[] };
      return streams.flatMap((stream) => stream.getTracks()).filter(({ readyState }) => readyState === "live").length;
    });
  await page.goto("/");
  await page.getByRole("button", { name: "Scan the codes" }).click();
  await expect.poll(live).toBe(1);
  await page.getByRole("button", { name: "Close the camera" }).click();
  await expect.poll(live).toBe(0);
});

test("a camera that is not allowed is spoken of, with the way out", async ({ page, context }) => {
  const session = await context.newCDPSession(page);
  await session.send("Browser.setPermission", { permission: { name: "camera" }, setting: "denied" });
  const client = await Client.at(page, EVENING);
  await client.button("Scan the codes").click();
  const words = /may not use the camera\. Allow it in the browser's settings for this page\. Or ask .* as a file\.$/;
  await expect(client.alert().filter({ hasText: words })).toBeVisible();
  await client.expectAccessible();
  await client.button("Close the camera").click();
  await expect(client.title("Carryover")).toBeVisible();
});

test("where the browser reads codes itself, its reader is used", async ({ page, context }) => {
  await context.grantPermissions(["camera"]);
  await serveLibrary(page);
  // Chromium has one on phones and on some desktops, not here: this one sees a link.
  await page.addInitScript((link) => {
    Object.assign(window, {
      BarcodeDetector: class {
        static async getSupportedFormats(): Promise<string[]> {
          return ["aztec", "qr_code"];
        }
        async detect(source: HTMLVideoElement): Promise<{ rawValue: string }[]> {
          return source.videoWidth > 0 ? [{ rawValue: link }] : [];
        }
      },
    });
  }, `https://carryover.example/take#${fragment("good")}`);
  const scanner: string[] = [];
  page.on("request", (request) => request.url().includes("/scanner") && scanner.push(request.url()));
  await page.goto("/");
  await page.getByRole("button", { name: "Scan the codes" }).click();
  await expect(page.getByRole("heading", { name: demo.title })).toBeVisible();
  expect(scanner).toEqual([]);
});

test.describe("on a device that keeps the app", () => {
  test.use({ serviceWorkers: "allow" });

  test("the reader is kept once it was used, and reads without a network", async ({ page, context }) => {
    await context.grantPermissions(["camera"]);
    await page.goto("/");
    await page.evaluate(() => navigator.serviceWorker.ready);
    await page.reload();
    const kept = () =>
      page.evaluate(async () => {
        const found = await Promise.all(
          ["/scanner.js", "/scanner_bg.wasm"].map(async (path) => (await caches.match(path)) !== undefined),
        );
        return found.every(Boolean);
      });
    expect(await kept(), "a first visit does not load it").toBe(false);
    await page.getByRole("button", { name: "Scan the codes" }).click();
    await expect(page.getByText(some)).toBeVisible();
    expect(await kept()).toBe(true);
    await context.setOffline(true);
    await page.reload();
    await page.getByRole("button", { name: "Scan the codes" }).click();
    await expect(page.getByRole("heading", { name: demo.title })).toBeVisible();
  });
});
