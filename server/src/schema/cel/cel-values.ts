import type { RecordFormat } from "../record-format.ts";
import type { Shape } from "../shape.ts";

/** A record, or another group of facts, as expressions see it. */
export interface CelFacts {
  readonly value: unknown;
  /** How many items its longest list or group has. */
  readonly longestList: number;
}

/** No text that a check has a question about is longer. */
const LONGEST_TEXT = 2000;

const known = new WeakMap<RecordFormat, WeakMap<object, CelFacts>>();

/**
 * Facts as values of CEL: whole numbers of the format are its `int`, other numbers its `double`. Groups have no prototype,
 * so that no key is found that was not written. Facts are asked for again and again, and turned once.
 */
export function celFacts(facts: object, format: RecordFormat): CelFacts {
  let ofFormat = known.get(format);
  if (!ofFormat) known.set(format, (ofFormat = new WeakMap()));
  let found = ofFormat.get(facts);
  if (!found) ofFormat.set(facts, (found = turned(facts, format.shape)));
  return found;
}

function turned(facts: object, whole: Shape): CelFacts {
  let longestList = 0;
  const turn = (value: unknown, shape: Shape | undefined): unknown => {
    if (typeof value === "string") return value.length > LONGEST_TEXT ? value.slice(0, LONGEST_TEXT) : value;
    if (typeof value === "number")
      return shape?.schema.type === "integer" && Number.isSafeInteger(value) ? BigInt(value) : value;
    if (value === null || typeof value !== "object") return value;
    if (Array.isArray(value)) {
      longestList = Math.max(longestList, value.length);
      return value.map((item) => turn(item, shape?.items));
    }
    const entries = Object.entries(value);
    longestList = Math.max(longestList, entries.length);
    const group = Object.create(null) as Record<string, unknown>;
    for (const [key, inner] of entries)
      if (inner !== undefined) group[key] = turn(inner, shape?.keys.get(key) ?? shape?.otherKeys);
    return group;
  };
  const value = turn(facts, whole);
  return { value, longestList };
}
