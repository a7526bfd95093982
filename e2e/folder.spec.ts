// Built for a folder below a site's root, the app stays in it: its files, its links, its codes, its worker.
import { spawn } from "node:child_process";
import type { ChildProcess } from "node:child_process";
import { once } from "node:events";
import { fileURLToPath } from "node:url";
import { expect, test } from "@playwright/test";
import { copy } from "./hosts/builds.mjs";
import { Practitioner } from "./practitioner.ts";

const BASE = "/some/path/";

test.use({ serviceWorkers: "allow" });

let server: ChildProcess;
let site: string;

test.beforeAll(async () => {
  const { folder } = copy("folder", BASE);
  server = spawn(process.execPath, [fileURLToPath(new URL("serve.mjs", import.meta.url)), "--port", "0", folder]);
  const [announcement] = (await once(server.stdout ?? server, "data")) as [Buffer];
  site = /http:\/\/[^/]+/.exec(String(announcement))?.[0] ?? "";
});

test.afterAll(() => {
  server.kill();
});

test("the whole app in a folder of a site", async ({ page, context, browser }) => {
  const strays: string[] = [];
  context.on("request", (request) => {
    const { protocol, pathname } = new URL(request.url());
    if (protocol === "http:" && !pathname.startsWith(BASE)) strays.push(request.url());
  });
  const complaints: string[] = [];
  context.on("weberror", (error) => complaints.push(error.error().message));
  context.on("console", (message) => message.type() === "error" && complaints.push(message.text()));
  const at = (path: string) => expect(page).toHaveURL(`${site}${BASE}${path}`);

  await page.goto(site + BASE);
  await page.getByRole("button", { name: "Try the demo" }).click();
  await page.getByRole("button", { name: "Use this routine" }).click();
  await expect(page.getByRole("heading", { name: /^Good / })).toBeVisible();
  await at("");
  await page.getByRole("link", { name: "Help", exact: true }).click();
  await expect(page.getByRole("heading", { name: "Warning signs and how it works" })).toBeVisible();
  await at("help");
  await page.getByRole("link", { name: /^Back/ }).first().click();
  await at("");
  await page.goto(`${site}${BASE}cues`);
  await expect(page.getByRole("heading", { name: "Sound, voice and pace" })).toBeVisible();
  await page.getByRole("link", { name: "Back to Today" }).click();
  await at("");
  await page.getByRole("link", { name: "Start" }).click();
  await at("check");
  await page.getByRole("button", { name: "1", exact: true }).click();
  await page.getByRole("button", { name: "Start the first set" }).click();
  await at("session");

  const worker = await page.evaluate(async () => {
    const { scope, active } = await navigator.serviceWorker.ready;
    return { scope, script: active?.scriptURL, caches: await caches.keys() };
  });
  expect(worker.scope).toBe(site + BASE);
  expect(worker.script).toBe(`${site}${BASE}service-worker.js`);
  expect(worker.caches).toEqual([expect.stringMatching(/^carryover:\/some\/path\/:[0-9a-f]{16}$/)]);
  const manifest = await page.evaluate(async () => {
    const { href } = document.querySelector<HTMLLinkElement>("link[rel=manifest]") ?? {};
    const { start_url, scope, icons } = await (await fetch(href ?? "")).json();
    return [start_url, scope, icons[0].src].map((address) => new URL(address, href).pathname);
  });
  expect(manifest).toEqual([BASE, BASE, `${BASE}icons/icon-192.png`]);

  const practitioner = new Practitioner(page);
  await page.goto(`${site}${BASE}practice/`);
  await practitioner.addClient("Postal round, left heel");
  await expect(page).toHaveURL(new RegExp(`^${site}${BASE}practice/client/[^/]+/routine$`));
  await practitioner.addExercise("Heel raise at the worktop", "Foot and ankle");
  await practitioner.handOver();
  await context.grantPermissions(["clipboard-read", "clipboard-write"], { origin: site });
  await practitioner.tap("Copy the link");
  await expect(page.getByText("The link is copied.")).toBeVisible();
  const link = await page.evaluate(() => navigator.clipboard.readText());
  expect(link).toMatch(new RegExp(`^${site}${BASE}take#`));
  const opening = context.waitForEvent("page");
  await practitioner.follow("Try it as the client");
  const preview = await opening;
  await preview.getByRole("button", { name: "Use this routine" }).click();
  await expect(preview.getByText("This is a try-out.")).toBeVisible();
  await expect(preview).toHaveURL(site + BASE);
  await preview.close();

  const other = await (await browser.newContext()).newPage();
  await other.goto(link);
  await other.getByRole("button", { name: "Use this routine" }).click();
  await expect(other.getByRole("heading", { name: /^Good / })).toBeVisible();
  await expect(other).toHaveURL(site + BASE);
  await other.context().close();

  await context.setOffline(true);
  await page.goto(`${site}${BASE}help`);
  await expect(page.getByRole("heading", { name: "Warning signs and how it works" })).toBeVisible();
  await page.goto(`${site}${BASE}practice/`);
  await expect(page.getByRole("link", { name: "Postal round, left heel" })).toBeVisible();
  expect(strays).toEqual([]);
  expect(complaints).toEqual([]);
});
