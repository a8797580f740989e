import { samePointer } from "../base/pointer.ts";
import type { Book } from "../book/book.ts";
import { BOOTS_PREFIX, referencesOf } from "../book/references.ts";
import type { Pointer } from "../records/finding.ts";
import { isKind, type FactRecord } from "../records/record.ts";

/** What an id may name. A carrier is a piece of equipment, or the boots of a member of the crew. */
export type IdKind =
  "field" | "entrance" | "equipment" | "crew" | "grower" | "lab" | "visit" | "dig" | "patch" | "cleaning" | "sample";

/** An id as it is written somewhere in a record. */
export interface WrittenId {
  readonly kind: IdKind;
  readonly id: string;
  /** Of the value that holds it; the value may hold more (`boots/mo`, `v-0814#p1`). */
  readonly pointer: Pointer;
  /** Where in the value's content, quotes not counted, the id starts. */
  readonly at: number;
  readonly isDefinition: boolean;
  /** For an entrance the id of its field, for a dig or patch that of its visit; "" is the record itself. */
  readonly within: string;
  /** The value may as well be something else than an id: the owner of a machine may be a grower, or anyone. */
  readonly isLoose?: boolean;
}

/** The place that gives an id its meaning. */
export interface Definition {
  readonly kind: IdKind;
  readonly id: string;
  readonly record: FactRecord;
  /** Of the id itself. */
  readonly pointer: Pointer;
}

const OWN_KINDS = {
  fields: "field",
  equipment: "equipment",
  visits: "visit",
  cleanings: "cleaning",
  samples: "sample",
} as const;

/** Every id that a record gives or refers to: first those it gives, then the others in the order of the format. */
export function writtenIds(record: FactRecord): WrittenId[] {
  return [...givenIds(record), ...referredIds(record)];
}

/** The ids that a record gives: its own, and those of its parts. */
export function givenIds(record: FactRecord): WrittenId[] {
  const given: WrittenId[] = [];
  const add = (kind: IdKind, id: string | undefined, pointer: Pointer): void => {
    if (id) given.push({ kind, id, pointer, at: 0, isDefinition: true, within: "" });
  };
  if (record.kind in OWN_KINDS) add(OWN_KINDS[record.kind as keyof typeof OWN_KINDS], record.id, ["id"]);
  for (const [list, kind, items] of partsOf(record)) items.forEach(({ id }, i) => add(kind, id, [list, i, "id"]));
  return given;
}

type Parts = readonly { readonly id?: string }[];

/** The lists in a record whose items have ids. */
function partsOf(record: FactRecord): [list: string, kind: IdKind, items: Parts][] {
  if (isKind(record, "fields")) return [["entrances", "entrance", record.facts.entrances ?? []]];
  if (isKind(record, "visits")) {
    const { patches = [], digs = [] } = record.facts;
    return [
      ["patches", "patch", patches],
      ["digs", "dig", digs],
    ];
  }
  if (!isKind(record, "season")) return [];
  const { growers = [], crew = [], labs = [] } = record.facts;
  return [
    ["growers", "grower", growers],
    ["crew", "crew", crew],
    ["labs", "lab", labs],
  ];
}

function referredIds(record: FactRecord): WrittenId[] {
  const found: WrittenId[] = [];
  const add = (kind: IdKind, id: string, pointer: Pointer, at = 0, within = ""): void => {
    if (id) found.push({ kind, id, pointer, at, isDefinition: false, within });
  };
  for (const { kind, id, pointer, within = "" } of referencesOf(record)) {
    if (kind === "carrier") {
      // In a clean-down `boots/…` are always a person's.
      if (id.startsWith(BOOTS_PREFIX)) add("crew", id.slice(BOOTS_PREFIX.length), pointer, BOOTS_PREFIX.length);
      else add("equipment", id, pointer);
    } else if (kind === "patch" && within !== "") {
      add("visit", within, pointer);
      add("patch", id, pointer, within.length + 1, within);
    } else add(kind, id, pointer, 0, within);
  }
  if (isKind(record, "equipment") && record.facts.owner) {
    const id = record.facts.owner;
    found.push({ kind: "grower", id, pointer: ["owner"], at: 0, isDefinition: false, within: "", isLoose: true });
  }
  return found;
}

/** What gives an id its meaning; undefined for one that the book does not define. Of an id given twice, the first. */
export function definitionOf(book: Book, record: FactRecord, written: WrittenId): Definition | undefined {
  const { kind, id, pointer, isDefinition, within } = written;
  if (isDefinition) return { kind, id, record, pointer };
  switch (kind) {
    case "field":
      return ownId(kind, id, book.record("fields", id));
    case "equipment":
      return ownId(kind, id, book.record("equipment", id));
    case "visit":
      return ownId(kind, id, book.record("visits", id));
    case "cleaning":
      return ownId(kind, id, book.record("cleanings", id));
    case "sample":
      return ownId(kind, id, book.record("samples", id));
    case "entrance":
      return partId(kind, id, book.record("fields", within));
    case "dig":
    case "patch":
      return partId(kind, id, within === "" ? record : book.record("visits", within));
    case "crew":
    case "grower":
    case "lab":
      return partId(kind, id, seasonRecord(book));
  }
}

function ownId(kind: IdKind, id: string, record: FactRecord | undefined): Definition | undefined {
  return record && { kind, id, record, pointer: ["id"] };
}

function partId(kind: IdKind, id: string, record: FactRecord | undefined): Definition | undefined {
  const parts = record && partsOf(record).find((one) => one[1] === kind);
  const index = parts?.[2].findIndex((part) => part.id === id) ?? -1;
  return record && parts && index >= 0 ? { kind, id, record, pointer: [parts[0], index, "id"] } : undefined;
}

/** The record of the book's `season.yaml`. */
export function seasonRecord(book: Book): FactRecord | undefined {
  return book.files.find((file) => file.kind === "season")?.entries[0]?.body.record;
}

export function sameDefinition(a: Definition, b: Definition): boolean {
  return a.record === b.record && a.kind === b.kind && samePointer(a.pointer, b.pointer);
}
