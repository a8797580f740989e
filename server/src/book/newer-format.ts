import type { Span } from "../base/text.ts";
import { entryTree, type RecordFile } from "../records/record-file.ts";
import { nodeAt, resolved } from "../syntax/tree-queries.ts";

/** The version of the record format that this program reads; a book without `format` is of version 1. */
export const FORMAT_VERSION = 1;

/** A version of the record format that a book is written in, and that this program does not know. */
export interface NewerFormat {
  readonly version: number;
  readonly span: Span;
}

export function newerFormat(season: RecordFile | undefined): NewerFormat | undefined {
  const found = season?.kind === "season" && nodeAt(entryTree(season, 0).node, ["format"])?.value;
  const node = found ? resolved(found) : undefined;
  return node?.type === "scalar" && typeof node.value === "number" && node.value > FORMAT_VERSION
    ? { version: node.value, span: node.span }
    : undefined;
}

export function newerFormatMessage({ version }: NewerFormat): string {
  return `these records are written in format ${version}, and this Spadework knows format ${FORMAT_VERSION}; take a newer Spadework, and nothing in them is lost`;
}

/**
 * A file of a book in a newer format: nothing of it is looked at, because whatever would be said of it could be wrong. The
 * season alone says why.
 */
export function unreadFile(file: RecordFile, newer: NewerFormat): RecordFile {
  const { span } = newer;
  const problems =
    file.kind === "season" ? [{ code: "structure/schema" as const, span, message: newerFormatMessage(newer) }] : [];
  return { ...file, entries: [], problems, accepts: [], isSliced: false, isUnread: true };
}
