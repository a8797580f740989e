import type { RecordFile } from "../records/record-file.ts";
import { weatherDaysOf } from "../records/weather-file.ts";
import type { FileKind } from "../schema/kinds.ts";
import { byCodeUnits } from "../base/code-units.ts";
import type { Book } from "./book.ts";
import { ensure } from "./book-index.ts";

/** A record by its kind and id, as in an output: a rotation's id is its field; a season's, a region's, a weather file's is empty. */
export interface ChangedRecord {
  readonly kind: FileKind;
  readonly id: string;
}

export interface RecordChanges {
  readonly added: readonly ChangedRecord[];
  readonly changed: readonly ChangedRecord[];
  readonly removed: readonly ChangedRecord[];
}

export const NO_RECORD_CHANGES: RecordChanges = { added: [], changed: [], removed: [] };

/** A record, or a weather file, by what it says. */
interface Said {
  readonly kind: FileKind;
  readonly id: string;
  readonly file: string;
  /** Equal for records that say the same, in whatever order. */
  readonly words: string;
}

/**
 * Which records came, went, or say something else. A record is known by its kind and id; in which file it stands, and where
 * in it, does not matter, nor do comments, layout, and an order that means nothing.
 */
export function compareRecords(before: Book | undefined, after: Book | undefined): RecordChanges {
  const [old, fresh] = [recordsOf(before), recordsOf(after)];
  const added: ChangedRecord[] = [];
  const changed: ChangedRecord[] = [];
  const removed: ChangedRecord[] = [];
  for (const key of new Set([...old.keys(), ...fresh.keys()])) {
    const [left, right] = withoutEqual(old.get(key) ?? [], fresh.get(key) ?? []);
    for (const record of right) {
      // A record without an id is the same one only in the same file.
      const at = left.findIndex(({ id, file }) => id !== "" || file === record.file);
      if (at < 0) added.push(named(record));
      else changed.push(named(left.splice(at, 1)[0]!));
    }
    removed.push(...left.map(named));
  }
  return { added: added.sort(byName), changed: changed.sort(byName), removed: removed.sort(byName) };
}

function recordsOf(book: Book | undefined): Map<string, Said[]> {
  const records = new Map<string, Said[]>();
  for (const said of (book?.files ?? []).flatMap(saidIn)) ensure(records, recordKey(said), () => []).push(said);
  return records;
}

export function recordKey({ kind, id }: { readonly kind: string; readonly id: string }): string {
  return `${kind} ${id}`;
}

function saidIn(file: RecordFile): Said[] {
  const { kind, path } = file;
  if (kind === "weather") return [{ kind, id: "", file: path, words: wordsOf(weatherDaysOf(file)) }];
  return file.entries.map(({ body: { record } }) => ({
    kind,
    id: record.id,
    file: path,
    words: wordsOf(record.facts),
  }));
}

/** What is left of two lists when every record of the one is taken out together with one of the other that says the same. */
function withoutEqual(before: readonly Said[], after: readonly Said[]): [Said[], Said[]] {
  const left = new Map<string, Said[]>();
  for (const record of before) ensure(left, record.words, () => []).push(record);
  const right = after.filter(({ words }) => left.get(words)?.pop() === undefined);
  return [[...left.values()].flat(), right];
}

/** A value as a text that is the same for values that say the same. */
export function wordsOf(value: unknown): string {
  if (Array.isArray(value)) {
    const items = value.map(wordsOf);
    return `[${(isWithoutOrder(value) ? items.sort() : items).join(",")}]`;
  }
  if (typeof value !== "object" || value === null) return JSON.stringify(value) ?? "null";
  const facts = value as Readonly<Record<string, unknown>>;
  const keys = Object.keys(facts).sort(byCodeUnits);
  return `{${keys.map((key) => `${JSON.stringify(key)}:${wordsOf(facts[key])}`).join(",")}}`;
}

/** Lists of names, and of items that each have a name or a year of their own; the steps of a cleaning have none. */
function isWithoutOrder(items: readonly unknown[]): boolean {
  return items.every(
    (item) =>
      typeof item === "string" ||
      (typeof item === "object" && item !== null && (Object.hasOwn(item, "id") || Object.hasOwn(item, "year"))),
  );
}

function named({ kind, id }: ChangedRecord): ChangedRecord {
  return { kind, id };
}

function byName(a: ChangedRecord, b: ChangedRecord): number {
  return byCodeUnits(a.kind, b.kind) || byCodeUnits(a.id, b.id);
}
