/**
 * The published schema of the app's own files, as a check on their text.
 */
import { readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import type { ValidateFunction } from "ajv/dist/2020.js";
import addFormats from "ajv-formats";

const schema = JSON.parse(
  readFileSync(new URL("../docs/carryover-file.schema.json", import.meta.url), "utf8"),
);

const ajv = new Ajv2020({ allErrors: true });
addFormats.default(ajv);
const whole = ajv.compile(schema);

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
  const validate = kinds.get(format) ?? whole;
  validate(file);
  return (validate.errors ?? []).map(({ instancePath, message, params }) =>
    `${instancePath || "/"}: ${message} ${JSON.stringify(params)}`,
  );
}

function part(name: string): ValidateFunction {
  const validate = ajv.getSchema(`${schema.$id}#/$defs/${name}`);
  if (!validate) throw new Error(`the schema has no ${name}`);
  return validate;
}
