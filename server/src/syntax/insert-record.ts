import type { TextEdit } from "../base/text.ts";
import { insertLineAfter, lineEndingOf } from "./edits.ts";
import { parseText } from "./parse.ts";
import { sliceRecords } from "./records.ts";
import { isBreak, lineStartAt, skipBlanks } from "./text-scan.ts";
import { entryOf } from "./tree-queries.ts";
import { resolved } from "./tree-queries.ts";

/** How far records are indented in a file that holds none yet. */
const USUAL_INDENT = 2;

/**
 * Adds a record to a file of records under `key`. `record` is its lines without dash and indentation (see
 * `writeRecord`); `after` is the index of the record it follows, the last one when not given. A file without the key,
 * or with nothing under it, gets what is missing. No edits where the records are written in brackets.
 */
export function insertRecord(text: string, key: string, record: string, after?: number): TextEdit[] {
  const lineEnding = lineEndingOf(text);
  const sliced = sliceRecords(text, key);
  if (sliced.sliceable) {
    const slice = sliced.slices[after ?? sliced.slices.length - 1];
    if (slice === undefined) return [];
    const at = slice.end;
    const lines = itemLines(record, sliced.itemIndent, lineEnding) + lineEnding;
    // Where an empty line parts this record from the next, one parts the new record from it too.
    const parted = at < text.length && endsWithEmptyLine(text, at);
    return [
      { span: { start: at, end: at }, newText: startOfLine(text, at, lineEnding) + lines + (parted ? lineEnding : "") },
    ];
  }

  const { root } = parseText(text);
  const entry = entryOf(root, key);
  if (root !== undefined && root.type !== "map") return [];
  if (entry === undefined) {
    if (root?.type === "map" && root.flow) return [];
    const lines = `${key}:${lineEnding}${itemLines(record, USUAL_INDENT, lineEnding)}${lineEnding}`;
    return [
      { span: { start: text.length, end: text.length }, newText: startOfLine(text, text.length, lineEnding) + lines },
    ];
  }
  const list = resolved(entry.value);
  if (entry.value.type !== "alias" && list.type === "list" && list.items.length > 0) {
    const item = list.items[after ?? list.items.length - 1];
    if (list.flow || item === undefined) return [];
    const column = list.span.start - lineStartAt(text, list.span.start);
    return [insertLineAfter(text, item, itemLines(record, column, lineEnding))];
  }
  const isEmpty = (list.type === "scalar" && list.value === null) || (list.type === "list" && list.items.length === 0);
  if (!isEmpty || root?.type !== "map" || root.flow || entry.value.type === "alias") return [];
  const colon = text.indexOf(":", entry.key.span.end) + 1;
  const lines = itemLines(record, USUAL_INDENT, lineEnding);
  const { start, end } = list.span;
  // `key: []` becomes `key:` and the record below it; a comment after the colon stays on its line.
  if (start === end) return [insertLineAfter(text, entry.value, lines)];
  return [{ span: { start: colon, end: Math.max(end, colon) }, newText: lineEnding + lines }];
}

function itemLines(record: string, indent: number, lineEnding: string): string {
  const margin = " ".repeat(indent);
  return record
    .split(/\r\n?|\n/)
    .map((line, index) => (line === "" ? "" : `${margin}${index === 0 ? "- " : "  "}${line}`))
    .join(lineEnding);
}

function startOfLine(text: string, at: number, lineEnding: string): string {
  return at === 0 || isBreak(text.charCodeAt(at - 1)) || (at === 1 && text.charCodeAt(0) === 0xfeff) ? "" : lineEnding;
}

/** Whether the line that ends just before `at`, itself a line start, is empty. */
function endsWithEmptyLine(text: string, at: number): boolean {
  const before = text.charCodeAt(at - 2) === 13 && text.charCodeAt(at - 1) === 10 ? at - 2 : at - 1;
  const line = lineStartAt(text, Math.max(before, 0));
  return skipBlanks(text, line) >= before;
}
