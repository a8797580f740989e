import { Environment } from "@marcbachmann/cel-js";
import type { JsonSchema } from "../json-schema.ts";
import type { RecordKind, SchemaKind } from "../kinds.ts";
import type { RecordFormats } from "../record-format.ts";
import { resolvedSchema } from "../shape.ts";
import { READING_LIMITS } from "./cel-limits.ts";
import { registerCheckFunctions } from "./cel-functions.ts";

const environments = new WeakMap<RecordFormats, Map<RecordKind, Environment>>();

/**
 * What the names in a check of a kind of record stand for, so that a mistyped key or a text compared with a number is told
 * before any record is looked at.
 */
export function typedEnvironment(kind: RecordKind, formats: RecordFormats): Environment {
  let ofFormats = environments.get(formats);
  if (!ofFormats) environments.set(formats, (ofFormats = new Map()));
  let environment = ofFormats.get(kind);
  if (!environment) ofFormats.set(kind, (environment = newEnvironment(kind, formats)));
  return environment;
}

function newEnvironment(kind: RecordKind, formats: RecordFormats): Environment {
  const environment = registerCheckFunctions(new Environment({ limits: READING_LIMITS }));
  const types = new Types(environment);
  const typeOf = (of: SchemaKind): string => types.of(formats[of].schema, of, of);
  return environment
    .registerVariable("record", typeOf(kind))
    .registerVariable("field", typeOf("fields"))
    .registerVariable("book", typeOf("season"))
    .registerVariable("region", typeOf("region"))
    .registerVariable("season", "int")
    .registerVariable("as_of", "string");
}

class Types {
  readonly #known = new Set<string>();

  constructor(readonly environment: Environment) {}

  /** @param name of the type, where the schema is one of a group with names of its own */
  of(written: JsonSchema, kind: SchemaKind, name: string): string {
    const schema = resolvedSchema(written, kind);
    switch (schema.type) {
      case "string":
        return "string";
      case "integer":
        return "int";
      case "number":
        return "double";
      case "boolean":
        return "bool";
      case "array":
        return schema.items ? `list<${this.of(schema.items, kind, `${name}_item`)}>` : "list";
      case "object":
        return this.#group(schema, kind, name);
      default:
        return "dyn";
    }
  }

  #group(schema: JsonSchema, kind: SchemaKind, name: string): string {
    const keys = Object.entries(schema.properties ?? {});
    // Of a group that may hold any key, or that is one thing or another, nothing is known beforehand.
    if (keys.length === 0 || schema["x-free"] || schema.if || schema.additionalProperties !== false) return "dyn";
    if (!this.#known.has(name)) {
      this.#known.add(name);
      const fields = Object.fromEntries(
        keys.map(([key, inner]) => [key, this.of(inner, kind, `${name}_${plain(key)}`)]),
      );
      this.environment.registerType(name, { fields });
    }
    return name;
  }
}

/** Names of types have letters, digits and _ only. */
function plain(key: string): string {
  return key.replace(/[^A-Za-z0-9_]/g, "_");
}
