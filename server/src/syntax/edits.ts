import type { TextEdit } from "../base/text.ts";
import type { ScalarValue } from "./scalars.ts";
import { BYTE_ORDER_MARK, SPACE, isBreak, lineEndAt, lineStartAt, nextLineAt, skipBlanks } from "./text-scan.ts";
import { keyName } from "./tree-queries.ts";
import type { PlainValue } from "./tree-queries.ts";
import type { ListNode, MapNode, ScalarNode, SyntaxNode } from "./tree.ts";
import { writeEntry, writeLiteral, writeScalar, writeValue } from "./write-scalar.ts";
import type { WritingContext } from "./write-scalar.ts";

/**
 * Edits of a text, computed from the spans of its tree. Everything outside the edits stays as it was; new lines take
 * the text's line ending and the indentation of their neighbours. Where the place is written in so unusual a way that
 * an edit could change something else, the list of edits is empty.
 */

/** The line ending of a text: that of its first line, or LF. */
export function lineEndingOf(text: string): "\n" | "\r\n" | "\r" {
  const at = lineEndAt(text, 0);
  if (text[at] !== "\r") return "\n";
  return text[at + 1] === "\n" ? "\r\n" : "\r";
}

/**
 * Gives a scalar, a value or a key, another value, in the quotes it has where they can be kept. Block text stays block
 * text when the new value has several lines.
 */
export function replaceScalar(text: string, node: ScalarNode, value: ScalarValue, context: WritingContext): TextEdit[] {
  const { span, style } = node;
  if (isTagged(text, span.start)) return [];
  if (span.start === span.end) {
    const before = text[span.start - 1];
    const written = writeScalar(value, "plain", context);
    if (before === ":" || before === "-" || before === "?") return [{ span, newText: ` ${written}` }];
    return context === "flow" && before !== undefined ? [{ span, newText: `: ${written}` }] : [];
  }
  if ((style === "literal" || style === "folded") && typeof value === "string" && value.includes("\n")) {
    const literal = writeLiteral(value, indentOfBlockText(text, node), lineEndingOf(text));
    if (literal !== undefined) return [{ span, newText: literal }];
  }
  return [{ span, newText: writeScalar(value, style, context) }];
}

/**
 * Adds `key: value` to a map, after the entry under the key `after`, or first. Where a tag or an anchor stands before the
 * first key on its line, first is after that key.
 */
export function insertEntry(text: string, map: MapNode, key: string, value: PlainValue, after?: string): TextEdit[] {
  const index = after === undefined ? -1 : map.entries.findLastIndex((entry) => keyName(entry.key) === after);
  if (map.flow) return insertInFlow(text, map, writeEntry(key, value, "flow"), index);
  const first = map.entries[0];
  if (first === undefined) return [];
  const written = writeEntry(key, value, "block");
  const start = startOfKeyIndicator(text, first.key.span.start);
  const column = columnOf(text, start);
  if (index === -1 && isIndentOrDashes(text.slice(lineStartAt(text, start), start))) {
    return [insertion(start, `${written}${lineEndingOf(text)}${" ".repeat(column)}`)];
  }
  const entry = map.entries[Math.max(index, 0)]!;
  return [insertLineAfter(text, entry.value, " ".repeat(column) + written)];
}

/** Adds an item at the end of a list. */
export function appendItem(text: string, list: ListNode, value: PlainValue): TextEdit[] {
  if (list.flow) return insertInFlow(text, list, writeValue(value, "flow"), list.items.length - 1);
  const last = list.items[list.items.length - 1];
  if (last === undefined) return [];
  const margin = " ".repeat(columnOf(text, list.span.start));
  return [insertLineAfter(text, last, `${margin}- ${writeValue(value)}`)];
}

/** Whether a tag, which would decide what a new value means, stands before a value on its line. */
function isTagged(text: string, start: number): boolean {
  return /(?:^|[\s[{,])!\S*\s+(?:&\S+\s+)?$/.test(text.slice(Math.max(lineStartAt(text, start), start - 200), start));
}

function insertion(at: number, newText: string): TextEdit {
  return { span: { start: at, end: at }, newText };
}

/** A line after the last line of a node. */
export function insertLineAfter(text: string, node: SyntaxNode, lines: string): TextEdit {
  const lineEnding = lineEndingOf(text);
  const end = endOfLines(text, node);
  const atLineStart = end > 0 && isBreak(text.charCodeAt(end - 1));
  return insertion(end, atLineStart ? lines + lineEnding : lineEnding + lines);
}

/**
 * The end of a node's last line, comment included, before its line break. Block text that keeps its empty lines
 * (`|+`) ends after them, at the start of the next line.
 */
function endOfLines(text: string, node: SyntaxNode): number {
  const leaf = lastLeaf(node);
  const lineEnd = lineEndAt(text, leaf.span.end);
  if (!keepsEmptyLines(text, leaf) || lineEnd === text.length) return lineEnd;
  return skipEmptyLines(text, nextLineAt(text, lineEnd));
}

function lastLeaf(node: SyntaxNode): SyntaxNode {
  let leaf = node;
  for (;;) {
    if (leaf.type === "list" && !leaf.flow && leaf.items.length > 0) leaf = leaf.items[leaf.items.length - 1]!;
    else if (leaf.type === "map" && !leaf.flow && leaf.entries.length > 0) {
      leaf = leaf.entries[leaf.entries.length - 1]!.value;
    } else return leaf;
  }
}

function keepsEmptyLines(text: string, node: SyntaxNode): boolean {
  if (node.type !== "scalar" || (node.style !== "literal" && node.style !== "folded")) return false;
  return /^[|>][0-9]?\+/.test(text.slice(node.span.start, node.span.start + 3));
}

/** The start of the first line from `line` on, itself a line start, that is not empty. */
function skipEmptyLines(text: string, line: number): number {
  let at = line;
  while (at < text.length && isBreak(text.charCodeAt(skipBlanks(text, at)))) at = nextLineAt(text, at);
  return at;
}

type FlowNode = MapNode | ListNode;

function insertInFlow(text: string, node: FlowNode, written: string, after: number): TextEdit[] {
  if (isLonePair(node)) return [];
  const ends = endsOfChildren(node);
  const inside = node.span.start + 1;
  if (ends.length === 0) {
    const content = node.type === "map" ? ` ${written} ` : written;
    return [{ span: { start: inside, end: node.span.end - 1 }, newText: content }];
  }
  if (after >= 0) return [insertion(ends[after]!, `, ${written}`)];
  return [insertion(skipBlanks(text, inside), `${written}, `)];
}

/** A pair without braces in a flow list (`[a: b]`) cannot take another. */
function isLonePair(node: FlowNode): boolean {
  return node.type === "map" && node.entries[0]?.key.span.start === node.span.start;
}

function endsOfChildren(node: FlowNode): number[] {
  return node.type === "map"
    ? node.entries.map(({ key, value }) => Math.max(key.span.end, value.span.end))
    : node.items.map((item) => item.span.end);
}

/** Where the `?` before a key stands, or the key itself. */
function startOfKeyIndicator(text: string, keyStart: number): number {
  let at = keyStart;
  while (at > 0 && text.charCodeAt(at - 1) === SPACE) at--;
  return at < keyStart && text[at - 1] === "?" ? at - 1 : keyStart;
}

function columnOf(text: string, offset: number): number {
  const line = lineStartAt(text, offset);
  return offset - line - (text.charCodeAt(line) === BYTE_ORDER_MARK ? 1 : 0);
}

function indentOfBlockText(text: string, node: ScalarNode): number {
  for (let line = nextLineAt(text, node.span.start); line < node.span.end; line = nextLineAt(text, line)) {
    const content = skipBlanks(text, line);
    if (!isBreak(text.charCodeAt(content))) return content - line;
  }
  // Nothing to go by: two more than the key, or, after dashes alone, the column in which the block text starts.
  const before = text.slice(lineStartAt(text, node.span.start), node.span.start);
  const key = before.search(/[^ -]/);
  return key === -1 ? Math.max(before.length, 1) : key + 2;
}

function isIndentOrDashes(text: string): boolean {
  return /^\uFEFF? *(?:- +)*$/.test(text);
}
