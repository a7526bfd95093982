// A WebAssembly program as its sections, and what stands in them.

/** Numbers of sections. */
export const CUSTOM = 0;
export const IMPORTS = 2;
export const EXPORTS = 7;

const HEADER = Buffer.from([0x00, 0x61, 0x73, 0x6d, 0x01, 0x00, 0x00, 0x00]);

/** Reads one thing after the other. */
export class Reader {
  #bytes;
  at = 0;

  constructor(bytes) {
    this.#bytes = bytes;
  }

  get isDone() {
    return this.at >= this.#bytes.length;
  }

  take(length) {
    this.at += length;
    return this.#bytes.subarray(this.at - length, this.at);
  }

  byte() {
    return this.take(1)[0];
  }

  number() {
    for (let value = 0, factor = 1; ; factor *= 128) {
      const byte = this.byte();
      value += (byte & 0x7f) * factor;
      if (byte < 0x80) return value;
    }
  }

  text() {
    return this.take(this.number()).toString("utf8");
  }

  rest() {
    return this.#bytes.subarray(this.at);
  }
}

export function number(value) {
  const bytes = [];
  for (; value > 0x7f; value = Math.floor(value / 128)) bytes.push((value & 0x7f) | 0x80);
  return Buffer.from([...bytes, value]);
}

export function text(value) {
  return Buffer.concat([number(Buffer.byteLength(value)), Buffer.from(value)]);
}

export function sectionsOf(program) {
  const reader = new Reader(program);
  if (!reader.take(HEADER.length).equals(HEADER)) throw new Error("this is no WebAssembly program");
  const sections = [];
  while (!reader.isDone) sections.push({ kind: reader.byte(), content: reader.take(reader.number()) });
  return sections;
}

export function programOf(sections) {
  const written = sections.flatMap(({ kind, content }) => [Buffer.from([kind]), number(content.length), content]);
  return Buffer.concat([HEADER, ...written]);
}
