// Makes from schemas/: the validators (compiled, so that nothing is evaluated at run time), the schemas and the shipped
// region packs as data, and schemas/README.md, the readable reference.
import { mkdir, readFile, readdir, writeFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import Ajv2020 from "ajv/dist/2020.js";
import { _ } from "ajv";
import standaloneCode from "ajv/dist/standalone/index.js";
import { build } from "esbuild";
import { schemaReference } from "./schema-reference.mjs";

const root = fileURLToPath(new URL("../../", import.meta.url));
const KINDS = ["season", "fields", "equipment", "rotations", "visits", "cleanings", "samples", "region"];

/** The annotations of the schemas; `server/src/schema/json-schema.ts` says what each means. */
export const ANNOTATIONS = ["x-unit", "x-enumDescriptions", "x-refers-to", "x-noun", "x-expected", "x-expected-key", "x-whole", "x-free", "x-format"];

export async function generateSchemas() {
  const schemas = await readSchemas();
  await mkdir(`${root}server/generated`, { recursive: true });
  await Promise.all([
    writeValidators(schemas),
    write("server/generated/schemas.ts", schemasModule(schemas)),
    readRegions().then((regions) => write("server/generated/regions.ts", regionsModule(regions))),
    write("schemas/README.md", schemaReference(schemas, await readRegions())),
  ]);
}

/** The schemas by kind, in the order of the format's description. */
export async function readSchemas() {
  const texts = await Promise.all(KINDS.map((kind) => readFile(`${root}schemas/${kind}.schema.json`, "utf8")));
  return Object.fromEntries(KINDS.map((kind, i) => [kind, JSON.parse(texts[i])]));
}

/** The text of each shipped pack by its name. */
export async function readRegions() {
  const names = (await readdir(`${root}schemas/regions`)).filter((name) => name.endsWith(".region.yaml")).sort();
  const texts = await Promise.all(names.map((name) => readFile(`${root}schemas/regions/${name}`, "utf8")));
  return Object.fromEntries(names.map((name, i) => [name.slice(0, -".region.yaml".length), texts[i]]));
}

/** A record's own schema: for a kind whose files hold a list, that of one item. */
export function recordSchema(kind, schema) {
  const items = schema.properties[kind]?.items;
  return items?.$ref ? { ...schema.$defs[items.$ref.slice("#/$defs/".length)], $defs: schema.$defs } : schema;
}

async function writeValidators(schemas) {
  const ajv = new Ajv2020({
    allErrors: true,
    strict: true,
    // A text's length is only ever compared with 1, where code units serve as well; ajv warns that the option will go.
    unicode: false,
    logger: false,
    code: { source: true, esm: true, formats: _`formats` },
    formats: { date: () => true, "date-time-minutes": () => true },
    keywords: ANNOTATIONS,
  });
  for (const kind of KINDS) {
    const { $schema: _schema, $id: _id, ...schema } = recordSchema(kind, schemas[kind]);
    ajv.addSchema(forDecodedValues(schema), kind);
  }
  const code = standaloneCode(ajv, Object.fromEntries(KINDS.map((kind) => [kind, kind])));
  const bundled = await build({
    stdin: {
      contents: `import * as formats from "../src/schema/formats.ts";\n${code}`,
      resolveDir: root,
      loader: "js",
    },
    bundle: true,
    // The project's own, and the same wherever it is asked.
    external: ["../src/schema/formats.ts"],
    write: false,
    format: "esm",
    target: "es2022",
    logLevel: "error",
  });
  const text = bundled.outputFiles[0].text;
  if (/\brequire\(|\beval\(|new Function/.test(text)) throw new Error("the validators need more than the project has");
  await write("server/generated/validators.mjs", text);
  await write("server/generated/validators.d.mts", validatorTypes());
}

/**
 * The schema as the decoder needs it: it has looked at the keys already, and set unknown ones aside, so the validator need
 * not; and a format that is checked in full makes its pattern needless.
 */
function forDecodedValues(schema) {
  if (Array.isArray(schema)) return schema.map(forDecodedValues);
  if (schema === null || typeof schema !== "object") return schema;
  const copy = {};
  for (const [key, value] of Object.entries(schema)) {
    if (key === "examples" || key === "enum" || key.startsWith("x-")) {
      if (key === "enum") copy.enum = value;
      if (key === "x-format") copy.format = value;
    } else if (key === "properties" || key === "$defs" || key === "patternProperties") {
      const kept = Object.entries(value).filter(([name]) => key !== "patternProperties" || name !== "^x-");
      if (kept.length > 0) copy[key] = Object.fromEntries(kept.map(([name, inner]) => [name, forDecodedValues(inner)]));
    } else if (key !== "additionalProperties" || value !== false) {
      copy[key] = forDecodedValues(value);
    }
  }
  if (copy.format) delete copy.pattern;
  return copy;
}

function validatorTypes() {
  return `/** What a validator says of one broken value; see the documentation of ajv's \`ErrorObject\`. */
export interface ValidatorError {
  readonly instancePath: string;
  readonly schemaPath: string;
  readonly keyword: string;
  readonly params: Readonly<Record<string, unknown>>;
}
/** Answers whether a value is right; \`errors\` holds what is wrong with the value last asked of. */
export interface Validator {
  (value: unknown): boolean;
  errors?: readonly ValidatorError[] | null;
}
${KINDS.map((kind) => `export declare const ${kind}: Validator;\n`).join("")}`;
}

function schemasModule(schemas) {
  const entries = KINDS.map((kind) => `  ${kind}: ${JSON.stringify(schemas[kind])},\n`).join("");
  return `import type { JsonSchema } from "../src/schema/json-schema.ts";
import type { SchemaKind } from "../src/schema/kinds.ts";

/** The JSON Schemas of schemas/, by kind. */
export const schemas: Readonly<Record<SchemaKind, JsonSchema>> = {\n${entries}};\n`;
}

function regionsModule(regions) {
  const entries = Object.entries(regions).map((pair) => `  [${pair.map((part) => JSON.stringify(part)).join(", ")}],\n`);
  return `/** The text of each shipped region pack, by its name. */
export const shippedRegions: ReadonlyMap<string, string> = new Map([\n${entries.join("")}]);\n`;
}

/** Writes a file, unless it holds the text already: so that what watches it is not woken for nothing. */
async function write(path, text) {
  const before = await readFile(root + path, "utf8").catch(() => undefined);
  if (before !== text) await writeFile(root + path, text);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await generateSchemas();
