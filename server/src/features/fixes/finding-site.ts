import type { Span, TextEdit } from "../../base/text.ts";
import type { Pointer } from "../../records/finding.ts";
import type { FactRecord } from "../../records/record.ts";
import { linesOf, type PublishedFinding } from "../../rules/publish.ts";
import { nodeAt, resolved } from "../../syntax/tree-queries.ts";
import type { SyntaxNode } from "../../syntax/tree.ts";
import type { BookEdit, FeatureContext } from "../context.ts";
import { cursorAt } from "../cursor.ts";

/** A finding with the place in the records that it stands on. */
export interface FindingSite {
  readonly context: FeatureContext;
  readonly finding: PublishedFinding;
  /** In the text of the context's file. */
  readonly span: Span;
  readonly record: FactRecord;
  readonly entryIndex: number;
  readonly pointer: Pointer;
  readonly part: "key" | "value";
  /** The record's tree; its spans count from `offset`. */
  readonly root: SyntaxNode;
  readonly offset: number;
  /** Ids that other fixes of the same edit give away. */
  readonly reserved: ReadonlySet<string>;
}

/** What a fix does, before it is offered. */
export interface Remedy {
  readonly title: string;
  readonly edit: BookEdit;
  /** What most keepers would do; at most one of a finding's fixes. */
  readonly isPreferred?: boolean;
  /** A text that the fix writes for the keeper to replace. */
  readonly placeholder?: string;
  /** An id that the fix gives away. */
  readonly newId?: string;
}

export type Fixer = (site: FindingSite) => readonly Remedy[];

/** Undefined where the finding stands on nothing that can be read (a break in the text), or in another file. */
export function siteOfFinding(
  context: FeatureContext,
  finding: PublishedFinding,
  reserved: ReadonlySet<string>,
): FindingSite | undefined {
  const { file } = context;
  if (finding.file !== file.path || file.kind === "weather") return undefined;
  const lines = linesOf(file);
  const span = { start: lines.offset(finding.range.start), end: lines.offset(finding.range.end) };
  const cursor = cursorAt(context, span.start);
  if (!cursor) return undefined;
  const { record, entryIndex, pointer, part, root, offset } = cursor;
  return { context, finding, span, record, entryIndex, pointer, part, root, offset, reserved };
}

/** A node of the finding's record. */
export function nodeOfSite({ root }: FindingSite, pointer: Pointer): SyntaxNode | undefined {
  const found = nodeAt(root, pointer);
  return found && resolved(found.value);
}

/** Edits of the record's own text (see `entryTree`) as an edit of the book. Undefined for none. */
export function editOfRecord({ context, offset }: FindingSite, edits: readonly TextEdit[]): BookEdit | undefined {
  if (edits.length === 0) return undefined;
  const shifted = edits.map(({ span, newText }) => ({
    span: { start: span.start + offset, end: span.end + offset },
    newText,
  }));
  return new Map([[context.file.path, shifted]]);
}

/** The text that the spans of the record's tree count in. */
export function textOfSite({ context: { file }, entryIndex, offset }: FindingSite): string {
  const entry = file.entries[entryIndex];
  return file.isSliced && entry ? file.text.slice(offset, entry.span.end) : file.text;
}
