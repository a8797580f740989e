import * as validators from "../../generated/validators.mjs";
import type { ValidatorError } from "../../generated/validators.mjs";
import { addedErrors, mergeAdded, widensEnum } from "./added-keys.ts";
import type { JsonSchema } from "./json-schema.ts";
import { RECORD_KINDS, SCHEMA_KINDS, type RecordKind, type SchemaKind } from "./kinds.ts";
import { recordSchemaOf, shapeOfSchema, type Shape } from "./shape.ts";

/** What one record of a kind may hold in a book: the kind's own schema, with what the region's packs add to it. */
export interface RecordFormat {
  readonly kind: SchemaKind;
  readonly schema: JsonSchema;
  readonly shape: Shape;
  /** What is wrong with a value that was read by the shape. */
  errors(value: unknown): readonly ValidatorError[];
}

/** The format of every kind in one book. */
export type RecordFormats = Readonly<Record<SchemaKind, RecordFormat>>;

/** What region packs add to the kinds, parents first; each was read by `readAddedKeys`. */
export type AddedKeys = Readonly<Partial<Record<RecordKind, readonly JsonSchema[]>>>;

const NO_ERRORS: readonly ValidatorError[] = [];

function shippedFormat(kind: SchemaKind): RecordFormat {
  const schema = recordSchemaOf(kind);
  const validate = validators[kind];
  let shape: Shape | undefined;
  return {
    kind,
    schema,
    // Most runs meet a few kinds alone.
    get shape() {
      return (shape ??= shapeOfSchema(schema, kind));
    },
    errors: (value) => (validate(value) ? NO_ERRORS : (validate.errors ?? NO_ERRORS)),
  };
}

/** The formats as they are shipped, without any region. */
export const SHIPPED_FORMATS: RecordFormats = Object.fromEntries(
  SCHEMA_KINDS.map((kind) => [kind, shippedFormat(kind)]),
) as Record<SchemaKind, RecordFormat>;

function extendedFormat(kind: RecordKind, additions: readonly JsonSchema[]): RecordFormat {
  const shipped = SHIPPED_FORMATS[kind];
  const schema = additions.reduce((base, added) => mergeAdded(base, added, kind), shipped.schema);
  const format: RecordFormat = {
    kind,
    schema,
    shape: shapeOfSchema(schema, kind),
    errors(value) {
      const own = shipped.errors(value).filter((error) => !widensEnum(format, error, value));
      const more = additions.flatMap((added) => addedErrors(added, schema, kind, value));
      return more.length === 0 ? own : [...own, ...more];
    },
  };
  return format;
}

const MOST_KEPT = 20;
const kept = new Map<string, RecordFormats>();

/** The formats of a book whose region adds keys: the same object for the same keys, so that records need not be read again. */
export function formatsWith(added: AddedKeys): RecordFormats {
  const asked = RECORD_KINDS.filter((kind) => (added[kind]?.length ?? 0) > 0);
  if (asked.length === 0) return SHIPPED_FORMATS;
  const name = JSON.stringify(asked.map((kind) => [kind, added[kind]]));
  let formats = kept.get(name);
  if (!formats) {
    if (kept.size >= MOST_KEPT) kept.clear();
    formats = { ...SHIPPED_FORMATS };
    for (const kind of asked) (formats as Record<SchemaKind, RecordFormat>)[kind] = extendedFormat(kind, added[kind]!);
    kept.set(name, formats);
  }
  return formats;
}
