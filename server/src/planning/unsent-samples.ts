import type { Book } from "../book/book.ts";

/** A sample that was taken and has not been sent. */
export interface UnsentSample {
  readonly id: string;
  readonly field: string;
  readonly lab: string | undefined;
}

/** In the order of their ids; those with a result went some way or other. */
export function unsentSamples(book: Book): UnsentSample[] {
  const found: UnsentSample[] = [];
  for (const id of book.fieldIds()) {
    for (const { record, sent, taken, finding } of book.fieldHistory(id).samples) {
      if (sent !== undefined || taken === undefined || finding !== undefined || !record.id) continue;
      if (!book.isInSight(record)) continue;
      found.push({ id: record.id, field: id, lab: record.facts.lab });
    }
  }
  return found.sort((a, b) => (a.id < b.id ? -1 : 1));
}
