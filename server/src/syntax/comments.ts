import type { Span } from "../base/text.ts";
import { LF, CR, isBlank, lineEndAt, lineStartAt, startsComment } from "./text-scan.ts";
import type { SyntaxNode } from "./tree.ts";

export interface Comment {
  /** From the `#` to the end of the line, trailing blanks left out. */
  readonly span: Span;
  /** What stands after the `#`, without the blanks around it. */
  readonly text: string;
  /** Where the comment's line starts. */
  readonly lineStart: number;
  /** Whether nothing but white space stands before it on its line. */
  readonly ownLine: boolean;
}

/**
 * The comments of a text, in order: every `#` after white space that stands outside quotes and block text. `root` is
 * the tree of the same text, with the same offsets; without it, nothing is known to be quoted.
 */
export function findComments(text: string, root: SyntaxNode | undefined): Comment[] {
  let at = text.indexOf("#");
  if (at === -1) return [];
  const comments: Comment[] = [];
  const texts = root === undefined ? [] : textsWithHash(text, root);
  let next = 0;
  while (at !== -1) {
    while (next < texts.length && texts[next]!.end <= at) next++;
    const around = texts[next];
    if (around !== undefined && around.start <= at) {
      at = text.indexOf("#", around.end);
    } else if (!startsComment(text, at)) {
      at = text.indexOf("#", at + 1);
    } else {
      const lineEnd = lineEndAt(text, at);
      comments.push(commentAt(text, at, lineEnd));
      at = text.indexOf("#", lineEnd);
    }
  }
  return comments;
}

function commentAt(text: string, start: number, lineEnd: number): Comment {
  let end = lineEnd;
  while (isBlank(text.charCodeAt(end - 1))) end--;
  let before = start;
  while (before > 0 && isBlank(text.charCodeAt(before - 1))) before--;
  const code = text.charCodeAt(before - 1);
  const ownLine = before === 0 || code === LF || code === CR || before === text.indexOf("\uFEFF") + 1;
  return {
    span: { start, end },
    text: text.slice(start + 1, end).trim(),
    lineStart: lineStartAt(text, start),
    ownLine,
  };
}

/** The stretches of quoted and block text that hold a `#`, in the order written. */
function textsWithHash(text: string, root: SyntaxNode): Span[] {
  const spans: Span[] = [];
  const visit = (node: SyntaxNode): void => {
    if (node.type === "scalar") {
      if (node.style === "plain") return;
      const { start, end } = node.span;
      // The header line of a block text may itself carry a comment.
      const from = node.style === "literal" || node.style === "folded" ? lineEndAt(text, start) : start;
      const hash = text.indexOf("#", from);
      if (hash !== -1 && hash < end) spans.push({ start: from, end });
    } else if (node.type === "list") {
      for (const item of node.items) visit(item);
    } else if (node.type === "map") {
      for (const { key, value } of node.entries) {
        visit(key);
        visit(value);
      }
    }
  };
  visit(root);
  return spans;
}
