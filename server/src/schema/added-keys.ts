import type { ValidatorError } from "../../generated/validators.mjs";
import { date as isDate, "date-time-minutes" as isTime } from "./formats.ts";
import type { JsonSchema } from "./json-schema.ts";
import type { SchemaKind } from "./kinds.ts";
import { safePattern } from "./safe-pattern.ts";
import { schemaAt, type SchemaOfKind } from "./schema-at.ts";
import { stepsOf } from "./schema-problem.ts";
import { resolvedSchema } from "./shape.ts";

/**
 * A kind's schema with what a region adds to it: keys beside keys, required keys beside required keys, words beside the
 * words that a key takes already. A bound is only ever narrowed.
 */
export function mergeAdded(base: JsonSchema, added: JsonSchema, kind: SchemaKind): JsonSchema {
  const whole = resolvedSchema(base, kind);
  const properties: Record<string, JsonSchema> = { ...whole.properties };
  for (const [key, property] of Object.entries(added.properties ?? {})) {
    const before = Object.hasOwn(properties, key) ? properties[key] : undefined;
    properties[key] = before ? mergeAdded(before, property, kind) : property;
  }
  const required = [...new Set([...(whole.required ?? []), ...(added.required ?? [])])];
  const items = whole.items && added.items ? mergeAdded(whole.items, added.items, kind) : (added.items ?? whole.items);
  return {
    ...added,
    ...whole,
    ...(added.type === "integer" && { type: added.type }),
    ...(added.title !== undefined && { title: added.title }),
    ...(added.description !== undefined && { description: added.description }),
    ...(Object.keys(properties).length > 0 && { properties }),
    ...(required.length > 0 && { required }),
    ...(items !== undefined && { items }),
    ...wordsOf(whole, added),
    ...narrowed(whole, added),
  };
}

function wordsOf(whole: JsonSchema, added: JsonSchema): Pick<JsonSchema, "enum" | "x-enumDescriptions"> {
  const words = whole.enum ?? added.enum;
  if (words === undefined) return {};
  const fresh = (added.enum ?? []).filter((word) => !words.includes(word));
  const meanings = [
    ...words.map((_, i) => (whole.enum ? whole : added)["x-enumDescriptions"]?.[i] ?? ""),
    ...fresh.map((word) => added["x-enumDescriptions"]?.[added.enum!.indexOf(word)] ?? ""),
  ];
  const isTold = meanings.some((meaning) => meaning !== "");
  return { enum: [...words, ...fresh], ...(isTold && { "x-enumDescriptions": meanings }) };
}

const LOWER_BOUNDS = ["minimum", "exclusiveMinimum", "minLength", "minItems"] as const;
const UPPER_BOUNDS = ["maximum", "exclusiveMaximum", "maxLength", "maxItems"] as const;

function narrowed(whole: JsonSchema, added: JsonSchema): Partial<JsonSchema> {
  const bounds: Record<string, number> = {};
  for (const key of LOWER_BOUNDS)
    if (whole[key] !== undefined && added[key] !== undefined) bounds[key] = Math.max(whole[key], added[key]);
  for (const key of UPPER_BOUNDS)
    if (whole[key] !== undefined && added[key] !== undefined) bounds[key] = Math.min(whole[key], added[key]);
  return bounds;
}

/** Whether an error of the kind's own schema is about a word that a region has added. */
export function widensEnum(format: SchemaOfKind, { keyword, instancePath }: ValidatorError, value: unknown): boolean {
  if (keyword !== "enum") return false;
  const pointer = stepsOf(instancePath, value);
  let at = value;
  for (const step of pointer) at = (at as Record<string | number, unknown>)[step];
  return schemaAt(format, pointer, value)?.enum?.includes(at as string) === true;
}

/**
 * What is wrong with a value by what a region has added, as the validators of the kinds would tell it. Bounded by the
 * sizes of the value and of the added keys.
 *
 * @param whole the kind's schema with everything that was added
 */
export function addedErrors(added: JsonSchema, whole: JsonSchema, kind: SchemaKind, value: unknown): ValidatorError[] {
  const errors: ValidatorError[] = [];
  look(added, whole, kind, value, "", errors);
  return errors;
}

function look(
  added: JsonSchema,
  whole: JsonSchema | undefined,
  kind: SchemaKind,
  value: unknown,
  instancePath: string,
  errors: ValidatorError[],
): void {
  const fail = (keyword: string, params: Record<string, unknown> = {}): void =>
    void errors.push({ instancePath, schemaPath: `#/${keyword}`, keyword, params });
  if (!isOfType(value, added.type)) return fail("type", { type: added.type });
  if (typeof value === "string") return lookAtText(added, whole, value, fail);
  if (typeof value === "number") return lookAtNumber(added, value, fail);
  const known = whole && resolvedSchema(whole, kind);
  if (Array.isArray(value)) {
    if (value.length < (added.minItems ?? 0)) fail("minItems", { limit: added.minItems });
    if (value.length > (added.maxItems ?? Infinity)) fail("maxItems", { limit: added.maxItems });
    const items = added.items || undefined;
    if (items)
      value.forEach((item, i) => look(items, known?.items || undefined, kind, item, `${instancePath}/${i}`, errors));
  } else if (value !== null && typeof value === "object") {
    const map = value as Record<string, unknown>;
    for (const key of added.required ?? []) if (!Object.hasOwn(map, key)) fail("required", { missingProperty: key });
    for (const [key, property] of Object.entries(added.properties ?? {})) {
      if (!Object.hasOwn(map, key)) continue;
      look(property, known?.properties?.[key], kind, map[key], `${instancePath}/${escaped(key)}`, errors);
    }
    const others = added.additionalProperties || undefined;
    if (others)
      for (const [key, inner] of Object.entries(map))
        if (!(added.properties && Object.hasOwn(added.properties, key)) && !key.startsWith("x-"))
          look(others, undefined, kind, inner, `${instancePath}/${escaped(key)}`, errors);
  }
}

type Fail = (keyword: string, params?: Record<string, unknown>) => void;

function lookAtText(added: JsonSchema, whole: JsonSchema | undefined, value: string, fail: Fail): void {
  if (added.enum && !(whole?.enum ?? added.enum).includes(value)) return fail("enum");
  if (value.length < (added.minLength ?? 0)) return fail("minLength", { limit: added.minLength });
  if (value.length > (added.maxLength ?? Infinity)) return fail("maxLength", { limit: added.maxLength });
  if (added.format !== undefined && !isDate(value)) return fail("format");
  if (added["x-format"] !== undefined && !isTime(value)) return fail("format");
  const pattern = added.pattern === undefined ? undefined : safePattern(added.pattern);
  if (typeof pattern === "object" && !pattern.found(value)) fail("pattern");
}

function lookAtNumber(added: JsonSchema, value: number, fail: Fail): void {
  const { minimum = -Infinity, maximum = Infinity, exclusiveMinimum, exclusiveMaximum } = added;
  if (value < minimum) fail("minimum");
  else if (value > maximum) fail("maximum");
  else if (exclusiveMinimum !== undefined && value <= exclusiveMinimum) fail("exclusiveMinimum");
  else if (exclusiveMaximum !== undefined && value >= exclusiveMaximum) fail("exclusiveMaximum");
}

function isOfType(value: unknown, type: string | undefined): boolean {
  switch (type) {
    case undefined:
      return true;
    case "integer":
      return Number.isInteger(value);
    case "number":
      return Number.isFinite(value);
    case "array":
      return Array.isArray(value);
    case "object":
      return value !== null && typeof value === "object" && !Array.isArray(value);
    default:
      return typeof value === type;
  }
}

function escaped(key: string): string {
  return key.replaceAll("~", "~0").replaceAll("/", "~1");
}
