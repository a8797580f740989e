import type { Span } from "../../base/text.ts";
import type { Pointer } from "../../records/finding.ts";
import { lineEndAt, lineStartAt, nextLineAt } from "../../syntax/text-scan.ts";
import { flowAfter, flowPointer, scanFlow } from "./flow-scan.ts";
import { keyOfLine, keysBelow, readBlock, type BlockFrame } from "./block-scan.ts";

/**
 * Where in a half-written text someone is typing, told from what stands before the cursor, its column, and what follows.
 * - `key`: a key of the map at `pointer`.
 * - `value`: the value at `pointer`.
 * - `item`: the list item at `pointer`, after its dash or inside the brackets: a value, or the first key of a map.
 * - `dash`: the same where the dash is still to be written.
 * - `child`: something under the key at `pointer`, whatever its schema asks for.
 */
export interface TypingPlace {
  readonly what: "key" | "value" | "item" | "dash" | "child";
  /** From the root of the file. */
  readonly pointer: Pointer;
  readonly isFlow: boolean;
  /** The other keys of the map, before and after the cursor; for an item, of the map it may become. */
  readonly keys: readonly string[];
  /** What has been typed of it, up to the cursor. */
  readonly typed: Span;
  /** What a completion replaces: what is typed, the rest of the word after the cursor, and blanks that stand wrongly. */
  readonly replace: Span;
  readonly quote: "" | '"' | "'";
  /** A blank has to be written first: the cursor stands right after a colon or a dash. */
  readonly needsSpace: boolean;
  /** A colon stands after the word already. */
  readonly hasColon: boolean;
  /** The column at which it should stand; in flow style, of the line. */
  readonly column: number;
  /** How much further right the next level stands, as the text around has it. */
  readonly step: number;
  /** Brackets that are open at the cursor and nowhere closed, inner ones first. */
  readonly missingBrackets: string;
}

/**
 * @param from where to begin reading: the start of a record, or of the file.
 * @param frames what stands open there.
 * @param to where the record, or the file, ends.
 */
export function typingPlaceAt(
  text: string,
  offset: number,
  from: number,
  frames: readonly BlockFrame[],
  to: number,
): TypingPlace | undefined {
  const lineStart = Math.max(lineStartAt(text, offset), from);
  const state = readBlock(text, from, lineStart, offset, frames);
  if (state === undefined) return undefined;
  if ("flowStart" in state) return flowPlace(text, offset, state.flowStart, state.frames, state.limitColumn, to);
  return blockPlace(text, offset, lineStart, state.frames, to);
}

function blockPlace(
  text: string,
  offset: number,
  lineStart: number,
  open: readonly BlockFrame[],
  to: number,
): TypingPlace | undefined {
  const line = keyOfLine(text, lineStart, offset, open);
  if (line === undefined) return undefined;
  const { frames, at, key } = line;
  const lineEnd = lineEndAt(text, offset);
  const step = 2;
  const base = { isFlow: false, step, missingBrackets: "", quote: "", hasColon: false } as const;
  if (key) {
    const start = key.valueStart;
    const written = text.slice(start, offset);
    if (written.startsWith("[") || written.startsWith("{")) {
      return flowPlace(text, offset, start, frames, frames[frames.length - 1]!.column, to);
    }
    const quoted = quotedPart(text, start, offset);
    if (quoted === undefined) return undefined;
    const typed = { start: quoted.start, end: offset };
    const replace = { start: quoted.start, end: valueEnd(text, offset, lineEnd, quoted.quote, false) };
    return {
      ...base,
      what: "value",
      pointer: pointerOf(frames),
      keys: [],
      typed,
      replace,
      quote: quoted.quote,
      needsSpace: start === offset && text[offset - 1] === ":",
      column: frames[frames.length - 1]!.column,
    };
  }
  const written = text.slice(at, offset);
  if (written.startsWith("[") || written.startsWith("{")) {
    return flowPlace(text, offset, at, frames, (frames[frames.length - 1]?.column ?? 0) - 1, to);
  }
  const quoted = quotedPart(text, at, offset);
  if (quoted === undefined) return undefined;
  const typed = { start: quoted.start, end: offset };
  const wordEnd =
    quoted.quote === ""
      ? offset + /^[^\s:,#[\]{}]*/.exec(text.slice(offset, lineEnd))![0].length
      : valueEnd(text, offset, lineEnd, quoted.quote, false);
  const hasColon = /^\s*:(\s|$)/.test(text.slice(wordEnd + (quoted.quote === "" ? 0 : 1), lineEnd));
  const after = nextLineAt(text, offset);
  const here = { ...base, typed, quote: quoted.quote, hasColon };
  if (line.afterDash) {
    const needsSpace = at === offset && text[offset - 1] === "-";
    const column = at - lineStart + (needsSpace ? 1 : 0);
    const restIsValue = !hasColon;
    const end = restIsValue ? valueEnd(text, offset, lineEnd, quoted.quote, false) : wordEnd;
    const keys = keysBelow(text, after, to, column);
    return {
      ...here,
      what: "item",
      pointer: pointerOf(frames),
      keys,
      replace: { start: typed.start, end },
      needsSpace,
      column,
    };
  }
  // No dash and no colon: the column alone tells what is being written.
  const column = at - lineStart;
  const target = frameFor(open, column);
  const replaceFrom = (wanted: number): Span => ({ start: wanted === column ? typed.start : lineStart, end: wordEnd });
  const { frame, isChild } = target;
  if (isChild) {
    return {
      ...here,
      what: "child",
      pointer: pointerOf(target.frames),
      keys: keysBelow(text, after, to, column),
      replace: { start: typed.start, end: wordEnd },
      needsSpace: false,
      column,
    };
  }
  if (frame.type === "list") {
    const pointer = [...pointerOf(target.frames.slice(0, -1)), frame.index + 1];
    return {
      ...here,
      what: "dash",
      pointer,
      keys: [],
      replace: replaceFrom(frame.column),
      needsSpace: false,
      column: frame.column,
    };
  }
  const keys = [...frame.keys, ...keysBelow(text, after, to, frame.column)];
  const pointer = pointerOf(target.frames.slice(0, -1));
  return {
    ...here,
    what: "key",
    pointer,
    keys,
    replace: replaceFrom(frame.column),
    needsSpace: false,
    column: frame.column,
  };
}

/** The map or list that a line at a column goes on with, or the key it stands under. */
function frameFor(
  open: readonly BlockFrame[],
  column: number,
): { frames: readonly BlockFrame[]; frame: BlockFrame; isChild: boolean } {
  let count = open.length;
  while (count > 1 && open[count - 1]!.column > column) count--;
  const frame = open[count - 1]!;
  const above = open[count];
  if (frame.column < column) {
    if (frame.type === "map" && frame.isEmpty && !above) return { frames: open.slice(0, count), frame, isChild: true };
    // Between two levels: the nearer one is meant.
    if (above && above.column - column <= column - frame.column)
      return { frames: open.slice(0, count + 1), frame: above, isChild: false };
  }
  return { frames: open.slice(0, count), frame, isChild: false };
}

function flowPlace(
  text: string,
  offset: number,
  start: number,
  frames: readonly BlockFrame[],
  limitColumn: number,
  to: number,
): TypingPlace | undefined {
  const scan = scanFlow(text, start, offset);
  const top = scan.open[scan.open.length - 1];
  if (scan.closedAt !== undefined || scan.partStart === undefined || !top) return undefined;
  const lineStart = lineStartAt(text, offset);
  const isValue = top.bracket === "{" && top.key !== undefined;
  const isKey = top.bracket === "{" && top.key === undefined;
  const typed = { start: Math.min(scan.partStart, offset), end: offset };
  const lineEnd = lineEndAt(text, offset);
  const end =
    isKey && scan.quote === ""
      ? offset + /^[^\s:,#[\]{}]*/.exec(text.slice(offset, lineEnd))![0].length
      : valueEnd(text, offset, lineEnd, scan.quote, true);
  // A value that goes on from the line before is text of the keeper's own; an editor takes completions within a line only.
  if (typed.start < lineStart) return undefined;
  const after = flowAfter(text, end, scan.open.length, flowLimit(text, offset, limitColumn, to));
  const column = /^ */.exec(text.slice(lineStart, offset))![0].length;
  return {
    what: isValue ? "value" : isKey ? "key" : "item",
    pointer: [...pointerOf(frames), ...flowPointer(scan.open)],
    isFlow: true,
    keys: isKey ? [...top.keys, ...after.keys.filter((key) => key !== "")] : [],
    typed,
    replace: { start: typed.start, end },
    quote: scan.quote,
    needsSpace: scan.needsSpace,
    hasColon: /^["']?\s*:(\s|$)/.test(text.slice(end, lineEnd)),
    column,
    step: 2,
    missingBrackets: after.isClosed
      ? ""
      : [...scan.open]
          .reverse()
          .map(({ bracket }) => (bracket === "{" ? "}" : "]"))
          .join(""),
  };
}

/** Where brackets must be closed at the latest: at a line as far left as what holds them, or one with a dash. */
function flowLimit(text: string, offset: number, column: number, to: number): number {
  for (let line = nextLineAt(text, offset); line < to; line = nextLineAt(text, line)) {
    const blanks = /^ */.exec(text.slice(line, line + 200))![0].length;
    const first = text[line + blanks];
    if (first === undefined || first === "\n" || first === "\r" || first === "]" || first === "}") continue;
    if (blanks <= column || /^- /.test(text.slice(line + blanks, line + blanks + 2))) return line;
    if (nextLineAt(text, line) === line) break;
  }
  return to;
}

/** The start of what is typed inside quotes, or of a plain text; undefined after closed quotes, in comments and block text. */
function quotedPart(text: string, start: number, offset: number): { start: number; quote: "" | '"' | "'" } | undefined {
  const written = text.slice(start, offset);
  const first = written[0];
  if (first === '"' || first === "'") {
    const inner = written.slice(1);
    const closed = first === '"' ? /^(?:[^"\\]|\\.)*"/s.test(inner) : /^(?:[^']|'')*'(?!')/.test(inner);
    return closed ? undefined : { start: start + 1, quote: first };
  }
  if (first !== undefined && /[#|>&*!%@`]/.test(first)) return undefined;
  return /\s#/.test(written) ? undefined : { start, quote: "" };
}

/** The end of a value that goes on after the cursor, on the same line. */
function valueEnd(text: string, offset: number, lineEnd: number, quote: string, inFlow: boolean): number {
  const rest = text.slice(offset, lineEnd);
  if (quote !== "") {
    const close = rest.indexOf(quote);
    if (close !== -1) return offset + close;
  }
  const stop = rest.search(inFlow ? /[,\]}]|\s#|:\s/ : /\s#/);
  const part = stop === -1 ? rest : rest.slice(0, stop);
  return offset + part.trimEnd().length;
}

function pointerOf(frames: readonly BlockFrame[]): Pointer {
  return frames.flatMap((frame): (string | number)[] =>
    frame.type === "list" ? [frame.index] : frame.key === undefined ? [] : [frame.key],
  );
}
