import type { FactRecord } from "../records/record.ts";
import { byCodeUnits } from "../base/code-units.ts";
import type { Book } from "./book.ts";
import { wordsOf } from "./compare-records.ts";
import { exposureInWords } from "./exposure-words.ts";
import { fieldRisk, type FieldRisk } from "./field-risk.ts";
import { statusInWords } from "./field-risk-words.ts";
import { suspicionOf } from "./field-status.ts";

/** A field as it stood in one of two versions of a book. */
export interface FieldStanding {
  readonly risk: FieldRisk;
  /** The status with its reason: the chain, the result, the dig. */
  readonly words: string;
  readonly record: FactRecord;
  /** The record that the status rests on most of all: the result, the dig, the visit that soil came with. */
  readonly cause: FactRecord | undefined;
}

/** A field that stands differently, or only in one of two versions of a book. */
export interface FieldChange {
  /** The id it has now, else the one it had. */
  readonly field: string;
  readonly before: FieldStanding | undefined;
  readonly after: FieldStanding | undefined;
}

/**
 * Fields that are new, gone, or whose status, its reason, or figures moved: plants dug, severity, freedom, the scouting window.
 *
 * @param renames ids of fields before, with those that they have after
 */
export function compareFields(
  before: Book | undefined,
  after: Book | undefined,
  renames: ReadonlyMap<string, string>,
): FieldChange[] {
  const changes: FieldChange[] = [];
  const seen = new Set<string>();
  for (const old of definedFields(before)) {
    const field = renames.get(old) ?? old;
    seen.add(field);
    const [was, is] = [standingOf(before, old), standingOf(after, field)];
    if (!is || !was || moved(was, is)) changes.push({ field, before: was, after: is });
  }
  for (const field of definedFields(after))
    if (!seen.has(field)) changes.push({ field, before: undefined, after: standingOf(after, field) });
  return changes.sort((a, b) => byCodeUnits(a.field, b.field));
}

/** Fields that only their id tells apart from one that was there before: by old id, the new one. */
export function renamedFields(before: Book | undefined, after: Book | undefined): ReadonlyMap<string, string> {
  const [old, fresh] = [withoutIds(before, after), withoutIds(after, before)];
  const renames = new Map<string, string>();
  for (const [words, ids] of old) {
    const now = fresh.get(words);
    // Two that are alike but for their ids cannot be told apart.
    if (ids.length === 1 && now?.length === 1) renames.set(ids[0]!, now[0]!);
  }
  return renames;
}

/** The ids of the fields that another version of the book does not know, by all else that their records say. */
function withoutIds(book: Book | undefined, other: Book | undefined): Map<string, string[]> {
  const byWords = new Map<string, string[]>();
  const known = new Set(definedFields(other));
  for (const id of definedFields(book)) {
    if (known.has(id)) continue;
    const { id: _id, ...facts } = book!.record("fields", id)!.facts;
    // An id and nothing else says too little to know a field by.
    if (Object.keys(facts).length === 0) continue;
    const words = wordsOf(facts);
    byWords.set(words, [...(byWords.get(words) ?? []), id]);
  }
  return byWords;
}

function definedFields(book: Book | undefined): string[] {
  return book ? [...book.ids("fields")].filter((id) => id !== "").sort(byCodeUnits) : [];
}

function standingOf(book: Book | undefined, id: string): FieldStanding | undefined {
  const history = book?.fieldHistory(id);
  if (!book || !history?.record) return undefined;
  const risk = fieldRisk(history, book);
  const last = risk.exposure?.chain.at(-1);
  const causes = {
    confirmed: () => history.confirmed?.place.record,
    suspected: () => suspicionOf(history, book)?.place.record,
    exposed: () => last && book.visitOfCarrier(last.carrier, last.visitArrived),
  };
  const cause = Object.hasOwn(causes, risk.status) ? causes[risk.status as keyof typeof causes]() : undefined;
  const words =
    risk.status === "exposed" && risk.exposure
      ? `exposed: ${exposureInWords(risk.exposure, book)}`
      : statusInWords(history, risk, book);
  return { risk, words, record: history.record, cause };
}

function moved(before: FieldStanding, after: FieldStanding): boolean {
  const [was, is] = [before.risk, after.risk];
  return (
    was.status !== is.status ||
    before.words !== after.words ||
    was.plantsDug !== is.plantsDug ||
    was.dsiPercent !== is.dsiPercent ||
    was.probabilityFree !== is.probabilityFree ||
    was.window?.opens !== is.window?.opens ||
    was.window?.closes !== is.window?.closes
  );
}
