import type { Position, Range, Span } from "./text.ts";

/**
 * Where each line of a text starts. Lines end at LF, CRLF or a lone CR, as in the Language Server Protocol.
 */
export class LineIndex {
  readonly #starts: number[] = [0];
  readonly #text: string;
  readonly #length: number;

  constructor(text: string) {
    this.#text = text;
    this.#length = text.length;
    for (let i = 0; i < text.length; i++) {
      const code = text.charCodeAt(i);
      if (code === 10 || (code === 13 && text.charCodeAt(i + 1) !== 10)) this.#starts.push(i + 1);
    }
  }

  get lineCount(): number {
    return this.#starts.length;
  }

  /** The offset at which a line starts; past the last line, the end of the text. */
  lineStart(line: number): number {
    return this.#starts[line] ?? this.#length;
  }

  /** Offsets outside the text are taken to its nearest end. */
  position(offset: number): Position {
    const at = Math.max(0, Math.min(offset, this.#length));
    let low = 0;
    let high = this.#starts.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (this.#starts[middle]! <= at) low = middle;
      else high = middle - 1;
    }
    return { line: low, character: at - this.#starts[low]! };
  }

  /** Positions outside the text are taken to its nearest place, as the protocol asks. */
  offset(position: Position): number {
    if (position.line < 0) return 0;
    if (position.line >= this.#starts.length) return this.#length;
    const start = this.#starts[position.line]!;
    return Math.max(start, Math.min(start + position.character, this.#lineEnd(position.line)));
  }

  /** Before what ends the line. */
  #lineEnd(line: number): number {
    const next = this.#starts[line + 1];
    if (next === undefined) return this.#length;
    return this.#text.startsWith("\r\n", next - 2) ? next - 2 : next - 1;
  }

  range(span: Span): Range {
    return { start: this.position(span.start), end: this.position(span.end) };
  }
}
