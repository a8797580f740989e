import type { Span } from "../base/text.ts";
import {
  BYTE_ORDER_MARK,
  COLON,
  COMMA,
  DASH,
  HASH,
  isBreak,
  lineEndAt,
  lineStartAt,
  nextLineAt,
  skipBlanks,
  skipSpaceAndComments,
} from "../syntax/text-scan.ts";
import { keyName } from "../syntax/tree-queries.ts";
import type { ListNode, MapNode, ScalarNode, SyntaxNode } from "../syntax/tree.ts";

/** One level of indentation, in spaces. */
const STEP = 2;

/** Where the keys and dashes of a text belong, and which blanks between its words are to be one space. */
export interface Layout {
  /** By the start of a line whose first word is a key or a dash: the column where that belongs. */
  readonly columns: ReadonlyMap<number, number>;
  /** Blanks after a colon, a comma or a dash, up to what follows on the same line. */
  readonly gaps: readonly Gap[];
  /** Quoted and block texts of several lines: nothing in them is touched. */
  readonly texts: readonly Span[];
  /** Lists and maps in brackets over several lines. */
  readonly brackets: readonly Span[];
}

export interface Gap extends Span {
  /** After the dash of an item that has lines of its own: what follows stands below what stands here. */
  readonly holdsColumn: boolean;
}

/** The layout of one record, its dash at `column`; undefined where it is written in a way too unusual to judge. */
export function layoutOfRecord(text: string, record: SyntaxNode, column: number): Layout | undefined {
  const layout = new LayoutBuilder(text);
  layout.item(skipSpaceAndComments(text, 0), record, column);
  return layout.result();
}

/** The layout of a whole file. The list under `listKey`, where there is one, keeps its dashes in their column. */
export function layoutOfFile(text: string, root: SyntaxNode, listKey: string | undefined): Layout | undefined {
  const layout = new LayoutBuilder(text);
  layout.file(root, listKey);
  return layout.result();
}

class LayoutBuilder {
  readonly #text: string;
  readonly #columns = new Map<number, number>();
  readonly #gaps: Gap[] = [];
  readonly #texts: Span[] = [];
  readonly #brackets: Span[] = [];
  #isUnusual = false;

  constructor(text: string) {
    this.#text = text;
  }

  result(): Layout | undefined {
    if (this.#isUnusual) return undefined;
    return { columns: this.#columns, gaps: this.#gaps, texts: this.#texts, brackets: this.#brackets };
  }

  file(root: SyntaxNode, listKey: string | undefined): void {
    if (root.type !== "map" || root.flow) return this.#value(root, 0);
    for (const { key, value } of root.entries) {
      const keepsColumn = value.type === "list" && !value.flow && keyName(key) === listKey;
      const column = keepsColumn ? columnOf(this.#text, value.span.start) : STEP;
      this.#entry(key, value, 0, column);
    }
  }

  item(dash: number, item: SyntaxNode, column: number): void {
    if (this.#text.charCodeAt(dash) !== DASH) {
      this.#isUnusual = true;
      return;
    }
    this.#place(dash, column);
    const hasLines = (item.type === "map" || item.type === "list") && !item.flow;
    this.#gap(dash + 1, hasLines);
    this.#value(item, column + STEP);
  }

  /** A value whose own keys or dashes belong at `column`. */
  #value(node: SyntaxNode, column: number): void {
    if (node.type === "alias") return;
    if (node.type === "scalar") this.#scalar(node);
    else if (node.flow) this.#flow(node);
    else if (node.type === "map") {
      for (const { key, value } of node.entries) this.#entry(key, value, column, column + STEP);
    } else this.#list(node, column);
  }

  #list(list: ListNode, column: number): void {
    list.items.forEach((item, i) => {
      const dash = i === 0 ? list.span.start : skipSpaceAndComments(this.#text, list.items[i - 1]!.span.end);
      this.item(dash, item, column);
    });
  }

  #entry(key: SyntaxNode, value: SyntaxNode, column: number, inside: number): void {
    const colon = skipBlanks(this.#text, key.span.end);
    // Keys after a question mark, and keys that are no plain word.
    if (key.type !== "scalar" || this.#text.charCodeAt(colon) !== COLON || this.#isAfterQuestionMark(key)) {
      this.#isUnusual = true;
      return;
    }
    this.#place(key.span.start, column);
    this.#gap(colon + 1, false);
    this.#value(value, inside);
  }

  #scalar(node: ScalarNode): void {
    const { start, end } = node.span;
    const lineEnd = lineEndAt(this.#text, start);
    if (node.style === "literal" || node.style === "folded") {
      // Blank lines below may belong to the text.
      this.#texts.push({ start: lineEnd, end: endOfBlankLines(this.#text, Math.max(end, lineEnd)) });
    } else if (lineEnd < end && node.style !== "plain") this.#texts.push({ start, end });
  }

  #flow(node: MapNode | ListNode): void {
    const text = this.#text;
    if (lineEndAt(text, node.span.start) < node.span.end) this.#brackets.push(node.span);
    const children = node.type === "list" ? node.items.map((value) => ({ key: value, value })) : node.entries;
    for (const { key, value } of children) {
      if (key !== value) {
        const colon = skipBlanks(text, key.span.end);
        if (text.charCodeAt(colon) === COLON && value.span.start > colon) this.#gap(colon + 1, false);
        this.#value(key, 0);
      }
      this.#value(value, 0);
      const comma = skipSpaceAndComments(text, Math.max(key.span.end, value.span.end));
      // The comma after a pair without braces (`[a: b, c]`) is that of the list around it.
      if (comma >= node.span.end) continue;
      const next = skipBlanks(text, comma + 1);
      if (text.charCodeAt(comma) === COMMA && text[next] !== "]" && text[next] !== "}") this.#gap(comma + 1, false);
    }
  }

  #place(offset: number, column: number): void {
    const line = lineStartOf(this.#text, offset);
    if (skipBlanks(this.#text, line) === offset) this.#columns.set(line, column);
  }

  #gap(start: number, holdsColumn: boolean): void {
    const end = skipBlanks(this.#text, start);
    const code = this.#text.charCodeAt(end);
    // At the end of a line there is nothing to part; blanks before a comment are the comment's.
    if (end < this.#text.length && !isBreak(code) && !(code === HASH && end > start)) {
      this.#gaps.push({ start, end, holdsColumn });
    }
  }

  #isAfterQuestionMark(key: SyntaxNode): boolean {
    let before = key.span.start;
    while (before > 0 && this.#text.charCodeAt(before - 1) === 32) before--;
    return before < key.span.start && this.#text[before - 1] === "?";
  }
}

/** The start of the line at an offset, after the byte order mark that a file may begin with. */
function lineStartOf(text: string, offset: number): number {
  const line = lineStartAt(text, offset);
  return text.charCodeAt(line) === BYTE_ORDER_MARK ? line + 1 : line;
}

function columnOf(text: string, offset: number): number {
  return offset - lineStartOf(text, offset);
}

/** The end of the last of the blank lines after the line that ends at `lineEnd`. */
function endOfBlankLines(text: string, lineEnd: number): number {
  let end = lineEnd;
  for (let line = nextLineAt(text, end); line > end; line = nextLineAt(text, end)) {
    const content = skipBlanks(text, line);
    if (content < text.length && !isBreak(text.charCodeAt(content))) break;
    end = content;
  }
  return end;
}
