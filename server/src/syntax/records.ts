import type { Span } from "../base/text.ts";
import { isWellFormed, parseText } from "./parse.ts";
import { copyOf } from "./text-scan.ts";
import {
  BYTE_ORDER_MARK,
  COLON,
  DASH,
  HASH,
  QUESTION_MARK,
  SPACE,
  isBreak,
  isDocumentMarker,
  isSpaceOrEnd,
  lineEndAt,
  nextLineAt,
  skipBlanks,
} from "./text-scan.ts";
import type { ParsePath, SyntaxNode, SyntaxProblem } from "./tree.ts";

/** A stretch of a file that is one record's own. */
export interface SliceSpan extends Span {
  /** The line it starts on, counted from 0; it starts at the line's first character. */
  readonly line: number;
}

/** A record file cut into its records, or why it has to be read whole. */
export type RecordSlices =
  | {
      readonly sliceable: true;
      /** The column of the records' dashes. */
      readonly itemIndent: number;
      /** From the start of the text to the first record: `key:` and what stands before and after it. */
      readonly header: Span;
      /** One for each record; see `sliceRecords`. */
      readonly slices: readonly SliceSpan[];
      /** The comments after the last record that belong to none; empty in most files. */
      readonly tail: Span;
    }
  | { readonly sliceable: false; readonly reason: string };

/**
 * Cuts a text of the form `key:` and a block list under it into the list's items, by looking at line starts alone.
 *
 * A slice starts at the first of the comment lines that stand directly above the dash, at the dash's column or further
 * left (they belong to the record below them), else at the start of the dash's line; it ends where the next one starts.
 * Header, slices and tail cover the text without gaps.
 *
 * For well-formed YAML the items are those of a reading of the whole text, because of what YAML asks of the lines of an
 * item (yaml.org/spec/1.2.2, sections 6.1 and 8.2): whatever belongs to an item of a list in column n, quoted text,
 * block text and brackets included, is indented by more than n spaces, or is blank, or is a comment. So a line with a
 * dash in column n starts an item, whatever stands above it. Of a broken text each slice can be read alone, and a
 * mistake inside one record stays inside it.
 *
 * A line like `ground: dry` in column 0 with more records below it makes the text read whole only where that is well
 * formed; else it is taken for a line of the record above it that slipped to the left.
 *
 * Not cut, and to be read whole: other top-level keys, `key: […]`, several documents, `%` lines, values that are named
 * and repeated (`&name`, `*name`), which may cross records.
 */
export function sliceRecords(written: string, key: string): RecordSlices {
  // A lone carriage return ends a line as a line feed does (section 5.4); one in the other's place moves nothing.
  const text = written.includes("\r") ? written.replace(/\r(?!\n)/g, "\n") : written;
  const body = bodyAfterKey(text, key);
  if (typeof body === "string") return { sliceable: false, reason: body };
  if (mayRepeatValues(text)) return { sliceable: false, reason: "values are named and repeated (&name, *name)" };

  const slices: SliceSpan[] = [];
  const length = text.length;
  let itemIndent = -1;
  let sliceStart = -1;
  let sliceLine = 0;
  /** Where the comment lines directly above the present line start, or -1 when none stand there. */
  let comments = -1;
  let commentsLine = 0;
  /** Where the first comment after the last line with anything else starts, or -1. */
  let trailing = -1;
  /** Why the list seems to end above the present line. */
  let ended: ListEnd | undefined;
  let resumed = false;
  let lineNumber = lineFeedsBefore(text, body);

  for (let line = body; line < length; lineNumber++) {
    let at = line;
    while (text.charCodeAt(at) === SPACE) at++;
    const indent = at - line;
    const code = text.charCodeAt(at);
    if (itemIndent !== -1 && indent > itemIndent) {
      // Inside a record, whatever it is.
      comments = -1;
      if (!isBlankLine(text, at)) trailing = -1;
    } else if (code === HASH) {
      if (comments === -1) {
        comments = line;
        commentsLine = lineNumber;
      }
      if (trailing === -1) trailing = line;
    } else if (code === DASH && isSpaceOrEnd(text.charCodeAt(at + 1)) && (indent === itemIndent || itemIndent === -1)) {
      if (ended !== undefined) {
        if (!ended.mayBeMisplaced) return { sliceable: false, reason: ended.reason };
        ended = undefined;
        resumed = true;
      }
      itemIndent = indent;
      const start = comments === -1 ? line : comments;
      if (sliceStart !== -1) slices.push({ start: sliceStart, end: start, line: sliceLine });
      sliceStart = start;
      sliceLine = comments === -1 ? lineNumber : commentsLine;
      comments = -1;
      trailing = -1;
    } else {
      comments = -1;
      if (!isBlankLine(text, at)) {
        trailing = -1;
        if (itemIndent === -1) return { sliceable: false, reason: "the list does not start with a dash" };
        ended ??= whyListEnds(text, line, at, itemIndent);
      }
    }
    const lineFeed = text.indexOf("\n", at);
    line = lineFeed === -1 ? length : lineFeed + 1;
  }

  if (sliceStart === -1) return { sliceable: false, reason: "there are no records" };
  if (ended !== undefined) return { sliceable: false, reason: ended.reason };
  if (resumed && isWellFormed(text)) return { sliceable: false, reason: OTHER_KEYS };
  const tailStart = trailing === -1 ? length : trailing;
  slices.push({ start: sliceStart, end: tailStart, line: sliceLine });
  return {
    sliceable: true,
    itemIndent,
    header: { start: 0, end: slices[0]!.start },
    slices,
    tail: { start: tailStart, end: length },
  };
}

/** One record read by itself. Every span counts from the start of the slice, so that it survives edits elsewhere. */
export interface RecordSlice {
  /** What stands after the dash; undefined when not even a dash was found. */
  readonly node: SyntaxNode | undefined;
  readonly problems: readonly SyntaxProblem[];
}

/** The list of records lies in one map. */
const LEVELS_AROUND_LIST = 1;

/**
 * Reads one slice of `sliceRecords`, given as its text alone. What is left over beside the one record (a line further
 * left than the record's own) is a problem at its place.
 */
export function parseRecordSlice(
  slice: string,
  itemIndent: number,
  path: ParsePath = "fast then tolerant",
): RecordSlice {
  const own = copyOf(slice);
  const { root, problems } = parseText(own, path, LEVELS_AROUND_LIST);
  if (root?.type === "list" && !root.flow && root.items.length === 1) return { node: root.items[0], problems };
  const isList = root?.type === "list" && !root.flow;
  const leftOver = isList ? root.items[1] : root;
  if (problems.length > 0) return { node: isList ? root.items[0] : undefined, problems };
  const at = leftOver?.span ?? { start: 0, end: lineEndAt(own, 0) };
  const message = `this does not belong to the record above it; start each record with a dash in column ${itemIndent + 1}`;
  return { node: isList ? root.items[0] : undefined, problems: [{ span: at, message }] };
}

/** The start of the line after `key:`, or why the text is not of that form. */
function bodyAfterKey(text: string, key: string): number | string {
  let line = text.charCodeAt(0) === BYTE_ORDER_MARK ? 1 : 0;
  let marker = false;
  for (; line < text.length; line = nextLineAt(text, line)) {
    if (isBlankOrComment(text, line)) continue;
    if (!marker && text.charCodeAt(line) === DASH && isDocumentMarker(text, line) && isBlankOrComment(text, line + 3)) {
      marker = true;
      continue;
    }
    const colon = line + key.length;
    if (!text.startsWith(key, line) || text.charCodeAt(colon) !== COLON) return `the first line is not "${key}:"`;
    if (!isSpaceOrEnd(text.charCodeAt(colon + 1)) || !isBlankOrComment(text, colon + 1)) {
      return `something stands after "${key}:" on its line`;
    }
    return nextLineAt(text, colon);
  }
  return "there is nothing in the text";
}

function lineFeedsBefore(text: string, end: number): number {
  let count = 0;
  for (let at = text.indexOf("\n"); at !== -1 && at < end; at = text.indexOf("\n", at + 1)) count++;
  return count;
}

interface ListEnd {
  readonly reason: string;
  /** Whether, if more items follow and the text is broken anyway, the line is likely one that slipped to the left. */
  readonly mayBeMisplaced: boolean;
}

const OTHER_KEYS = "there are other top-level keys";

/** A key that is looked at for what it is; longer ones are no words of a record. */
const LONGEST_KEY = 200;

/** Why a line at or left of the dashes, that is no item, ends the list; undefined when it can only be a mistake. */
function whyListEnds(text: string, line: number, at: number, itemIndent: number): ListEnd | undefined {
  if (at > line) return undefined;
  if (isDocumentMarker(text, line)) return { reason: "there are several documents", mayBeMisplaced: false };
  const first = text.charCodeAt(line);
  if (first === BYTE_ORDER_MARK) return undefined;
  if (first === QUESTION_MARK) return { reason: OTHER_KEYS, mayBeMisplaced: true };
  const end = lineEndAt(text, line);
  // No key begins with one of these, and one that is opened here and not closed before a colon is a slip of the pen.
  if (/^(?:[\]}@`|>,%-]|["'[{](?!.*["'\]}] *:(?: |$)))/.test(text.slice(line, Math.min(end, line + LONGEST_KEY))))
    return undefined;
  for (let colon = text.indexOf(":", line); colon !== -1 && colon < end; colon = text.indexOf(":", colon + 1)) {
    if (!isSpaceOrEnd(text.charCodeAt(colon + 1))) continue;
    // `key:` alone may start a list of its own, whose items would look like records where their dashes stand.
    const startsList = isBlankOrComment(text, colon + 1) && isItemNext(text, nextLineAt(text, colon), itemIndent);
    return { reason: OTHER_KEYS, mayBeMisplaced: itemIndent > 0 && !startsList };
  }
  return undefined;
}

/** Whether the next line that says something is a list item at the records' own column. */
function isItemNext(text: string, from: number, itemIndent: number): boolean {
  let line = from;
  while (line < text.length && isBlankOrComment(text, line)) line = nextLineAt(text, line);
  let at = line;
  while (text.charCodeAt(at) === SPACE) at++;
  return at - line === itemIndent && text.charCodeAt(at) === DASH && isSpaceOrEnd(text.charCodeAt(at + 1));
}

function isBlankLine(text: string, from: number): boolean {
  const code = text.charCodeAt(skipBlanks(text, from));
  return isBreak(code) || code !== code;
}

function isBlankOrComment(text: string, from: number): boolean {
  const at = skipBlanks(text, from);
  const code = text.charCodeAt(at);
  return (
    isBreak(code) || code !== code || (code === HASH && (at > from || isSpaceOrEnd(text.charCodeAt(at - 1)) || at < 2))
  );
}

/** Whether some `&` and some `*` each stand where a name or a repeat could; a look from outside, wary of misses. */
function mayRepeatValues(text: string): boolean {
  return mayStartNode(text, "*") && mayStartNode(text, "&");
}

function mayStartNode(text: string, character: string): boolean {
  for (let at = text.indexOf(character); at !== -1; at = text.indexOf(character, at + 1)) {
    if (isSpaceOrEnd(text.charCodeAt(at + 1))) continue;
    const before = text.charCodeAt(at - 1);
    if (isSpaceOrEnd(before) || before === COLON || FLOW_STARTS.includes(text[at - 1]!)) return true;
  }
  return false;
}

const FLOW_STARTS = "[{,";
