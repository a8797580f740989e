import type { FactRecord } from "../records/record.ts";

/** A history that is no longer true, and the records that have come and gone since it was made. */
export interface HistoryBefore<H> {
  readonly history: H;
  readonly came: ReadonlySet<FactRecord>;
  readonly gone: ReadonlySet<FactRecord>;
}

interface Kept<H> {
  readonly history: H;
  readonly came: Set<FactRecord>;
  readonly gone: Set<FactRecord>;
}

/** With more records changed than this, a history is made from all of them. */
const MOST_CHANGED = 40;

/**
 * Histories by what they are of. Where only a few records changed, the one before is handed to whoever makes it anew: records
 * that stay keep their order, so that the others need only be put in their places.
 */
export class KeptHistories<H> {
  readonly #kept = new Map<string, Kept<H>>();

  get(id: string, make: (before: HistoryBefore<H> | undefined) => H): H {
    const kept = this.#kept.get(id);
    if (kept && kept.came.size + kept.gone.size === 0) return kept.history;
    const history = make(kept);
    this.#kept.set(id, { history, came: new Set(), gone: new Set() });
    return history;
  }

  recordChanged(id: string, record: FactRecord, came: boolean): void {
    const kept = this.#kept.get(id);
    if (!kept) return;
    if (came) kept.came.add(record);
    // What came after the history was made, and went again, was never in it.
    else if (!kept.came.delete(record)) kept.gone.add(record);
    if (kept.came.size + kept.gone.size > MOST_CHANGED) this.#kept.delete(id);
  }

  forget(id: string): void {
    this.#kept.delete(id);
  }
}
