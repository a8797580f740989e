import type { Span, TextEdit } from "../../base/text.ts";
import type { BookEdit } from "../context.ts";

/** Both edits as one; undefined where they touch the same stretch of a text, or would each make the same file. */
export function joinEdits(first: BookEdit, second: BookEdit): BookEdit | undefined {
  const joined = new Map(first);
  for (const [path, edits] of second) {
    const known = joined.get(path) ?? [];
    if (edits.some((edit) => known.some((other) => areInTheWay(edit, other)))) return undefined;
    joined.set(path, [...known, ...edits]);
  }
  return joined;
}

function areInTheWay(a: TextEdit, b: TextEdit): boolean {
  // Two insertions at one place stand one after the other; at the start of a text, each would begin the file anew.
  if (isInsertion(a) && isInsertion(b)) return a.span.start === b.span.start && a.span.start === 0;
  return a.span.start <= b.span.end && b.span.start <= a.span.end;
}

function isInsertion({ span }: TextEdit): boolean {
  return span.start === span.end;
}

/** Where a word that an edit writes stands afterwards. */
export function placeAfterEdits(edit: BookEdit, word: string): { path: string; span: Span } | undefined {
  for (const [path, edits] of edit) {
    let moved = 0;
    for (const { span, newText } of [...edits].sort((a, b) => a.span.start - b.span.start)) {
      const at = newText.indexOf(word);
      if (at !== -1) {
        const start = span.start + moved + at;
        return { path, span: { start, end: start + word.length } };
      }
      moved += newText.length - (span.end - span.start);
    }
  }
  return undefined;
}
