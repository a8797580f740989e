import type { Span } from "../base/text.ts";
import { MAX_PROBLEMS } from "./limits.ts";
import { DOES_NOT_FIT, INDENTED_LESS, INDENTED_MORE, sentenceFor } from "./sentences.ts";
import type { ReaderError } from "./sentences.ts";
import { isBlank, isBreak, lineEndAt, lineStartAt, nextLineAt, skipBlanks } from "./text-scan.ts";
import type { SyntaxNode, SyntaxProblem } from "./tree.ts";

/**
 * The reader's errors in words for a person who keeps records: one a line, the first, and none on the lines in `told`.
 * A line indented with a tab is told as that, whatever the reader made of it. `root` is the tree that was read all the
 * same.
 */
export function describeBreaks(
  text: string,
  errors: readonly ReaderError[],
  root: SyntaxNode | undefined,
  told: readonly SyntaxProblem[],
): SyntaxProblem[] {
  if (errors.length === 0) return [];
  const byLine = new Map<number, SyntaxProblem>();
  for (const span of tabIndents(text, root)) {
    byLine.set(lineStartAt(text, span.start), { span, message: "this line is indented with a tab; use spaces" });
  }
  const tabLines = new Set(byLine.keys());
  const toldLines = new Set(told.map(({ span }) => lineStartAt(text, span.start)));
  for (const error of errors.slice(0, MAX_PROBLEMS)) {
    const problem = describe(text, error, root);
    const line = lineStartAt(text, problem.span.start);
    // What a tab makes of the line below it is no mistake of its own.
    if (line > 0 && tabLines.has(lineStartAt(text, line - 1))) continue;
    if (!byLine.has(line) && !toldLines.has(line)) byLine.set(line, problem);
  }
  return [...byLine.values()];
}

const MERGE_MARK = /^(?:<{7}|={7}|>{7}|\|{7})/;

function describe(text: string, error: ReaderError, root: SyntaxNode | undefined): SyntaxProblem {
  const sentence = sentenceFor(error);
  const span = placeOf(text, error);
  const line = lineStartAt(text, span.start);
  if (MERGE_MARK.test(text.slice(line, line + 8))) {
    const message = "git left this line where two versions did not merge; keep one version and delete the marked lines";
    return { span: { start: line, end: lineEndAt(text, line) }, message };
  }
  if (/closing ["']quote|end with a/.test(error.message)) {
    return { span: unclosedBefore(text, root, error.pos[0]) ?? span, message: sentence };
  }
  const place = text.slice(span.start, span.end);
  if (/Implicit map keys/.test(error.message) && /^[\w-]+:\S/.test(place)) {
    return { span, message: 'a space is missing after the colon; write it as "key: value"' };
  }
  if (/Nested mappings/.test(error.message)) {
    const runOn = lineRunInto(text, span.start);
    if (runOn) return { span: runOn, message: INDENTED_MORE };
  }
  if (error.code === "BLOCK_IN_FLOW" && !/[\r\n]/.test(place)) {
    return {
      span,
      message: "a comma is missing in this; put one before each key, or put text that holds a colon in quotes",
    };
  }
  if (error.code === "UNEXPECTED_TOKEN" && skipBlanks(text, line) === span.start && sentence === DOES_NOT_FIT) {
    return { span, message: INDENTED_LESS };
  }
  return { span, message: sentence };
}

/** The rest of the line from where the reader stopped, or the last word before it when it stopped at a line's end. */
function placeOf(text: string, { pos }: ReaderError): Span {
  let start = Math.max(0, Math.min(pos[0], text.length));
  const lineEnd = lineEndAt(text, start);
  start = skipBlanks(text, start);
  if (start < lineEnd) {
    if (pos[1] - pos[0] > 1) return { start, end: Math.max(start + 1, Math.min(pos[1], lineEnd)) };
    return { start, end: /[\w"']/.test(text[start]!) ? trimmedEnd(text, start, lineEnd) : start + 1 };
  }
  let end = Math.min(start, text.length);
  while (end > 0 && isBlankOrBreak(text.charCodeAt(end - 1))) end--;
  start = end;
  while (start > 0 && !isBlankOrBreak(text.charCodeAt(start - 1))) start--;
  return { start, end };
}

function isBlankOrBreak(code: number): boolean {
  return isBlank(code) || isBreak(code);
}

/** The end of what is written from `start` on its line, without blanks and a comment after it. */
function trimmedEnd(text: string, start: number, lineEnd: number): number {
  const comment = text.slice(start, lineEnd).search(/[ \t]#/);
  let end = comment === -1 ? lineEnd : start + comment;
  while (end > start + 1 && isBlank(text.charCodeAt(end - 1))) end--;
  return end;
}

/** The later line, up to its colon, that a value at `start` runs into; undefined when the colon is on its own line. */
function lineRunInto(text: string, start: number): Span | undefined {
  const lineEnd = lineEndAt(text, start);
  const colon = /:(?=\s|$)/g;
  colon.lastIndex = start;
  const at = colon.exec(text)?.index;
  if (at === undefined || at < lineEnd) return undefined;
  const line = lineStartAt(text, at);
  return { start: Math.min(skipBlanks(text, line), at), end: at };
}

/** The first line of the last quoted text or bracket before `offset` that nothing closes. */
function unclosedBefore(text: string, root: SyntaxNode | undefined, offset: number): Span | undefined {
  let found: Span | undefined;
  visit(root, (node) => {
    if (node.span.start < offset && isUnclosed(text, node)) found = node.span;
  });
  return (
    found && { start: found.start, end: Math.min(Math.max(found.end, found.start + 1), lineEndAt(text, found.start)) }
  );
}

function isUnclosed(text: string, node: SyntaxNode): boolean {
  const { start, end } = node.span;
  const first = text[start]!;
  const last = end - start > 1 ? text[end - 1] : undefined;
  if (node.type === "scalar") return (node.style === "double" || node.style === "single") && last !== first;
  if (node.type === "alias" || !node.flow) return false;
  return (first === "[" && last !== "]") || (first === "{" && last !== "}");
}

function visit(node: SyntaxNode | undefined, see: (node: SyntaxNode) => void): void {
  if (node === undefined) return;
  see(node);
  if (node.type === "list") for (const item of node.items) visit(item, see);
  if (node.type === "map") {
    for (const { key, value } of node.entries) {
      visit(key, see);
      visit(value, see);
    }
  }
}

/** The tabs that indent a line, outside texts that run over several lines. */
function tabIndents(text: string, root: SyntaxNode | undefined): Span[] {
  if (!text.includes("\t")) return [];
  const found: Span[] = [];
  const inside = multiLineScalars(text, root);
  let next = 0;
  for (let line = 0; line < text.length && found.length < MAX_PROBLEMS; line = nextLineAt(text, line)) {
    const end = skipBlanks(text, line);
    const tab = text.indexOf("\t", line);
    if (tab === -1) break;
    if (tab >= end || end >= text.length || isBreak(text.charCodeAt(end)) || text[end] === "#") continue;
    while (next < inside.length && inside[next]!.end <= line) next++;
    const around = inside[next];
    if (around && around.start < line) continue;
    found.push({ start: tab, end });
  }
  return found;
}

/** The spans of scalars that hold a line break, in the order in which they stand. */
function multiLineScalars(text: string, root: SyntaxNode | undefined): Span[] {
  const spans: Span[] = [];
  visit(root, (node) => {
    if (node.type === "scalar" && lineEndAt(text, node.span.start) < node.span.end) spans.push(node.span);
  });
  return spans;
}
