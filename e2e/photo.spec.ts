/** A photo of the set-up: taken, made small, carried by the file, shown at the set-up, and removed again. */
import { closeSync, ftruncateSync, openSync } from "node:fs";
import { deflateSync } from "node:zlib";
import type { Page } from "@playwright/test";
import { expect, expectAccessible, test } from "./fixtures.ts";
import { Client, EVENING, oneExercise } from "./pages.ts";
import { Practitioner } from "./practitioner.ts";
import { validateFile } from "./schema.ts";

test.use({ timezoneId: "Europe/Berlin" });

const NAME = "Heel raise at the worktop";
const MOST_BYTES = 120_000;
/** A camera that no shop sells; it stands in the EXIF data next to the place. */
const CAMERA = "Banister camera";

/** A JPEG as a camera would take it: lying, and so grainy that it is large. */
async function taken(page: Page, width: number, height: number): Promise<Buffer> {
  const address = await page.evaluate(
    ([width, height]) => {
      const canvas = document.createElement("canvas");
      [canvas.width, canvas.height] = [width, height];
      const pen = canvas.getContext("2d")!;
      const grain = pen.createImageData(width, height);
      let seed = 7;
      for (let index = 0; index < grain.data.length; index += 4) {
        seed = (seed * 1103515245 + 12345) & 0x7fffffff;
        grain.data.fill(seed >> 16, index, index + 3);
        grain.data[index + 3] = 255;
      }
      pen.putImageData(grain, 0, 0);
      return canvas.toDataURL("image/jpeg", 0.9);
    },
    [width, height] as const,
  );
  return Buffer.from(address.split(",")[1]!, "base64");
}

/** Numbers as bytes, each as a letter of Latin-1: the lowest first, and the highest first. */
const little = (number: number, bytes: number): string =>
  Array.from({ length: bytes }, (_, at) => String.fromCharCode((number >>> (8 * at)) & 0xff)).join("");
const big = (number: number, bytes: number): string => [...little(number, bytes)].reverse().join("");

/** The same JPEG with EXIF data (CIPA DC-008): the camera, held on its side (orientation 6), and a place. */
function withPlace(jpeg: Buffer): Buffer {
  const entry = (tag: number, type: number, count: number, value: number) =>
    little(tag, 2) + little(type, 2) + little(count, 4) + little(value, 4);
  const camera = `${CAMERA}\0`;
  const cameraAt = 8 + 2 + 3 * 12 + 4;
  const placeAt = cameraAt + camera.length;
  const latitudeAt = placeAt + 2 + 2 * 12 + 4;
  const tiff = [
    `II${little(42, 2)}${little(8, 4)}`,
    little(3, 2),
    entry(0x010f, 2, camera.length, cameraAt),
    entry(0x0112, 3, 1, 6),
    entry(0x8825, 4, 1, placeAt),
    little(0, 4),
    camera,
    little(2, 2),
    entry(0x0001, 2, 2, "N".charCodeAt(0)),
    entry(0x0002, 5, 3, latitudeAt),
    little(0, 4),
    ...[52, 1, 31, 1, 12, 1].map((number) => little(number, 4)),
  ].join("");
  const body = `Exif\0\0${tiff}`;
  const text = jpeg.toString("latin1");
  return Buffer.from(`${text.slice(0, 2)}\xff\xe1${big(body.length + 2, 2)}${body}${text.slice(2)}`, "latin1");
}

/** A PNG (ISO/IEC 15948) of one colour, wider and taller than a browser draws. */
function endless(side: number): Buffer {
  const chunk = (kind: string, data: string) => big(data.length, 4) + kind + data + big(checksum(kind + data), 4);
  const rows = deflateSync("\0".repeat(side * (1 + Math.ceil(side / 8)))).toString("latin1");
  const head = `${big(side, 4)}${big(side, 4)}\x01\0\0\0\0`;
  return Buffer.from(`\x89PNG\r\n\x1a\n${chunk("IHDR", head)}${chunk("IDAT", rows)}${chunk("IEND", "")}`, "latin1");
}

/** The CRC-32 of PNG (ISO/IEC 15948, annex D). */
function checksum(text: string): number {
  let crc = 0xffffffff;
  for (const letter of text) {
    crc ^= letter.charCodeAt(0);
    for (let bit = 0; bit < 8; bit += 1) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
  }
  return ~crc >>> 0;
}

/** The names of the chunks of a WebP file (RFC 9649, section 2.3). */
function chunks(webp: Buffer): string[] {
  const names = [];
  for (let at = 12; at + 8 <= webp.length; ) {
    names.push(webp.toString("latin1", at, at + 4));
    const size = webp.readUInt32LE(at + 4);
    at += 8 + size + (size % 2);
  }
  return names;
}

const picture = (page: Page) => page.getByRole("img", { name: `Your set-up for ${NAME}` });

async function give(page: Page, name: string, buffer: Buffer): Promise<void> {
  const mimeType = `image/${name.split(".").at(-1)!.replace("jpg", "jpeg")}`;
  await page.getByLabel(/^(Add a photo of the set-up|Take another photo)$/).setInputFiles({ name, mimeType, buffer });
}

async function size(page: Page): Promise<[number, number]> {
  await expect(picture(page)).toBeVisible();
  return await picture(page).evaluate(async (image: HTMLImageElement) => {
    await image.decode();
    return [image.naturalWidth, image.naturalHeight];
  });
}

test("a photo is made small and travels to the client's set-up in the file, not in the link", async ({ page, openDevice }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await practitioner.addExercise(NAME, "Foot and ankle");
  await practitioner.openExercise(NAME);
  const original = withPlace(await taken(page, 1600, 1200));
  expect(original.length).toBeGreaterThan(2 * MOST_BYTES);
  expect(original.includes(CAMERA)).toBe(true);
  await give(page, "worktop.jpg", original);
  // Turned upright, as the camera said it was held.
  const shown = await size(page);
  expect(Math.max(...shown)).toBeLessThanOrEqual(900);
  expect(shown[1] / shown[0]).toBeCloseTo(1600 / 1200, 1);
  await expectAccessible(page);
  await practitioner.follow("Done");
  const first = await practitioner.handOver();
  expect(validateFile(JSON.stringify(first))).toEqual([]);

  const { photo } = first.routine.exercises[0] as unknown as { photo: string };
  const saved = Buffer.from(photo.split(",")[1]!, "base64");
  expect(saved.length).toBeLessThanOrEqual(MOST_BYTES);
  expect(photo).toMatch(/^data:image\/webp;base64,/);
  expect(chunks(saved)).not.toContain("EXIF");
  expect(chunks(saved)).not.toContain("XMP ");
  for (const trace of [CAMERA, "Exif"]) expect(saved.includes(trace), `the photo carries "${trace}"`).toBe(false);

  await expect(page.getByText("Your photos travel in the file only. The code and the link leave them out.")).toBeVisible();
  const link = await practitioner.link();
  expect(link.length).toBeLessThan(3000);
  const other = await Client.at(await (await openDevice({ timezoneId: "Europe/Berlin" })).newPage(), EVENING, link);
  await other.accept();
  await other.begin();
  await expect(picture(other.page)).toHaveCount(0);

  const client = await Client.at(await (await openDevice({ timezoneId: "Europe/Berlin" })).newPage(), EVENING);
  await client.openFile("routine.txt", first);
  await client.page.getByRole("heading", { name: /^1\. / }).click();
  expect(await size(client.page)).toEqual(shown);
  await client.accept();
  await client.begin();
  expect(await size(client.page)).toEqual(shown);
  await client.expectAccessible();

  await practitioner.follow("Routine");
  await practitioner.openExercise(NAME);
  await practitioner.tap("Remove the photo");
  await expect(picture(page)).toHaveCount(0);
  await expect(page.getByLabel("Add a photo of the set-up")).toBeFocused();
  await practitioner.follow("Done");
  const second = await practitioner.handOver();
  expect(second.routine.exercises[0]).not.toHaveProperty("photo");
  await expect(page.getByText(/Your photos travel/)).toHaveCount(0);
});

test("the next version by its link leaves the client's photo where it is", async ({ page, openDevice }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await practitioner.addExercise(NAME, "Foot and ankle");
  await practitioner.openExercise(NAME);
  await give(page, "worktop.png", await page.screenshot());
  await expect(picture(page)).toBeVisible();
  await practitioner.follow("Done");
  const client = await Client.at(await (await openDevice({ timezoneId: "Europe/Berlin" })).newPage(), EVENING);
  await client.openFile("routine.txt", await practitioner.handOver());
  await client.accept();

  await practitioner.follow("Routine");
  await practitioner.addExercise("Knee squeeze", "Hip");
  await practitioner.handOver();
  await client.page.goto(await practitioner.link());
  await expect(client.page.getByText(/photo/i)).toHaveCount(0);
  await client.page.getByRole("heading", { name: /^1\. / }).click();
  await expect(picture(client.page)).toBeVisible();
  await client.accept();
  await client.begin();
  await expect(picture(client.page)).toBeVisible();
});

/** A WebP (RFC 9649, section 2.5, and RFC 6386, section 9.1) of 38 bytes that claims a size, and holds nothing. */
function claiming(width: number, height: number): Buffer {
  const frame = `\x30\x01\0\x9d\x01\x2a${little(width, 2)}${little(height, 2)}${"\0".repeat(8)}`;
  return Buffer.from(`RIFF${little(30, 4)}WEBPVP8 ${little(frame.length, 4)}${frame}`, "latin1");
}

/** Counts how often the page reads a file whole or decodes a picture. */
async function countWork(page: Page): Promise<() => Promise<number>> {
  await page.evaluate(() => {
    const counted = window as unknown as { work: number };
    counted.work = 0;
    const decode = window.createImageBitmap.bind(window);
    window.createImageBitmap = ((...given: Parameters<typeof decode>) => {
      counted.work += 1;
      return decode(...given);
    }) as typeof window.createImageBitmap;
    const read = Blob.prototype.text;
    Blob.prototype.text = function () {
      counted.work += 1;
      return read.call(this);
    };
  });
  return () => page.evaluate(() => (window as unknown as { work: number }).work);
}

/** A file of so many bytes that takes none on the disk. */
function hollow(name: string, bytes: number): string {
  const path = test.info().outputPath(name);
  const file = openSync(path, "w");
  ftruncateSync(file, bytes);
  closeSync(file);
  return path;
}

test("what is no picture, or claims to be far too large, is refused in a sentence and changes nothing", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await practitioner.addExercise(NAME, "Foot and ankle");
  await practitioner.openExercise(NAME);
  const refused = (why: string) => page.getByText(`No photo was added: ${why}.`);
  const noPicture = "this file is no JPEG, PNG or WebP picture that this browser can open";
  const tooMany = (side: number) => `the picture claims ${side} x ${side} pixels; at most 70 million are opened`;
  const notes = Buffer.from("Kitchen chair, third stair.");
  await give(page, "notes.jpg", notes);
  await expect(refused(noPicture)).toBeVisible();
  await expect(picture(page)).toHaveCount(0);

  const work = await countWork(page);
  for (const [name, buffer, why, decoded] of [
    ["notes.jpg", notes, noPicture, 0],
    ["cut.jpg", (await taken(page, 400, 300)).subarray(0, 400), noPicture, 0],
    ["headless.jpg", (await taken(page, 400, 300)).subarray(0, 100), noPicture, 0],
    ["wall.png", endless(40_000), tooMany(40_000), 0],
    ["wall.webp", claiming(16_383, 16_383), tooMany(16_383), 0],
    ["empty.webp", claiming(900, 900), noPicture, 1],
  ] as const) {
    // A good one takes the sentence back.
    await give(page, "worktop.png", await page.screenshot());
    await expect(page.getByText("No photo was added")).toBeHidden();
    await expect(picture(page)).toBeVisible();
    const source = await picture(page).getAttribute("src");
    const before = await work();
    await give(page, name, buffer);
    await expect(refused(why), name).toBeVisible();
    expect(await picture(page).getAttribute("src"), name).toBe(source);
    if (name !== "cut.jpg") expect((await work()) - before, `${name}: decoded`).toBe(decoded);
  }
  await page.getByLabel("Take another photo").setInputFiles(hollow("endless.jpg", 1_500_000_000));
  await expect(refused("the file is larger than 60 MB")).toBeVisible();
});

test("a photo in a routine that claims too much is refused, and one that a log holds is not drawn", async ({ page, openDevice }) => {
  const address = (webp: Buffer) => `data:image/webp;base64,${webp.toString("base64")}`;
  const file = oneExercise();
  const [exercise] = file.routine.exercises as unknown as [{ name: string; photo?: string }];
  const client = await Client.at(page, EVENING);
  exercise.photo = address(claiming(16_383, 16_383));
  await client.openFile("routine.json", file);
  await expect(client.alert()).toContainText("a photo claims 16383 x 16383 pixels; at most 2 million are shown");
  await expect(client.alert()).toContainText(exercise.name);
  exercise.photo = "data:image/jpeg;base64,/9j/4AAQSkZJRgABAQ==";
  await client.openFile("routine.json", file);
  await expect(client.alert()).toContainText("a photo is damaged");
  expect(await client.stored()).toEqual([]);

  delete exercise.photo;
  await client.openFile("routine.json", file);
  await client.accept();
  // The log of somebody who took the routine on before its photos were looked at.
  const [taken] = await client.texts();
  const unlooked = taken!.replace('"steps":', `"photo":"${address(claiming(16_383, 16_383))}","steps":`);
  const log = `{"format":"carryover-log","version":1,"events":[\n${unlooked}\n]}\n`;
  const other = await Client.at(await (await openDevice({ timezoneId: "Europe/Berlin" })).newPage(), EVENING, "/keep");
  await other.page.getByLabel("Restore a copy").setInputFiles({ name: "log.txt", mimeType: "text/plain", buffer: Buffer.from(log) });
  await expect(other.page.getByText(/brought back/)).toBeVisible();
  await other.page.goto("/routine");
  await expect(other.page.getByText("The photo of the set-up is not shown: a photo claims 16383 x 16383 pixels")).toBeVisible();
  await expect(other.page.locator("img")).toHaveCount(0);
});

test("a file's size is asked before it is read", async ({ page }) => {
  const client = await Client.at(page, EVENING);
  const work = await countWork(page);
  await page.getByLabel("Open a routine file").setInputFiles(hollow("endless.json", 1_500_000_000));
  await expect(client.alert()).toContainText('"endless.json" could not be opened: it is larger than 40 MB.');
  expect(await work()).toBe(0);

  await Practitioner.at(page);
  const workThere = await countWork(page);
  await page.getByLabel("Open a file").setInputFiles([hollow("a.txt", 250_000_000), hollow("b.txt", 1_500_000_000)]);
  await expect(page.getByText("it is larger than 300 MB")).toBeVisible();
  expect(await workThere()).toBe(1);
});
