// The least that any checker of these files must do: read them, load the YAML, validate each file once with ajv.
//   node test/bench/floor.mjs DIR
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import Ajv2020 from "ajv/dist/2020.js";
import { load } from "js-yaml";

const folder = process.argv[2];
const ajv = new Ajv2020.default({ strict: false, validateFormats: false, allErrors: true });
const validators = new Map();
let invalid = 0;
for (const path of readdirSync(folder, { recursive: true })) {
  const kind = /(?:^|[./\\])([a-z]+)\.yaml$/.exec(path)?.[1];
  if (!kind) continue;
  const value = load(readFileSync(join(folder, path), "utf8"));
  if (!validators.has(kind)) {
    const schema = JSON.parse(readFileSync(new URL(`../../schemas/${kind}.schema.json`, import.meta.url), "utf8"));
    validators.set(kind, ajv.compile(schema));
  }
  if (!validators.get(kind)(value)) invalid++;
}
console.log(JSON.stringify({ invalid }));
