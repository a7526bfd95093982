// Holds the FHIR Bundles that the tests filed to three readers: the model library for Python, the official
// JSON schema, and our own checks of what neither sees. Each Bundle passes all three, and each of fourteen
// faults planted in one is caught by at least one.
//
//   make formats
import { execFileSync } from "node:child_process";
import { mkdirSync, readFileSync, readdirSync, writeFileSync } from "node:fs";
import { homedir } from "node:os";
import { basename, join } from "node:path";
import { fileURLToPath } from "node:url";
import Ajv from "ajv";

const cache = join(process.env.XDG_CACHE_HOME ?? join(homedir(), ".cache"), "carryover/fhir");
const filed = fileURLToPath(new URL("../../tests/fixtures/formats/", import.meta.url));
const planted = fileURLToPath(new URL("../../target/formats/", import.meta.url));
mkdirSync(planted, { recursive: true });

/** The official schema, with the definitions that it names and lacks, told apart by `resourceType`. */
function bySchema() {
  const schema = JSON.parse(readFileSync(join(cache, "fhir.schema.json"), "utf8"));
  const { definitions, discriminator } = schema;
  const kinds = Object.keys(discriminator.mapping);
  definitions.Resource = {
    type: "object",
    required: ["resourceType"],
    properties: { resourceType: { enum: kinds } },
    allOf: kinds.map((kind) => ({
      if: { properties: { resourceType: { const: kind } } },
      then: { $ref: `#/definitions/${kind}` },
    })),
  };
  definitions.ResourceList = { $ref: "#/definitions/Resource" };
  definitions.integer64 = { type: "string" };
  const ajv = new Ajv.default({ strict: false });
  const validate = ajv.compile({ definitions, $ref: "#/definitions/Bundle" });
  return (bundle) => {
    if (validate(bundle)) return null;
    const [{ instancePath, message }] = validate.errors;
    return `${instancePath}: ${message}`;
  };
}

/** What neither sees: references that lead nowhere, ids that stand twice, pain off its scale. */
function byOwn(bundle) {
  const urls = bundle.entry.map(({ fullUrl }) => fullUrl);
  const twice = urls.find((url, index) => urls.indexOf(url) !== index);
  if (twice) return `${twice} stands twice`;
  const references = JSON.stringify(bundle).matchAll(/"reference":"([^"]*)"/g);
  for (const [, reference] of references) {
    if (!urls.includes(reference)) return `${reference} leads nowhere`;
  }
  for (const { resource } of bundle.entry) {
    if (!resource.code?.coding?.some(({ code }) => code === "72514-3")) continue;
    const points = resource.valueQuantity?.value;
    if (!(Number.isInteger(points) && 0 <= points && points <= 10)) return `pain of ${points}`;
  }
  return null;
}

const first = (bundle, kind, has = () => true) =>
  bundle.entry.map(({ resource }) => resource).find((resource) => resource.resourceType === kind && has(resource));
const isPain = ({ valueQuantity }) => valueQuantity !== undefined;

const FAULTS = {
  "an observation without a status": (bundle) => delete first(bundle, "Observation").status,
  "a plan without an intent": (bundle) => delete first(bundle, "CarePlan").intent,
  "an observation without a code": (bundle) => delete first(bundle, "Observation").code,
  "a procedure without a subject": (bundle) => delete first(bundle, "Procedure").subject,
  "an origin without a moment": (bundle) => delete first(bundle, "Provenance").recorded,
  "an element that does not exist": (bundle) => (first(bundle, "Procedure").reps = 10),
  "a status that does not exist": (bundle) => (first(bundle, "Observation").status = "banana"),
  "a unit of time that does not exist": (bundle) =>
    (first(bundle, "ServiceRequest").occurrenceTiming.repeat.periodUnit = "fortnight"),
  "a time without a zone": (bundle) =>
    (first(bundle, "Observation").effectiveDateTime = "2026-06-01T08:01:40"),
  "a rating in words": (bundle) => (first(bundle, "Observation", isPain).valueQuantity.value = "three"),
  "two values in one": (bundle) => (first(bundle, "Observation", isPain).valueString = "three"),
  "a reference that leads nowhere": (bundle) =>
    (first(bundle, "Procedure").basedOn[0].reference = "urn:uuid:00000000-0000-5000-8000-000000000000"),
  "an id that stands twice": (bundle) => (bundle.entry[2].fullUrl = bundle.entry[1].fullUrl),
  "a rating of 11": (bundle) => (first(bundle, "Observation", isPain).valueQuantity.value = 11),
};

const good = readdirSync(filed).filter((name) => name.endsWith(".fhir.json")).map((name) => join(filed, name));
if (good.length === 0) throw new Error(`no Bundle in ${filed}`);
const text = readFileSync(join(filed, "week.fhir.json"), "utf8");
const broken = Object.entries(FAULTS).map(([fault, plant]) => {
  const bundle = JSON.parse(text);
  plant(bundle);
  const path = join(planted, `${fault.replaceAll(" ", "-")}.fhir.json`);
  writeFileSync(path, JSON.stringify(bundle));
  return [fault, path];
});

const paths = [...good, ...broken.map(([, path]) => path)];
const model = JSON.parse(
  execFileSync(join(cache, "venv/bin/python"), [fileURLToPath(new URL("model.py", import.meta.url)), ...paths], {
    encoding: "utf8",
  }),
);
const schema = bySchema();
const refusals = (path) => {
  const bundle = JSON.parse(readFileSync(path, "utf8"));
  return { model: model[path], schema: schema(bundle), own: byOwn(bundle) };
};

let failed = 0;
for (const path of good) {
  const found = Object.entries(refusals(path)).filter(([, reason]) => reason !== null);
  for (const [reader, reason] of found) console.log(`  FAILED  ${basename(path)}: ${reader}: ${reason}`);
  if (found.length > 0) failed += 1;
  else console.log(`  passed  ${basename(path)}: model, schema, own`);
}
for (const [fault, path] of broken) {
  const by = Object.entries(refusals(path)).filter(([, reason]) => reason !== null).map(([reader]) => reader);
  if (by.length === 0) failed += 1;
  console.log(by.length === 0 ? `  MISSED  ${fault}` : `  caught  ${fault}: ${by.join(", ")}`);
}
console.log(`${good.length} Bundles, ${broken.length} faults, ${failed} failed`);
process.exitCode = failed === 0 && broken.length === 14 ? 0 : 1;
