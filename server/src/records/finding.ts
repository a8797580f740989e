import type { Pointer } from "../base/pointer.ts";
import type { RecordKind } from "../schema/kinds.ts";
import type { FactRecord } from "./record.ts";

/** How much a finding matters, worst first. A book may also turn a rule `off`. */
export type Level = "error" | "warning" | "information" | "hint";
export const LEVELS: readonly Level[] = ["error", "warning", "information", "hint"];

export type { Pointer };

/**
 * Where in the records something stands, without an offset: moving text about changes no place.
 * `key` is the key itself; `value` what it holds; for a list item `value` is the item.
 * A place whose pointer is not in the text falls back to the nearest part that is, and there to its first key.
 */
export interface RecordPlace {
  readonly record: FactRecord;
  readonly pointer: Pointer;
  readonly part: "key" | "value";
}

export interface RelatedPlace {
  readonly place: RecordPlace;
  readonly message: string;
}

/** A replacement that would mend the finding at its place: the right id, key or word. */
export interface Suggestion {
  readonly replacement: string;
}

export interface Finding {
  readonly code: string;
  readonly level: Level;
  readonly place: RecordPlace;
  readonly message: string;
  readonly related: readonly RelatedPlace[];
  readonly suggestion?: Suggestion;
}

export interface RecordName {
  readonly kind: RecordKind | "season" | "region" | "weather";
  readonly id: string;
}
