/** Small walks over a text, shared by both ways of reading and by the edits. Offsets are UTF-16 code units. */

const TAB = 9;
export const LF = 10;
export const CR = 13;
export const SPACE = 32;
export const HASH = 35;
export const COMMA = 44;
export const DASH = 45;
export const DOT = 46;
export const COLON = 58;
export const QUESTION_MARK = 63;
export const BYTE_ORDER_MARK = 0xfeff;

export function isBlank(code: number): boolean {
  return code === SPACE || code === TAB;
}

export function isBreak(code: number): boolean {
  return code === LF || code === CR;
}

/** A blank, a line break, or the end of the text (`charCodeAt` gives NaN there). */
export function isSpaceOrEnd(code: number): boolean {
  return code === SPACE || code === LF || code === CR || code === TAB || code !== code;
}

/**
 * The start of the line that `offset` is on; a line break, both parts of a CRLF included, is on the line it ends. A byte
 * order mark counts as part of its line.
 */
export function lineStartAt(text: string, offset: number): number {
  let at = text.charCodeAt(offset) === LF && text.charCodeAt(offset - 1) === CR ? offset - 1 : offset;
  while (at > 0 && !isBreak(text.charCodeAt(at - 1))) at--;
  return at;
}

/** The offset of the line break that ends the line at `offset`, or the end of the text. */
export function lineEndAt(text: string, offset: number): number {
  let at = offset;
  while (at < text.length && !isBreak(text.charCodeAt(at))) at++;
  return at;
}

/** The offset after the line break at `offset` (LF, CRLF or CR), or `offset` when there is none. */
function skipBreak(text: string, offset: number): number {
  const code = text.charCodeAt(offset);
  if (code === LF) return offset + 1;
  if (code !== CR) return offset;
  return text.charCodeAt(offset + 1) === LF ? offset + 2 : offset + 1;
}

/** The start of the line after the one at `offset`, or the end of the text. */
export function nextLineAt(text: string, offset: number): number {
  return skipBreak(text, lineEndAt(text, offset));
}

/** The first offset from `offset` on that is not a blank. */
export function skipBlanks(text: string, offset: number): number {
  let at = offset;
  while (isBlank(text.charCodeAt(at))) at++;
  return at;
}

/** The first offset from `offset` on that is neither blank, line break nor comment. */
export function skipSpaceAndComments(text: string, offset: number): number {
  let at = offset;
  for (;;) {
    const code = text.charCodeAt(at);
    if (code === SPACE || code === LF || code === CR || code === TAB || (code === BYTE_ORDER_MARK && at === 0)) at++;
    else if (code === HASH && startsComment(text, at)) at = lineEndAt(text, at);
    else return at;
  }
}

/** Whether the `#` at `offset`, if it stands outside quotes and block text, starts a comment. */
export function startsComment(text: string, offset: number): boolean {
  if (offset === 0) return true;
  const before = text.charCodeAt(offset - 1);
  return isSpaceOrEnd(before) || (offset === 1 && before === BYTE_ORDER_MARK);
}

/** Whether a line that starts at `offset` is a document marker: `---` or `...` alone or before white space. */
export function isDocumentMarker(text: string, offset: number): boolean {
  const code = text.charCodeAt(offset);
  if (code !== DASH && code !== DOT) return false;
  if (text.charCodeAt(offset + 1) !== code || text.charCodeAt(offset + 2) !== code) return false;
  return isSpaceOrEnd(text.charCodeAt(offset + 3));
}

/**
 * Where a block scalar ends: after the last line between its header and `limit` that holds anything but white space,
 * without that line's break; an empty block ends with its header line.
 */
export function blockScalarEnd(text: string, headerStart: number, limit: number): number {
  const headerEnd = lineEndAt(text, headerStart);
  let at = Math.min(limit, text.length);
  while (at > headerEnd && isSpaceOrEnd(text.charCodeAt(at - 1))) at--;
  return at <= headerEnd ? headerEnd : Math.min(lineEndAt(text, at), limit);
}

/** A copy: a slice of a string keeps the whole string alive, and with it an old version of a whole file. */
export function copyOf(slice: string): string {
  return ` ${slice}`.slice(1);
}
