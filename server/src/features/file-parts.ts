import type { Span } from "../base/text.ts";
import { entryTree, type RecordFile } from "../records/record-file.ts";
import { findComments, type Comment } from "../syntax/comments.ts";
import { parseText } from "../syntax/parse.ts";
import type { SyntaxNode } from "../syntax/tree.ts";

/** A stretch of a file that is read by itself; `root` and comments have their offsets from `start`. */
export interface FilePart {
  readonly start: number;
  readonly text: string;
  readonly root: SyntaxNode | undefined;
  /** The index of the record that the part is; undefined for the file's first line, what follows the last record, and a file that is read whole. */
  readonly entry: number | undefined;
}

/**
 * The parts of a file in order, without gaps: the line of its key, each record, what follows the last one. A file that
 * cannot be cut into records is one part. With `span`, only the parts that it touches are read.
 */
export function* partsOf(file: RecordFile, span: Span = { start: 0, end: file.text.length }): Generator<FilePart> {
  if (file.kind === "weather") return;
  const { text, entries } = file;
  if (!file.isSliced) {
    yield { start: 0, text, root: parseText(text).root, entry: undefined };
    return;
  }
  const touches = (start: number, end: number): boolean => start <= span.end && span.start <= end;
  const first = entries[0]?.span.start ?? text.length;
  if (touches(0, first)) {
    const header = text.slice(0, first);
    yield { start: 0, text: header, root: parseText(header).root, entry: undefined };
  }
  for (const [entry, { span: own }] of entries.entries()) {
    if (!touches(own.start, own.end)) continue;
    const { node: root, offset: start } = entryTree(file, entry);
    yield { start, text: text.slice(own.start, own.end), root, entry };
  }
  const last = entries[entries.length - 1]?.span.end ?? text.length;
  if (last < text.length && touches(last, text.length))
    yield { start: last, text: text.slice(last), root: undefined, entry: undefined };
}

export function commentsOf(part: FilePart): Comment[] {
  return findComments(part.text, part.root);
}
