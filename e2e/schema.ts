/**
 * The published schema of the app's own files, as a check on their text.
 */
import { readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import type { ValidateFunction } from "ajv/dist/2020.js";
import addFormats from "ajv-formats";

const schema = read("carryover-file.schema.json");

const ajv = new Ajv2020({ allErrors: true });
addFormats.default(ajv);
const whole = ajv.compile(schema);
const copy = ajv.compile(read("carryover-caseload.schema.json"));

/** The kinds of file, so that a fault is told for the kind that was meant. */
const kinds = new Map<unknown, ValidateFunction>([
  ["carryover-routine", part("routine_file")],
  ["carryover-log", part("log_file")],
]);

/** What the schema refuses in the text of a file, a line each; nothing when it is in order. */
export function validateFile(json: string): string[] {
  let file: unknown;
  try {
    file = JSON.parse(json);
  } catch (error) {
    return [`not JSON: ${(error as Error).message}`];
  }
  if (whole(file)) return [];
  const format = (file as { format?: unknown } | null)?.format;
  return faults(kinds.get(format) ?? whole, file);
}

/** What the schema refuses in the text of a copy of a caseload, a line each. */
export function validateCopy(json: string): string[] {
  return faults(copy, JSON.parse(json));
}

function faults(validate: ValidateFunction, file: unknown): string[] {
  validate(file);
  return (validate.errors ?? []).map(({ instancePath, message, params }) =>
    `${instancePath || "/"}: ${message} ${JSON.stringify(params)}`,
  );
}

function read(name: string) {
  return JSON.parse(readFileSync(new URL(`../docs/${name}`, import.meta.url), "utf8"));
}

function part(name: string): ValidateFunction {
  const validate = ajv.getSchema(`${schema.$id}#/$defs/${name}`);
  if (!validate) throw new Error(`the schema has no ${name}`);
  return validate;
}
