import type { RecordFile } from "../records/record-file.ts";
import { isKind, type FactRecord } from "../records/record.ts";
import type { FileKind, RecordKind } from "../schema/kinds.ts";
import { BOOTS_PREFIX } from "./references.ts";

/**
 * The records of a book by what is asked of them: by id, by field, by carrier, by member of the crew. Records come and go one
 * at a time, so that an edit costs what it touches. Nothing here knows of days: who asks leaves out what is too late.
 */
export class BookIndex {
  readonly #files = new Map<string, RecordFile>();
  readonly #byKind = new Map<FileKind, Set<FactRecord>>();
  readonly #byId = new Map<FileKind, Map<string, FactRecord[]>>();
  readonly #byField = new Map<string, Set<FactRecord>>();
  readonly #byCarrier = new Map<string, RecordsOfCarrier>();
  readonly #byCrew = new Map<string, Set<FactRecord<"visits">>>();
  /** Files came in the order of their paths and none has changed: then the lists of their records are in order, too. */
  #isAsWritten = true;
  #lastPath = "";

  /** Comes before the records of the file are added, in the order in which they stand in it. */
  setFile(file: RecordFile): void {
    if (file.path < this.#lastPath || this.#files.has(file.path)) this.#isAsWritten = false;
    this.#lastPath = file.path;
    const before = this.#files.get(file.path);
    if (before) handOnIndexes(before, file);
    this.#files.set(file.path, file);
  }

  removeFile(path: string): void {
    this.#files.delete(path);
  }

  file(path: string): RecordFile | undefined {
    return this.#files.get(path);
  }

  add(record: FactRecord): void {
    putInto(this.#byKind, record.kind, record);
    if (hasOwnId(record)) {
      const ids = ensure(this.#byId, record.kind, () => new Map<string, FactRecord[]>());
      ensure(ids, record.id, () => []).push(record);
    }
    for (const field of fieldsOf(record)) putInto(this.#byField, field, record);
    if (isKind(record, "visits")) {
      for (const carrier of carriersOf(record)) this.#ofCarrier(carrier).visits.add(record);
      for (const member of new Set(record.facts.crew)) if (member) putInto(this.#byCrew, member, record);
    } else if (isKind(record, "cleanings")) {
      for (const carrier of carriersOf(record)) this.#ofCarrier(carrier).cleanings.add(record);
    }
  }

  remove(record: FactRecord): void {
    takeFrom(this.#byKind, record.kind, record);
    if (hasOwnId(record)) {
      const ids = this.#byId.get(record.kind);
      const left = ids?.get(record.id)?.filter((other) => other !== record) ?? [];
      if (left.length > 0) ids?.set(record.id, left);
      else ids?.delete(record.id);
    }
    for (const field of fieldsOf(record)) takeFrom(this.#byField, field, record);
    if (isKind(record, "visits")) {
      for (const carrier of carriersOf(record)) this.#takeFromCarrier(carrier, record);
      for (const member of new Set(record.facts.crew)) if (member) takeFrom(this.#byCrew, member, record);
    } else if (isKind(record, "cleanings")) {
      for (const carrier of carriersOf(record)) this.#takeFromCarrier(carrier, record);
    }
  }

  #ofCarrier(carrier: string): RecordsOfCarrier {
    return ensure(this.#byCarrier, carrier, () => ({ visits: new Set(), cleanings: new Set() }));
  }

  #takeFromCarrier(carrier: string, record: FactRecord<"visits"> | FactRecord<"cleanings">): void {
    const { visits, cleanings } = this.#ofCarrier(carrier);
    if (isKind(record as FactRecord, "visits")) visits.delete(record as FactRecord<"visits">);
    else cleanings.delete(record as FactRecord<"cleanings">);
    if (visits.size + cleanings.size === 0) this.#byCarrier.delete(carrier);
  }

  ofKind<K extends FileKind>(kind: K): Iterable<FactRecord<K>> {
    return (this.#byKind.get(kind) ?? []) as Iterable<FactRecord> as Iterable<FactRecord<K>>;
  }

  /** All records of an id, the first written first. */
  withId<K extends RecordKind>(kind: K, id: string): readonly FactRecord<K>[] {
    const found = this.#byId.get(kind)?.get(id);
    if (!found) return [];
    if (found.length > 1) found.sort((a, b) => this.writtenBefore(a, b));
    return found as FactRecord[] as FactRecord<K>[];
  }

  ids(kind: RecordKind): Iterable<string> {
    return this.#byId.get(kind)?.keys() ?? [];
  }

  /** Records that name a field: rotations, visits and samples, in the order written. */
  ofField<K extends "rotations" | "visits" | "samples">(field: string, kind: K): FactRecord<K>[] {
    return this.#inOrder(ofKind(this.#byField.get(field), kind));
  }

  visitsOfCarrier(carrier: string): FactRecord<"visits">[] {
    return this.#inOrder([...(this.#byCarrier.get(carrier)?.visits ?? [])]);
  }

  cleaningsOfCarrier(carrier: string): FactRecord<"cleanings">[] {
    return this.#inOrder([...(this.#byCarrier.get(carrier)?.cleanings ?? [])]);
  }

  ofCrew(member: string): FactRecord<"visits">[] {
    return this.#inOrder([...(this.#byCrew.get(member) ?? [])]);
  }

  /** By a name like `field long-meadow`, `carrier dig-kit` or `crew mo`. */
  has(name: string): boolean {
    const space = name.indexOf(" ");
    const id = name.slice(space + 1);
    if (name.startsWith("field ")) return this.#byField.has(id) || this.#byId.get("fields")?.has(id) === true;
    return name.startsWith("carrier ") ? this.#byCarrier.has(id) : this.#byCrew.has(id);
  }

  get fields(): Iterable<string> {
    return this.#byField.keys();
  }

  get carriers(): Iterable<string> {
    return this.#byCarrier.keys();
  }

  get crew(): Iterable<string> {
    return this.#byCrew.keys();
  }

  #inOrder<R extends FactRecord>(records: R[]): R[] {
    return this.#isAsWritten ? records : records.sort((a, b) => this.writtenBefore(a, b));
  }

  /** Negative where `a` was written before `b`: by path of the file, then by place in it. */
  writtenBefore(a: FactRecord, b: FactRecord): number {
    if (a === b) return 0;
    if (a.file !== b.file) return a.file < b.file ? -1 : 1;
    const file = this.#files.get(a.file);
    return file ? entryIndex(file, a) - entryIndex(file, b) : 0;
  }
}

interface RecordsOfCarrier {
  readonly visits: Set<FactRecord<"visits">>;
  readonly cleanings: Set<FactRecord<"cleanings">>;
}

/** The carriers that a visit takes along, or that a cleaning cleans. */
export function carriersOf(record: FactRecord<"visits"> | FactRecord<"cleanings">): ReadonlySet<string> {
  const carriers = new Set<string>();
  for (const id of record.facts.equipment ?? []) if (id) carriers.add(id);
  if (isKind(record as FactRecord, "visits")) {
    const { crew, footwear } = (record as FactRecord<"visits">).facts;
    // Single-use covers carry nothing from field to field.
    if (footwear === "disinfected" || footwear === "unprotected")
      for (const member of crew ?? []) if (member) carriers.add(BOOTS_PREFIX + member);
  }
  return carriers;
}

const entryIndexes = new WeakMap<RecordFile, Map<FactRecord, number>>();

/** The place of a record in its file; 0 for one that is no longer in it. */
export function entryIndex(file: RecordFile, record: FactRecord): number {
  let indexes = entryIndexes.get(file);
  if (!indexes) entryIndexes.set(file, (indexes = new Map(file.entries.map((entry, i) => [entry.body.record, i]))));
  return indexes.get(record) ?? 0;
}

const MOST_REPLACED = 20;

/** Where a few records were replaced and all others stand where they stood, the new version takes over the old one's indexes. */
function handOnIndexes(before: RecordFile, after: RecordFile): void {
  const indexes = entryIndexes.get(before);
  if (!indexes || before.entries.length !== after.entries.length) return;
  const replaced: number[] = [];
  for (let i = 0; i < after.entries.length && replaced.length <= MOST_REPLACED; i++)
    if (before.entries[i]!.body.record !== after.entries[i]!.body.record) replaced.push(i);
  if (replaced.length > MOST_REPLACED) return;
  entryIndexes.delete(before);
  for (const i of replaced) indexes.delete(before.entries[i]!.body.record);
  for (const i of replaced) indexes.set(after.entries[i]!.body.record, i);
  entryIndexes.set(after, indexes);
}

function hasOwnId(record: FactRecord): boolean {
  return record.id !== "" && record.kind !== "rotations";
}

function fieldsOf(record: FactRecord): string[] {
  // A cleaning's field is but the place where it was done.
  return record.field && record.kind !== "cleanings" ? [record.field] : [];
}

/** Those of one kind, in their order. */
export function ofKind<K extends FileKind>(records: Iterable<FactRecord> | undefined, kind: K): FactRecord<K>[] {
  const found: FactRecord<K>[] = [];
  for (const record of records ?? []) if (isKind(record, kind)) found.push(record);
  return found;
}

function putInto<K, V>(map: Map<K, Set<V>>, key: K, value: V): void {
  ensure(map, key, () => new Set<V>()).add(value);
}

function takeFrom<K, V>(map: Map<K, Set<V>>, key: K, value: V): void {
  const set = map.get(key);
  set?.delete(value);
  if (set?.size === 0) map.delete(key);
}

export function ensure<K, V>(map: Map<K, V>, key: K, make: () => V): V {
  const known = map.get(key);
  if (known !== undefined) return known;
  const made = make();
  map.set(key, made);
  return made;
}
