import type { Span } from "../base/text.ts";

interface Spanned {
  readonly span: Span;
}

/** An entry of the version before that a slice of the new one goes on from. */
export interface Reusable<E> {
  readonly entry: E;
  readonly sameText: boolean;
}

/**
 * Pairs the slices of a new text with the entries of the old one: the same text from the front and from the back, and what
 * lies between in order. Order is kept, so records never change places by being reused.
 */
export function reusableEntries<E extends Spanned>(
  text: string,
  spans: readonly Span[],
  previous: { readonly text: string; readonly entries: readonly E[] } | undefined,
): (Reusable<E> | undefined)[] {
  const result: (Reusable<E> | undefined)[] = new Array(spans.length).fill(undefined);
  if (!previous) return result;
  const old = previous.entries;
  const { prefix, suffix } = commonEnds(previous.text, text);
  const shift = text.length - previous.text.length;
  const sameFront = ({ span: was }: E, span: Span): boolean =>
    was.start === span.start && was.end === span.end && span.end <= prefix;
  const sameBack = ({ span: was }: E, span: Span): boolean =>
    was.start + shift === span.start && was.end + shift === span.end && text.length - span.start <= suffix;
  let front = 0;
  while (front < spans.length && front < old.length && sameFront(old[front]!, spans[front]!)) {
    result[front] = { entry: old[front]!, sameText: true };
    front++;
  }
  let back = 0;
  while (
    back < spans.length - front &&
    back < old.length - front &&
    sameBack(old[old.length - 1 - back]!, spans[spans.length - 1 - back]!)
  ) {
    result[spans.length - 1 - back] = { entry: old[old.length - 1 - back]!, sameText: true };
    back++;
  }
  if (spans.length - front - back === old.length - front - back) {
    for (let i = front; i < spans.length - back; i++) result[i] = { entry: old[i]!, sameText: false };
  }
  return result;
}

const STRIDE = 1 << 14;

/** How many characters two texts have in common at their beginnings, and how many at their ends. */
function commonEnds(a: string, b: string): { readonly prefix: number; readonly suffix: number } {
  const most = Math.min(a.length, b.length);
  // Strings compare many times faster than one character at a time: that is for the stretch in which they part.
  let prefix = 0;
  while (prefix + STRIDE <= most && a.slice(prefix, prefix + STRIDE) === b.slice(prefix, prefix + STRIDE))
    prefix += STRIDE;
  while (prefix < most && a.charCodeAt(prefix) === b.charCodeAt(prefix)) prefix++;
  let suffix = 0;
  const ending = (text: string, length: number): string =>
    text.slice(text.length - length - STRIDE, text.length - length);
  while (suffix + STRIDE <= most && ending(a, suffix) === ending(b, suffix)) suffix += STRIDE;
  while (suffix < most && a.charCodeAt(a.length - 1 - suffix) === b.charCodeAt(b.length - 1 - suffix)) suffix++;
  return { prefix, suffix };
}
