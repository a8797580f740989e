import type { Span } from "../base/text.ts";
import { entryTree, type RecordEntry } from "../records/record-file.ts";
import type { FactRecord } from "../records/record.ts";
import { pathAt, type Pointer } from "../syntax/tree-queries.ts";
import type { SyntaxNode } from "../syntax/tree.ts";
import type { FeatureContext } from "./context.ts";

/** Where in its record an offset stands. */
export interface Cursor {
  readonly entry: RecordEntry;
  readonly entryIndex: number;
  readonly record: FactRecord;
  /** The record's tree; its spans count from `offset`. */
  readonly root: SyntaxNode;
  readonly offset: number;
  readonly pointer: Pointer;
  readonly part: "key" | "value";
  /** The key or value under the offset, in the file's text. */
  readonly span: Span;
}

/** The record that holds an offset of the file, comments above it included; -1 outside all. */
export function entryIndexAt({ file }: FeatureContext, offset: number): number {
  let low = 0;
  let high = file.entries.length - 1;
  while (low <= high) {
    const middle = (low + high) >> 1;
    const { span } = file.entries[middle]!;
    if (offset < span.start) high = middle - 1;
    else if (offset >= span.end && middle < file.entries.length - 1) low = middle + 1;
    else return offset <= span.end ? middle : -1;
  }
  return -1;
}

/** What stands at an offset of the file: the innermost key or value of a record; undefined between and outside records. */
export function cursorAt(context: FeatureContext, at: number): Cursor | undefined {
  const { file } = context;
  const entryIndex = entryIndexAt(context, at);
  const entry = file.entries[entryIndex];
  if (!entry) return undefined;
  const { node: root, offset } = entryTree(file, entryIndex);
  const found = root && pathAt(root, at - offset);
  if (!root || !found) return undefined;
  const span = { start: found.node.span.start + offset, end: found.node.span.end + offset };
  return { entry, entryIndex, record: entry.body.record, root, offset, pointer: found.pointer, part: found.on, span };
}
