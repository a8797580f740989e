/** Whether two facts say the same, in the same order of keys: plain values, lists and maps, compared by content. */
export function sameFacts(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true;
  if (typeof a !== "object" || typeof b !== "object" || a === null || b === null) return false;
  if (Array.isArray(a)) {
    return Array.isArray(b) && a.length === b.length && a.every((item, i) => sameFacts(item, b[i]));
  }
  if (Array.isArray(b)) return false;
  const keys = Object.keys(a);
  const others = Object.keys(b);
  if (keys.length !== others.length) return false;
  // The order counts too: some findings stand on whichever of two values was written later.
  return keys.every(
    (key, i) =>
      others[i] === key && sameFacts((a as Record<string, unknown>)[key], (b as Record<string, unknown>)[key]),
  );
}
