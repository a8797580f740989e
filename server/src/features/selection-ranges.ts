import type { Span } from "../base/text.ts";
import type { SyntaxNode } from "../syntax/tree.ts";
import type { FeatureContext } from "./context.ts";
import { partsOf } from "./file-parts.ts";

/**
 * What a growing selection takes in from an offset on, the innermost first, each larger than the one before: the word, the
 * text between the quotes, the value, the key with its value, the map or list around it, the record with the comments above
 * it, and the file.
 */
export function selectionRanges(context: FeatureContext, at: number): Span[] {
  const { file } = context;
  const offset = Math.max(0, Math.min(at, file.text.length));
  const outward: Span[] = [{ start: 0, end: file.text.length }];
  for (const { root, start, entry, text } of partsOf(file, { start: offset, end: offset })) {
    if (offset < start || offset > start + text.length) continue;
    if (entry !== undefined) outward.push({ start, end: start + text.trimEnd().length });
    if (root) descend(root, offset - start, start, file.text, outward);
  }
  const word = wordAt(file.text, offset);
  if (word) outward.push(word);
  return chainOf(outward, offset);
}

function descend(node: SyntaxNode, at: number, start: number, text: string, outward: Span[]): void {
  const push = (span: Span): void => void outward.push({ start: span.start + start, end: span.end + start });
  if (!holds(node.span, at)) return;
  push(node.span);
  if (node.type === "map") {
    for (const { key, value } of node.entries) {
      const whole = { start: key.span.start, end: Math.max(key.span.end, value.span.end) };
      if (!holds(whole, at)) continue;
      push(whole);
      descend(holds(key.span, at) ? key : value, at, start, text, outward);
      return;
    }
  } else if (node.type === "list") {
    const item = node.items.find(({ span }) => holds(span, at));
    if (item) descend(item, at, start, text, outward);
  } else if (node.type === "scalar" && (node.style === "single" || node.style === "double")) {
    push({ start: node.span.start + 1, end: node.span.end - 1 });
  }
}

function holds(span: Span, at: number): boolean {
  return span.start <= at && at <= span.end;
}

const WORD = /[\p{L}\p{N}_]/u;
const LONGEST_WORD = 200;

/** The letters and digits around an offset. */
function wordAt(text: string, at: number): Span | undefined {
  let start = at;
  let end = at;
  while (start > 0 && at - start < LONGEST_WORD && isWordEndingAt(text, start)) start -= widthBefore(text, start);
  while (end < text.length && end - at < LONGEST_WORD && WORD.test(String.fromCodePoint(text.codePointAt(end)!)))
    end += text.codePointAt(end)! > 0xffff ? 2 : 1;
  return end > start ? { start, end } : undefined;
}

function widthBefore(text: string, at: number): number {
  const code = text.charCodeAt(at - 1);
  return code >= 0xdc00 && code <= 0xdfff && at > 1 ? 2 : 1;
}

function isWordEndingAt(text: string, at: number): boolean {
  const width = widthBefore(text, at);
  return WORD.test(text.slice(at - width, at));
}

/** From the inside out, leaving out what is no larger than what it holds or does not hold it. */
function chainOf(outward: readonly Span[], at: number): Span[] {
  const chain: Span[] = [];
  let inner: Span = { start: at, end: at };
  for (const span of [...outward].reverse()) {
    const isLarger = span.end - span.start > inner.end - inner.start || chain.length === 0;
    if (span.start > inner.start || span.end < inner.end || !isLarger) continue;
    chain.push(span);
    inner = span;
  }
  return chain;
}
