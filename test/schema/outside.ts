import { readFileSync } from "node:fs";
import { Ajv2020, type ValidateFunction } from "ajv/dist/2020.js";
import addFormats from "ajv-formats";
import type { JsonSchema } from "../../server/src/schema/json-schema.ts";
import { isRecordKind, type SchemaKind } from "../../server/src/schema/kinds.ts";

/** The names that the schemas add to JSON Schema; any tool may pass over them. */
export const ANNOTATIONS = [
  "x-unit",
  "x-enumDescriptions",
  "x-refers-to",
  "x-noun",
  "x-expected",
  "x-expected-key",
  "x-whole",
  "x-free",
  "x-format",
];

/** A schema as it stands in its file, as somebody else's tool would read it. */
export function schemaFile(kind: SchemaKind): JsonSchema {
  return JSON.parse(readFileSync(new URL(`../../schemas/${kind}.schema.json`, import.meta.url), "utf8")) as JsonSchema;
}

/** A general-purpose validator, as strict as it can be, that knows nothing of this project but the annotations' names. */
export function outsideValidator(): Ajv2020 {
  const ajv = new Ajv2020({ strict: true, allErrors: true, keywords: ANNOTATIONS });
  // The package is CommonJS: its function is the module itself or its default export, as the loader has it.
  const add = (addFormats as unknown as { default?: typeof addFormats.default }).default ?? addFormats;
  (add as unknown as (ajv: Ajv2020) => void)(ajv);
  return ajv;
}

export function validatorOfFile(kind: SchemaKind): ValidateFunction {
  return outsideValidator().compile(schemaFile(kind));
}

/** A validator of one record of a kind, or of the whole file where it is one record. */
export function validatorOfRecord(
  kind: SchemaKind,
  change: (schema: unknown) => unknown = (schema) => schema,
): ValidateFunction {
  const { $defs, ...file } = schemaFile(kind);
  const items = isRecordKind(kind) ? file.properties?.[kind]?.items : undefined;
  const record = items ? { $ref: items.$ref } : { ...file, $id: undefined };
  return outsideValidator().compile(JSON.parse(JSON.stringify(change({ ...record, $defs }))) as object);
}
