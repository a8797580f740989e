import type { JsonSchema } from "./json-schema.ts";
import type { SchemaKind } from "./kinds.ts";
import { resolvedSchema } from "./shape.ts";

/** The schema of a kind's records, as a book has it. */
export interface SchemaOfKind {
  readonly kind: SchemaKind;
  readonly schema: JsonSchema;
}

/**
 * What the schema says of the place at a pointer in a record, `$ref`s followed and of each `if` the branch that holds for
 * `value` (the record as it was read); undefined where it says nothing. For help, completion and messages.
 */
export function schemaAt(
  { kind, schema: whole }: SchemaOfKind,
  pointer: readonly (string | number)[],
  value?: unknown,
): JsonSchema | undefined {
  let schema: JsonSchema | undefined = flat(whole, value, kind);
  let at = value;
  for (const step of pointer) {
    const child: JsonSchema | undefined = childOf(schema, step);
    if (child === undefined) return undefined;
    at = at !== null && typeof at === "object" ? (at as Record<string | number, unknown>)[step] : undefined;
    schema = flat(child, at, kind);
  }
  return schema;
}

/** A schema with its branch folded in; of what both say of one key, the outer comes first. */
function flat(schema: JsonSchema, value: unknown, kind: SchemaKind): JsonSchema {
  const whole = resolvedSchema(schema, kind);
  if (whole.if === undefined) return whole;
  const branch = holds(whole.if, value) ? whole.then : whole.else;
  if (branch === undefined) return whole;
  const inner = flat(branch, value, kind);
  const properties: Record<string, JsonSchema> = { ...inner.properties };
  for (const [key, property] of Object.entries(whole.properties ?? {})) {
    properties[key] = key in properties ? { ...resolvedSchema(properties[key]!, kind), ...property } : property;
  }
  return { ...inner, ...whole, ...(Object.keys(properties).length > 0 && { properties }) };
}

/** The conditions that the schemas of the format use: a type, a length, and a property that is there or has one value. */
function holds(condition: JsonSchema, value: unknown): boolean {
  const isList = Array.isArray(value);
  const isMap = value !== null && typeof value === "object" && !isList;
  if (condition.type === "object" && !isMap) return false;
  if (condition.minItems !== undefined && isList && value.length < condition.minItems) return false;
  if (!isMap) return true;
  const map = value as Record<string, unknown>;
  if (condition.required?.some((key) => map[key] === undefined)) return false;
  return Object.entries(condition.properties ?? {}).every(
    ([key, { const: constant }]) => map[key] === undefined || constant === undefined || map[key] === constant,
  );
}

function childOf(schema: JsonSchema, step: string | number): JsonSchema | undefined {
  if (typeof step === "number") return schema.prefixItems?.[step] ?? (schema.items || undefined);
  if (schema.properties && Object.hasOwn(schema.properties, step)) return schema.properties[step];
  for (const [pattern, property] of Object.entries(schema.patternProperties ?? {})) {
    if (property !== true && new RegExp(pattern, "u").test(step)) return property;
  }
  return schema.additionalProperties || undefined;
}
