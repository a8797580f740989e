/** Something in a record that breaks the format, at the smallest place where that can be seen. */
export interface SchemaProblem {
  readonly code: "structure/schema" | "structure/unknown-key";
  /** From the record. Where a key is missing: the record or part it is missing from, and there its first key. */
  readonly pointer: readonly (string | number)[];
  readonly part: "key" | "value";
  readonly message: string;
  /** What to write in the place instead. */
  readonly suggestion?: string;
}

/** The steps of a JSON pointer (RFC 6901) through a value: list items by number, keys by name. */
export function stepsOf(instancePath: string, value: unknown): (string | number)[] {
  if (instancePath === "") return [];
  let at = value;
  return instancePath
    .slice(1)
    .split("/")
    .map((raw) => {
      const name = raw.includes("~") ? raw.replaceAll("~1", "/").replaceAll("~0", "~") : raw;
      const step = Array.isArray(at) ? Number(name) : name;
      at = valueAt(at, [step]);
      return step;
    });
}

/** The value at a pointer; undefined where there is none. */
export function valueAt(value: unknown, pointer: readonly (string | number)[]): unknown {
  let at = value;
  for (const step of pointer) {
    if (at === null || typeof at !== "object" || !Object.hasOwn(at, step)) return undefined;
    at = (at as Record<string | number, unknown>)[step];
  }
  return at;
}
