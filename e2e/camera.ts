/** What a camera sees that is held in front of a screen with codes, drawn from what that screen shows. */
import { closeSync, openSync, writeSync } from "node:fs";
import type { Page } from "@playwright/test";

const [WIDTH, HEIGHT] = [640, 480];

/** The picture of the code on a page: held a little aslant, one byte of brightness a pixel. */
export async function pictureOf(page: Page): Promise<Uint8Array> {
  const pixels = await page.locator("svg.code").evaluate(
    (svg, [width, height]) => {
      const canvas = new OffscreenCanvas(width, height);
      const context = canvas.getContext("2d")!;
      const side = (svg as SVGSVGElement).viewBox.baseVal.width;
      context.fillStyle = "#6e6e6e";
      context.fillRect(0, 0, width, height);
      context.translate(width / 2, height / 2);
      context.rotate(0.05);
      context.scale(420 / side, 420 / side);
      context.translate(-side / 2, -side / 2);
      context.fillStyle = "#e1e1e1";
      context.fillRect(0, 0, side, side);
      context.fillStyle = "#282828";
      context.fill(new Path2D(svg.querySelector("path")!.getAttribute("d")!));
      const { data } = context.getImageData(0, 0, width, height);
      let text = "";
      for (let at = 0; at < data.length; at += 4) text += String.fromCharCode(data[at]!);
      return btoa(text);
    },
    [WIDTH, HEIGHT] as [number, number],
  );
  return new Uint8Array(Buffer.from(pixels, "base64"));
}

/**
 * Writes the pictures as YUV4MPEG2, half a second each, which a browser's pretended camera shows over and over.
 * Their number is made prime by showing the first ones again: a reader that is slow by the same measure each time
 * would meet every second or third of an even number, and none of the others, for ever.
 */
export function writeVideo(name: string, pictures: Uint8Array[]): void {
  const file = openSync(name, "w");
  writeSync(file, `YUV4MPEG2 W${WIDTH} H${HEIGHT} F2:1 Ip A1:1 C420jpeg\n`);
  // Without colour: both colour planes stand on their middle.
  const colourless = new Uint8Array((WIDTH * HEIGHT) / 2).fill(128);
  let count = pictures.length;
  while (!isPrime(count)) count += 1;
  const again = pictures.slice(0, count - pictures.length);
  for (const picture of [...pictures, ...again]) {
    writeSync(file, "FRAME\n");
    writeSync(file, picture);
    writeSync(file, colourless);
  }
  closeSync(file);
}

function isPrime(count: number): boolean {
  for (let divisor = 2; divisor * divisor <= count; divisor += 1) if (count % divisor === 0) return false;
  return true;
}
