import { defineConfig } from "@playwright/test";
import { args, findChromium } from "./chromium.mjs";

const PORT = process.env.E2E_PORT ?? "4173";

export default defineConfig({
  testDir: ".",
  testMatch: "*.spec.ts",
  outputDir: "../target/e2e",
  fullyParallel: true,
  // At a desk a journey that passes only sometimes fails. A build that has to decide looks once
  // more, and lists what passed only then as flaky.
  retries: process.env.CI ? 1 : 0,
  forbidOnly: true,
  workers: 2,
  // Ends what hangs; far longer than anything takes, even on a busy machine.
  timeout: 120_000,
  expect: { timeout: 30_000 },
  reporter: "list",
  use: {
    baseURL: `http://127.0.0.1:${PORT}`,
    browserName: "chromium",
    launchOptions: { executablePath: findChromium(), args },
    viewport: { width: 360, height: 740 },
    locale: "en-GB",
    timezoneId: "Europe/London",
    // Figures stand still but where they are looked at: to paint each frame of an hour takes an hour.
    contextOptions: { reducedMotion: "reduce" },
    // To record every step of every journey takes time; a failing one says what the page held all the same.
    trace: process.env.TRACE ? "retain-on-failure" : "off",
    // Journeys about being offline allow it; every other one meets the build as it is served.
    serviceWorkers: "block",
  },
  webServer: {
    command: `node serve.mjs --port ${PORT}`,
    url: `http://127.0.0.1:${PORT}/`,
    reuseExistingServer: false,
    gracefulShutdown: { signal: "SIGTERM", timeout: 2000 },
  },
});
