import { schemas } from "../../generated/schemas.ts";
import type { JsonSchema } from "./json-schema.ts";
import { isRecordKind, type SchemaKind } from "./kinds.ts";

/**
 * What the reader of a value needs of its schema, looked up once: which keys there are, and where a text is wanted, so
 * that `007` stays text. Both branches of an `if` are one shape; which of them holds is the validator's business.
 */
export interface Shape {
  /** Its schema, what its `$ref` says included. */
  readonly schema: JsonSchema;
  readonly wantsText: boolean;
  readonly isMap: boolean;
  readonly isList: boolean;
  /** Keys that are named in the schema. */
  readonly keys: ReadonlyMap<string, Shape>;
  /** Keys that are named by a pattern. */
  readonly patterns: readonly (readonly [RegExp, Shape])[];
  /** Every other key; undefined where none is allowed. */
  readonly otherKeys: Shape | undefined;
  readonly items: Shape | undefined;
  /** Keys are data, not names from the schema, so that the map read must be safe for any of them. */
  readonly isDictionary: boolean;
  /** Nothing is said of the value: it is read as it stands. */
  readonly isFree: boolean;
  /** A value that is broken anywhere inside is left out whole. */
  readonly isWhole: boolean;
}

/** The schema of one record of a kind; of `season.yaml` and a region pack, that of the file. */
export function recordSchemaOf(kind: SchemaKind): JsonSchema {
  const file = schemas[kind];
  if (!isRecordKind(kind)) return file;
  const items = file.properties?.[kind]?.items;
  return items ? resolvedSchema(items, kind) : file;
}

/** A schema with what its `$ref` says; what stands beside the `$ref` wins. */
export function resolvedSchema(schema: JsonSchema, kind: SchemaKind): JsonSchema {
  if (schema.$ref === undefined) return schema;
  const { $ref, ...beside } = schema;
  const target = schemas[kind].$defs?.[$ref.slice("#/$defs/".length)];
  if (!target) throw new Error(`the schema of ${kind} refers to ${$ref}, which it does not define`);
  return { ...resolvedSchema(target, kind), ...beside };
}

export function shapeOfSchema(schema: JsonSchema, kind: SchemaKind): Shape {
  const parts = branches(schema, kind);
  const keys = new Map<string, Shape>();
  const patterns: [RegExp, Shape][] = [];
  for (const { properties, patternProperties } of parts) {
    for (const [key, property] of Object.entries(properties ?? {})) {
      if (!keys.has(key)) keys.set(key, shapeOfSchema(property, kind));
    }
    for (const [pattern, property] of Object.entries(patternProperties ?? {})) {
      if (property !== true) patterns.push([new RegExp(pattern, "u"), shapeOfSchema(property, kind)]);
    }
  }
  const isMap = parts.some((part) => part.type === "object");
  const others = parts.find((part) => part.additionalProperties !== undefined)?.additionalProperties;
  const items = parts.find((part) => part.items)?.items || undefined;
  return {
    schema: parts[0]!,
    wantsText: parts.some((part) => part.type === "string"),
    isMap,
    isList: parts.some((part) => part.type === "array"),
    keys,
    patterns,
    otherKeys: others === false ? undefined : others === undefined ? FREE : shapeOfSchema(others, kind),
    items: items ? shapeOfSchema(items, kind) : FREE,
    isDictionary: isMap && keys.size === 0,
    isFree: parts.every((part) => part.type === undefined),
    isWhole: parts.some((part) => part["x-whole"] === true),
  };
}

function branches(schema: JsonSchema, kind: SchemaKind): JsonSchema[] {
  const whole = resolvedSchema(schema, kind);
  return [whole, ...[whole.then, whole.else].flatMap((branch) => (branch ? branches(branch, kind) : []))];
}

const FREE: Shape = {
  schema: {},
  wantsText: false,
  isMap: true,
  isList: true,
  keys: new Map(),
  patterns: [],
  otherKeys: undefined,
  items: undefined,
  isDictionary: true,
  isFree: true,
  isWhole: false,
};
