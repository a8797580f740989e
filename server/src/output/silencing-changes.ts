import { RULES } from "../../generated/rules.ts";
import type { Book } from "../book/book.ts";
import type { Level } from "../records/finding.ts";
import type { RecordFile } from "../records/record-file.ts";
import { acceptsOf, hasAccepts, type PlacedAccept } from "../rules/accepts.ts";
import { levelOf } from "../rules/engine.ts";
import { withRegionRules } from "../rules/region-rules.ts";

/** A check that is told at another level than before; one that was not there was told at none. */
export interface LevelChange {
  readonly code: string;
  readonly before: Level | "off";
  readonly after: Level | "off";
}

/** A comment that accepts what a check finds, and was not there before. */
export interface AddedAccept {
  readonly code: string;
  readonly reason: string;
  /** From the book's root. */
  readonly file: string;
  /** From 0. */
  readonly line: number;
}

/*
 * What makes findings go away without mending anything. Whoever reads a change has to see it beside the findings that are gone.
 */

/** Which checks a season or its region turns off, on, or to another level; by code. */
export function levelChanges(before: Book, after: Book): LevelChange[] {
  const [was, is] = [levelsIn(before), levelsIn(after)];
  const codes = [...new Set([...was.keys(), ...is.keys()])].sort();
  return codes
    .map((code) => ({ code, before: was.get(code) ?? "off", after: is.get(code) ?? "off" }))
    .filter((change) => change.before !== change.after);
}

function levelsIn(book: Book): Map<string, Level | "off"> {
  return new Map(withRegionRules(RULES, book).map((rule) => [rule.code, levelOf(rule, book)]));
}

/** The accept comments with a reason that a version has beyond those of the one before, by file and line. */
export function addedAccepts(before: Book, after: Book): AddedAccept[] {
  const known = new Map<string, number>();
  for (const { file, accept } of acceptsIn(before)) {
    const key = keyOf(file, accept);
    known.set(key, (known.get(key) ?? 0) + 1);
  }
  const added: AddedAccept[] = [];
  for (const { file, accept } of acceptsIn(after)) {
    const key = keyOf(file, accept);
    const left = known.get(key) ?? 0;
    known.set(key, left - 1);
    const { code, reason } = accept.comment;
    if (left <= 0) added.push({ code, reason, file: file.path, line: accept.range.start.line });
  }
  return added;
}

function acceptsIn(book: Book): { file: RecordFile; accept: PlacedAccept }[] {
  return book.files
    .filter(hasAccepts)
    .flatMap((file) => acceptsOf(file).map((accept) => ({ file, accept })))
    .filter(({ accept }) => accept.comment.reason !== "");
}

/** Where a record lies in its file, and in which, does not matter; whether the comment speaks of all of the record does. */
function keyOf(file: RecordFile, { comment, entry, onFirstLine }: PlacedAccept): string {
  const id = file.entries[entry]?.body.record.id ?? "";
  return JSON.stringify([file.kind, id, comment.code, comment.reason, onFirstLine]);
}
