import { lineEndAt, nextLineAt } from "../../syntax/text-scan.ts";
import { quoteEnd, scanFlow, unquoted } from "./flow-scan.ts";

/** A block map or list that a line can go on with. */
export type BlockFrame = MapFrame | ListFrame;

export interface MapFrame {
  readonly type: "map";
  /** The column of its keys. */
  readonly column: number;
  readonly keys: readonly string[];
  /** The key written last. */
  readonly key: string | undefined;
  /** That key has no value yet. */
  readonly isEmpty: boolean;
}

export interface ListFrame {
  readonly type: "list";
  /** The column of its dashes. */
  readonly column: number;
  /** The item written last. */
  readonly index: number;
}

export interface LineStart {
  readonly frames: readonly BlockFrame[];
  /** Where the line's own text starts, after dashes, and after the key where there is one. */
  readonly at: number;
  readonly afterDash: boolean;
  readonly key: { readonly valueStart: number } | undefined;
}

export type BlockState =
  | { readonly frames: readonly BlockFrame[] }
  | { readonly frames: readonly BlockFrame[]; readonly flowStart: number; readonly limitColumn: number };

/**
 * Reads the lines from `from` to `lineStart` for the maps and lists they leave open, without asking that they be right.
 * Where brackets opened on one of them reach to `offset`, says so; undefined where `offset` lies in quoted or block text.
 */
export function readBlock(
  text: string,
  from: number,
  lineStart: number,
  offset: number,
  open: readonly BlockFrame[],
): BlockState | undefined {
  let frames = open;
  for (let line = from; line < lineStart;) {
    const end = lineEndAt(text, line);
    const next = nextLineAt(text, line);
    const read = keyOfLine(text, line, end, frames);
    if (read === undefined || text.slice(line, end).trim() === "") {
      line = next;
      continue;
    }
    const valueStart = read.key ? read.key.valueStart : read.at;
    const value = text.slice(valueStart, end);
    const limitColumn = read.frames[read.frames.length - 1]?.column ?? 0;
    const isPlainText = !read.key && !read.afterDash;
    if (!isPlainText) frames = read.frames;
    if (value.startsWith("{") || value.startsWith("[")) {
      const limit = blockEnd(text, next, limitColumn, offset);
      const scan = scanFlow(text, valueStart, limit);
      if (scan.closedAt === undefined && limit === offset) return { frames, flowStart: valueStart, limitColumn };
      line = scan.closedAt === undefined ? Math.max(next, limit) : Math.max(next, nextLineAt(text, scan.closedAt - 1));
    } else if (value.startsWith('"') || value.startsWith("'")) {
      const limit = blockEnd(text, next, limitColumn, offset);
      const close = quoteEnd(text, valueStart, limit);
      if (close === undefined && limit === offset && limit > next) return undefined;
      line = close === undefined ? Math.max(next, limit) : Math.max(next, nextLineAt(text, close - 1));
    } else if (/^[|>][-+0-9]*\s*(#.*)?$/.test(value)) {
      const limit = blockEnd(text, next, limitColumn, offset);
      // A blank line below block text may be where the next key is to be written.
      if (limit === offset && text.slice(lineStart, offset).trim() !== "") return undefined;
      line = Math.min(Math.max(next, limit), lineStart);
    } else line = next;
  }
  return { frames };
}

/** Reads the start of a line up to `end`: its dashes and its key. Undefined for comments and document markers. */
export function keyOfLine(text: string, line: number, end: number, open: readonly BlockFrame[]): LineStart | undefined {
  let at = skipSpaces(text, line, end);
  if (text[at] === "#" || /^(---|\.\.\.)(\s|$)/.test(text.slice(line, Math.min(end, line + 4)))) return undefined;
  let frames: readonly BlockFrame[] = open;
  let afterDash = false;
  while (at < end && text[at] === "-" && (at + 1 >= end || /\s/.test(text[at + 1]!))) {
    frames = withItem(afterDash ? frames : upTo(frames, at - line, true), at - line);
    afterDash = true;
    at = skipSpaces(text, at + 1, end);
  }
  const key = keyAt(text, at, end);
  if (!key) return { frames, at, afterDash, key: undefined };
  const column = at - line;
  if (!afterDash) frames = upTo(frames, column, false);
  frames = withKey(frames, column, key.name, text.slice(key.valueStart, end).trim().replace(/^#.*/, "") === "");
  return { frames, at: key.valueStart, afterDash, key: { valueStart: key.valueStart } };
}

/** The keys at a column on the lines from `from` on, up to a line further left or with a dash in it. */
export function keysBelow(text: string, from: number, to: number, column: number): string[] {
  const keys: string[] = [];
  for (let line = from; line < to; line = nextLineAt(text, line)) {
    const end = lineEndAt(text, line);
    const at = skipSpaces(text, line, end);
    if (at < end && text[at] !== "#" && at - line <= column) {
      if (at - line < column) break;
      const key = keyAt(text, at, end);
      if (key) keys.push(key.name);
    }
    if (nextLineAt(text, line) === line) break;
  }
  return keys;
}

function keyAt(text: string, at: number, end: number): { name: string; valueStart: number } | undefined {
  const first = text[at];
  if (at >= end || first === "[" || first === "{") return undefined;
  let colon = -1;
  if (first === '"' || first === "'") {
    const close = quoteEnd(text, at, end);
    if (close === undefined) return undefined;
    colon = skipSpaces(text, close, end);
    if (text[colon] !== ":") return undefined;
  } else {
    for (let i = at; i < end; i++) {
      if (text[i] === "#" && /\s/.test(text[i - 1]!)) return undefined;
      if (text[i] === ":" && (i + 1 >= end || /\s/.test(text[i + 1]!))) {
        colon = i;
        break;
      }
    }
  }
  if (colon <= at || colon >= end) return undefined;
  return { name: unquoted(text.slice(at, colon).trim()), valueStart: skipSpaces(text, colon + 1, end) };
}

/** What stays open for a line at a column. A list may stand in the column of the key that holds it. */
function upTo(frames: readonly BlockFrame[], column: number, isDash: boolean): readonly BlockFrame[] {
  let count = frames.length;
  while (count > 0) {
    const frame = frames[count - 1]!;
    if (frame.column < column) break;
    if (frame.column === column && (frame.type === "list" ? isDash : true)) break;
    count--;
  }
  return frames.slice(0, count);
}

function withItem(frames: readonly BlockFrame[], column: number): readonly BlockFrame[] {
  const top = frames[frames.length - 1];
  if (top?.type === "list" && top.column === column) return [...frames.slice(0, -1), { ...top, index: top.index + 1 }];
  return [...frames, { type: "list", column, index: 0 }];
}

function withKey(frames: readonly BlockFrame[], column: number, key: string, isEmpty: boolean): readonly BlockFrame[] {
  const top = frames[frames.length - 1];
  if (top?.type === "map" && top.column === column) {
    return [...frames.slice(0, -1), { ...top, keys: [...top.keys, key], key, isEmpty }];
  }
  return [...frames, { type: "map", column, keys: [key], key, isEmpty }];
}

/** The start of the first line at or left of a column, from `from` on; `limit` where none comes before it. */
function blockEnd(text: string, from: number, column: number, limit: number): number {
  for (let line = from; line < limit; line = nextLineAt(text, line)) {
    const end = lineEndAt(text, line);
    const at = skipSpaces(text, line, end);
    if (at < end && at - line <= column && text[at] !== "]" && text[at] !== "}") return line;
    if (nextLineAt(text, line) === line) break;
  }
  return limit;
}

function skipSpaces(text: string, from: number, end: number): number {
  let at = from;
  while (at < end && (text[at] === " " || text[at] === "\t")) at++;
  return at;
}
