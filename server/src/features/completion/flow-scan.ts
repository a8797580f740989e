import type { Pointer } from "../../records/finding.ts";

/** A `{` or `[` that stands open where the scan ended. */
export interface OpenBracket {
  readonly bracket: "{" | "[";
  /** Keys of a map before the end of the scan, the current one included. */
  readonly keys: readonly string[];
  /** The key whose value is being written; undefined where a key is, or in a list. */
  readonly key: string | undefined;
  /** Which item of a list. */
  readonly index: number;
}

export interface FlowScan {
  /** The offset after the bracket that closes the first one; undefined where it stays open. */
  readonly closedAt: number | undefined;
  readonly open: readonly OpenBracket[];
  /** Where the part being written (a key, a value, an item) starts, blanks left out; undefined where none can be. */
  readonly partStart: number | undefined;
  readonly quote: "" | '"' | "'";
  /** A key stands directly before the end: `key:` without the blank that must follow. */
  readonly needsSpace: boolean;
}

interface Frame {
  bracket: "{" | "[";
  keys: string[];
  key: string | undefined;
  index: number;
  /** The part holds something finished, a closed bracket or quote: nothing more can be written before a comma. */
  done: boolean;
}

/** Reads flow style from the bracket at `start` to `end`, without asking that it be right. */
export function scanFlow(text: string, start: number, end: number): FlowScan {
  const frames: Frame[] = [];
  let part = start;
  const closed = (at: number): FlowScan => ({
    closedAt: at,
    open: [],
    partStart: undefined,
    quote: "",
    needsSpace: false,
  });
  for (let at = start; at < end; at++) {
    const character = text[at]!;
    const top = frames[frames.length - 1];
    if (character === "{" || character === "[") {
      frames.push({ bracket: character, keys: [], key: undefined, index: 0, done: false });
      part = at + 1;
    } else if (character === "}" || character === "]") {
      frames.pop();
      const outer = frames[frames.length - 1];
      if (!outer) return closed(at + 1);
      outer.done = true;
    } else if (!top) return closed(at);
    else if (character === ",") {
      top.key = undefined;
      top.index++;
      top.done = false;
      part = at + 1;
    } else if (character === ":" && top.bracket === "{" && top.key === undefined && endsKey(text, at, end, top.done)) {
      top.key = unquoted(text.slice(part, at).trim());
      top.keys.push(top.key);
      top.done = false;
      part = at + 1;
    } else if ((character === '"' || character === "'") && !top.done && text.slice(part, at).trim() === "") {
      const close = quoteEnd(text, at, end);
      if (close === undefined)
        return { closedAt: undefined, open: frames, partStart: at + 1, quote: character, needsSpace: false };
      top.done = true;
      at = close - 1;
    } else if (character === "#" && /\s/.test(text[at - 1] ?? " ")) {
      const lineEnd = text.slice(at, end).search(/[\r\n]/);
      if (lineEnd === -1)
        return { closedAt: undefined, open: frames, partStart: undefined, quote: "", needsSpace: false };
      at += lineEnd;
    }
  }
  const top = frames[frames.length - 1];
  const blanks = /^\s*/.exec(text.slice(part, end))![0].length;
  const needsSpace = top?.key !== undefined && part === end && text[end - 1] === ":";
  return { closedAt: undefined, open: frames, partStart: top?.done ? undefined : part + blanks, quote: "", needsSpace };
}

/** Keys that follow in the same map after the cursor, and whether the brackets that are open there are closed later. */
export function flowAfter(
  text: string,
  from: number,
  depth: number,
  end: number,
): { keys: string[]; isClosed: boolean } {
  const keys: string[] = [];
  let deeper = 0;
  let part = from;
  for (let at = from; at < end; at++) {
    const character = text[at]!;
    if (character === "{" || character === "[") deeper++;
    else if (character === "}" || character === "]") {
      deeper--;
      if (deeper === -depth) return { keys, isClosed: true };
    } else if (deeper === 0 && character === ",") part = at + 1;
    else if (deeper === 0 && character === ":" && endsKey(text, at, end, false))
      keys.push(unquoted(text.slice(part, at).trim()));
    else if ((character === '"' || character === "'") && /[\s,:[{]/.test(text[at - 1] ?? " "))
      at = (quoteEnd(text, at, end) ?? end) - 1;
  }
  return { keys, isClosed: false };
}

export function flowPointer(open: readonly OpenBracket[]): Pointer {
  return open.flatMap((frame): (string | number)[] =>
    frame.bracket === "[" ? [frame.index] : frame.key === undefined ? [] : [frame.key],
  );
}

/** The offset after the quote that closes the one at `start`, or undefined. */
export function quoteEnd(text: string, start: number, end: number): number | undefined {
  const quote = text[start];
  for (let at = start + 1; at < end; at++) {
    if (text[at] === "\\" && quote === '"') at++;
    else if (text[at] === quote) {
      if (quote === "'" && text[at + 1] === "'" && at + 1 < end) at++;
      else return at + 1;
    }
  }
  return undefined;
}

export function unquoted(key: string): string {
  return key.length > 1 && /^(["']).*\1$/s.test(key) ? key.slice(1, -1) : key;
}

function endsKey(text: string, at: number, end: number, isQuoted: boolean): boolean {
  return isQuoted || at + 1 >= end || /[\s,\]}]/.test(text[at + 1]!);
}
