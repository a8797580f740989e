import type { Pointer, RecordName } from "../records/finding.ts";

/** What a finding is known by when the text around it changes. */
export interface Identified {
  readonly code: string;
  /** From the book's root, with forward slashes. */
  readonly file: string;
  readonly record: RecordName;
  /** As of `placeName`. */
  readonly place: string;
}

/**
 * The same text for the same finding wherever its record stands: the check, the record's kind and id (the file's path where
 * a record has no id), and the place in the record by names. Two findings of one record may share it: count them.
 */
export function fingerprint({ code, file, record, place }: Identified): string {
  return JSON.stringify([code, record.kind, record.id === "" ? `file ${file}` : record.id, place]);
}

/**
 * A place in a record by names that stay when a list is put in another order: `digs/d1/ratings`, `crops/2026`,
 * `equipment/dig-kit`. An item without a name of its own goes by its number.
 *
 * @param facts the record's own value
 */
export function placeName(facts: unknown, pointer: Pointer): string {
  const names: string[] = [];
  let value = facts;
  for (const step of pointer) {
    value = ownPart(value, step);
    names.push(typeof step === "number" ? itemName(value, step) : step);
  }
  return names.map((name) => name.replaceAll("/", "//")).join("/");
}

function itemName(item: unknown, index: number): string {
  if (typeof item === "string" && item !== "") return item;
  for (const key of ["id", "year"]) {
    const name = ownPart(item, key);
    if ((typeof name === "string" && name !== "") || typeof name === "number") return String(name);
  }
  return `#${index}`;
}

function ownPart(value: unknown, step: string | number): unknown {
  if (typeof value !== "object" || value === null || !Object.hasOwn(value, step)) return undefined;
  return (value as Readonly<Record<string | number, unknown>>)[step];
}
