/**
 * A deep copy as plain objects, in which lists that are made on demand are as much a part as all else: what a getter of a class
 * gives is a property here.
 *
 * @param leftOut properties that the copy is without
 */
export function writtenOut(value: unknown, leftOut: readonly string[] = []): unknown {
  if (typeof value !== "object" || value === null) return value;
  if (Array.isArray(value)) return value.map((item) => writtenOut(item, leftOut));
  const properties = [...Object.keys(value), ...gettersOf(Object.getPrototypeOf(value))];
  return Object.fromEntries(
    properties
      .filter((property) => !leftOut.includes(property))
      .sort()
      .map((property) => [property, writtenOut((value as Record<string, unknown>)[property], leftOut)]),
  );
}

function gettersOf(prototype: object | null): string[] {
  if (prototype === null || prototype === Object.prototype) return [];
  return Object.entries(Object.getOwnPropertyDescriptors(prototype)).flatMap(([name, { get }]) => (get ? [name] : []));
}
