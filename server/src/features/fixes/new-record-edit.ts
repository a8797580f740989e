import type { TextEdit } from "../../base/text.ts";
import { insertRecord } from "../../syntax/insert-record.ts";
import { lineEndingOf } from "../../syntax/edits.ts";
import { writeValue } from "../../syntax/write-scalar.ts";
import type { PlainValue } from "../../syntax/tree-queries.ts";
import type { BookEdit } from "../context.ts";
import type { NewRecord } from "../new-records.ts";
import type { Home } from "./home-file.ts";

const DATE_OR_TIME = /^\d{4}-\d\d-\d\d(T\d\d:\d\d)?$/;

/**
 * Writes a new record into its file, or a file of its own.
 *
 * @param comments by key: what is to be said behind it.
 */
export function newRecordEdit(
  { path, file, after }: Home,
  kind: string,
  record: NewRecord,
  comments: Readonly<Record<string, string>>,
): BookEdit | undefined {
  const text = file?.text ?? "";
  const edits = insertRecord(text, kind, recordText(record, comments), after);
  if (edits.length === 0) return undefined;
  return new Map([[path, edits.map((edit) => partedFromLast(text, edit))]]);
}

/** Lists of parts stand below their key, one a line. */
function recordText(record: NewRecord, comments: Readonly<Record<string, string>>): string {
  const lines = Object.entries(record).flatMap(([key, value]) => {
    const comment = Object.hasOwn(comments, key) ? ` # ${comments[key]!}` : "";
    if (Array.isArray(value) && value.some((item) => typeof item === "object")) {
      return [`${key}:${comment}`, ...value.map((item) => `  - ${writeValue(item, "flow")}`)];
    }
    return [`${key}: ${valueText(value)}${comment}`];
  });
  return lines.join("\n");
}

function valueText(value: PlainValue): string {
  return typeof value === "string" && DATE_OR_TIME.test(value) ? value : writeValue(value);
}

/** An empty line before a record at the end of a file whose records are parted by empty lines. */
function partedFromLast(text: string, edit: TextEdit): TextEdit {
  const isLast = edit.span.start === edit.span.end && text.slice(edit.span.start).trim() === "";
  const isParted = /\n[ \t]*\r?\n *- /.test(text);
  const before = text.slice(Math.max(0, edit.span.start - 200), edit.span.start);
  if (!isLast || !isParted || /\n[ \t]*\r?\n$/.test(before)) return edit;
  const lineEnding = lineEndingOf(text);
  return { ...edit, newText: lineEnding + edit.newText };
}
