/**
 * The practitioner's screens as a person meets them: by what they say and what can be tapped. Every tap and
 * every field that is filled in counts as one action.
 */
import { readFileSync } from "node:fs";
import type { Locator, Page } from "@playwright/test";
import { expect } from "./fixtures.ts";
import type { RoutineFile } from "./pages.ts";

export class Practitioner {
  readonly page: Page;
  actions = 0;

  constructor(page: Page) {
    this.page = page;
  }

  static async at(page: Page): Promise<Practitioner> {
    const practitioner = new Practitioner(page);
    await page.goto("/practice/");
    await practitioner.sees("Caseload");
    return practitioner;
  }

  heading(name: string | RegExp): Locator {
    return this.page.getByRole("heading", { name, exact: true });
  }

  async sees(heading: string | RegExp): Promise<void> {
    await expect(this.heading(heading).first()).toBeVisible();
  }

  async tap(name: string | RegExp): Promise<void> {
    await this.click(this.page.getByRole("button", { name, exact: true }));
  }

  async follow(name: string | RegExp): Promise<void> {
    await this.click(this.page.getByRole("link", { name, exact: true }));
  }

  async click(what: Locator): Promise<void> {
    this.actions += 1;
    await what.first().click();
  }

  async fill(label: string | RegExp, text: string): Promise<void> {
    this.actions += 1;
    const field = this.page.getByLabel(label, { exact: true }).first();
    await field.fill(text);
    await field.blur();
  }

  async addClient(label: string): Promise<void> {
    await this.fill("A new client's label", label);
    await this.tap("Add client");
    await this.sees(`Routine: ${label}`);
  }

  /** Adds an exercise from the library, found by its part of the body. */
  async addExercise(name: string, region: string): Promise<void> {
    await this.follow("Add an exercise");
    await this.tap(new RegExp(`^${region} \\d+$`));
    await this.tap(`Add ${name}`);
    await expect(this.card(name)).toBeVisible();
  }

  card(name: string): Locator {
    return this.page.getByRole("listitem").filter({ has: this.page.getByRole("heading", { name: new RegExp(`\\d+\\. ${name}$`) }) });
  }

  async openExercise(name: string): Promise<void> {
    await this.click(this.card(name).getByRole("link", { name: "Change" }));
    await this.sees(name);
  }

  /** Makes the version that is due, if one is, and gives its file. */
  async handOver(): Promise<RoutineFile> {
    await this.follow("Hand over");
    const make = this.page.getByRole("button", { name: /^Make version/ });
    const save = this.page.getByRole("button", { name: "Save the file" });
    await expect(make.or(save)).toBeVisible();
    if (await make.isVisible()) await this.click(make);
    const downloading = this.page.waitForEvent("download");
    await this.click(save);
    const path = await (await downloading).path();
    return JSON.parse(readFileSync(path, "utf8")) as RoutineFile;
  }

  /** The link that the code on the screen carries. */
  async link(): Promise<string> {
    await this.page.getByRole("img", { name: "The routine as a code to scan" }).waitFor();
    const preview = await this.page.getByRole("link", { name: "Try it as the client" }).getAttribute("href");
    return (preview ?? "").replace(/^preview/, "/take");
  }
}
