import type { Span, TextEdit } from "../base/text.ts";
import { applyEdits } from "../base/text.ts";
import { isRecordKind } from "../schema/kinds.ts";
import { findComments, type Comment } from "../syntax/comments.ts";
import { parseText } from "../syntax/parse.ts";
import { parseRecordSlice } from "../syntax/records.ts";
import { BYTE_ORDER_MARK, HASH, isBlank, lineEndAt, nextLineAt, skipBlanks } from "../syntax/text-scan.ts";
import type { SyntaxNode } from "../syntax/tree.ts";
import type { FeatureContext } from "./context.ts";
import { partsOf } from "./file-parts.ts";
import { layoutOfFile, layoutOfRecord, type Layout } from "./format-layout.ts";

/**
 * Edits that align what stands inside records: two spaces for each step inward, one space after a colon, a comma and a dash
 * and before a comment at the end of a line, none at the end of lines. Only blanks change: no line is broken or joined, nothing
 * changes its order, records stay in their column, and quoted and block texts of several lines are left alone. A record
 * that would not read as before, or cannot be read, is left as it is.
 *
 * @param span formats only the records that it touches
 */
export function formatting(context: FeatureContext, span?: Span): TextEdit[] {
  const { file } = context;
  const edits: TextEdit[] = [];
  for (const { start, text, root, entry } of partsOf(file, span)) {
    if (!root) continue;
    if (entry !== undefined) {
      if (file.entries[entry]!.body.syntaxProblems.length > 0) continue;
      const column = file.itemIndent;
      const layout = layoutOfRecord(text, root, column);
      const read = (edited: string): Reading => parseRecordSlice(edited, column);
      edits.push(
        ...moved(
          safeEdits(text, root, layout, (edited) => nodeOf(read(edited))),
          start,
        ),
      );
    } else if (!file.isSliced && file.problems.every(({ code }) => code !== "structure/syntax")) {
      const layout = layoutOfFile(text, root, isRecordKind(file.kind) ? file.kind : undefined);
      edits.push(...safeEdits(text, root, layout, (edited) => nodeOf(parseText(edited))));
    }
  }
  return edits;
}

interface Reading {
  readonly node?: SyntaxNode | undefined;
  readonly root?: SyntaxNode | undefined;
  readonly problems: readonly unknown[];
}

function nodeOf({ node, root, problems }: Reading): SyntaxNode | undefined {
  return problems.length > 0 ? undefined : (node ?? root);
}

/** The edits of a text that leave it reading as before: all of them, else those within lines alone, else none. */
function safeEdits(
  text: string,
  root: SyntaxNode,
  layout: Layout | undefined,
  read: (edited: string) => SyntaxNode | undefined,
): TextEdit[] {
  if (!layout) return [];
  const comments = findComments(text, root);
  for (const isAligning of [true, false]) {
    const edits = editsOf(text, layout, comments, isAligning);
    if (edits.length === 0) return [];
    const edited = read(applyEdits(text, edits));
    if (edited && isSameTree(root, edited)) return edits;
  }
  return [];
}

function editsOf(text: string, layout: Layout, comments: readonly Comment[], isAligning: boolean): TextEdit[] {
  const edits: TextEdit[] = [];
  const replace = (start: number, end: number, spaces: number): void => {
    const edit = blanksEdit(text, start, end, spaces);
    if (edit) edits.push(edit);
  };
  for (const { start, end, holdsColumn } of layout.gaps) if (isAligning || !holdsColumn) replace(start, end, 1);
  for (const { span, ownLine } of comments) {
    if (ownLine || isInside(layout.texts, span.start)) continue;
    let blanks = span.start;
    while (blanks > 0 && isBlank(text.charCodeAt(blanks - 1))) blanks--;
    replace(blanks, span.start, 1);
  }
  for (const line of linesOf(text, layout, isAligning)) {
    if (line.target !== undefined) replace(line.start, line.content, line.target);
    if (line.trimFrom < line.end) replace(line.trimFrom, line.end, 0);
  }
  return edits.sort((a, b) => a.span.start - b.span.start);
}

interface Line {
  readonly start: number;
  /** The first character that is no blank, or the end of the line. */
  readonly content: number;
  readonly end: number;
  /** The column where its content belongs; undefined to leave it. */
  target: number | undefined;
  /** Where the blanks at its end start. */
  readonly trimFrom: number;
}

/** The lines of a text, each with the column where it belongs. */
function linesOf(text: string, { columns, texts, brackets }: Layout, isAligning: boolean): Line[] {
  const lines: Line[] = [];
  /** The last line that begins with a key or a dash; what runs on from it moves along with it. */
  let above: Line | undefined;
  /** The comments since then. */
  let waiting: Line[] = [];
  let at = text.charCodeAt(0) === BYTE_ORDER_MARK ? 1 : 0;
  for (let next = at; at < text.length; at = next) {
    const end = lineEndAt(text, at);
    next = nextLineAt(text, at);
    const content = Math.min(skipBlanks(text, at), end);
    const startsInText = isInside(texts, at);
    const trimFrom = isInside(texts, end) || startsInText ? end : content === end ? at : endOfContent(text, end);
    const line: Line = { start: at, content, end, target: undefined, trimFrom };
    lines.push(line);
    if (!isAligning || startsInText || content === end) continue;
    const column = columns.get(at);
    if (column !== undefined) {
      line.target = column;
      // Comments above the whole record stay where they are.
      if (above) for (const comment of waiting) placeComment(comment, above, line);
      waiting = [];
      above = line;
    } else if (text.charCodeAt(content) === HASH && !isInside(brackets, at)) waiting.push(line);
    else if (above && !text.slice(at, content).includes("\t")) {
      line.target = Math.max(0, columnOf(line) + above.target! - columnOf(above));
    }
  }
  if (above) for (const comment of waiting) placeComment(comment, above, undefined);
  return lines;
}

/** A comment keeps to the line it stood level with: the one below it, or else the one above; between them, to both. */
function placeComment(comment: Line, above: Line, below: Line | undefined): void {
  const column = columnOf(comment);
  if (below && column <= columnOf(below)) comment.target = below.target;
  else if (column === columnOf(above)) comment.target = above.target;
  else if (below) comment.target = Math.max(below.target!, column + above.target! - columnOf(above));
}

function columnOf({ start, content }: Line): number {
  return content - start;
}

function endOfContent(text: string, lineEnd: number): number {
  let end = lineEnd;
  while (isBlank(text.charCodeAt(end - 1))) end--;
  return end;
}

/** Whether an offset lies after the start of a span and before its end, or at the end of a block text's last line. */
function isInside(spans: readonly Span[], offset: number): boolean {
  return spans.some(({ start, end }) => start < offset && offset <= end);
}

/** Makes a stretch of blanks so many spaces, by the smallest edit that does. */
function blanksEdit(text: string, start: number, end: number, spaces: number): TextEdit | undefined {
  const width = end - start;
  const isSpaces = !text.slice(start, end).includes("\t");
  if (!isSpaces) return { span: { start, end }, newText: " ".repeat(spaces) };
  if (width === spaces) return undefined;
  if (width < spaces) return { span: { start, end: start }, newText: " ".repeat(spaces - width) };
  return { span: { start, end: end - spaces }, newText: "" };
}

/** Whether two trees say the same in the same words and the same style; where they stand does not matter. */
function isSameTree(a: SyntaxNode, b: SyntaxNode): boolean {
  if (a.type === "scalar")
    return b.type === "scalar" && a.style === b.style && a.source === b.source && Object.is(a.value, b.value);
  if (a.type === "alias") return b.type === "alias" && a.name === b.name && isSameTree(a.target, b.target);
  if (a.type === "list") {
    if (b.type !== "list" || a.flow !== b.flow || a.items.length !== b.items.length) return false;
    return a.items.every((item, i) => isSameTree(item, b.items[i]!));
  }
  if (b.type !== "map" || a.flow !== b.flow || a.entries.length !== b.entries.length) return false;
  return a.entries.every(({ key, value }, i) => {
    const other = b.entries[i]!;
    return isSameTree(key, other.key) && isSameTree(value, other.value);
  });
}

function moved(edits: readonly TextEdit[], by: number): TextEdit[] {
  return edits.map(({ span, newText }) => ({ span: { start: span.start + by, end: span.end + by }, newText }));
}
