/**
 * The way from a record, or a file, to a value in it, as in `["digs", 0, "ratings"]`: keys as written, after unquoting, and
 * indexes of list items.
 */
export type Pointer = readonly (string | number)[];

export function samePointer(a: Pointer, b: Pointer): boolean {
  return a.length === b.length && a.every((step, i) => step === b[i]);
}
