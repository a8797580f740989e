import type { LineIndex } from "../base/line-index.ts";
import { linesOf } from "../rules/publish.ts";
import type { SyntaxNode } from "../syntax/tree.ts";
import type { FeatureContext } from "./context.ts";
import { commentsOf, partsOf, type FilePart } from "./file-parts.ts";

export interface FoldingRange {
  /** Zero-based; the first line stays in sight. */
  readonly startLine: number;
  readonly endLine: number;
  readonly kind: "comment" | "region";
}

/** The file's list, each record, what has lines of its own below a key, texts of several lines, and runs of comments. */
export function foldingRanges(context: FeatureContext): FoldingRange[] {
  const { file } = context;
  const folds = new Folds(linesOf(file));
  let lastContent = 0;
  let listKey: number | undefined;
  for (const part of partsOf(file)) {
    const { root, start, entry } = part;
    if (root) {
      if (entry !== undefined) {
        folds.add(start + root.span.start, start + root.span.end);
        lastContent = start + root.span.end;
      } else if (file.isSliced) listKey = start + root.span.start;
      foldNode(root, start, folds);
    }
    foldComments(part, folds);
  }
  if (listKey !== undefined) folds.add(listKey, lastContent);
  return folds.inOrder();
}

class Folds {
  readonly #lines: LineIndex;
  /** By first line: of two that start on one line an editor shows only one, and the longer is the one to have. */
  readonly #byLine = new Map<number, FoldingRange>();

  constructor(lines: LineIndex) {
    this.#lines = lines;
  }

  add(start: number, end: number, kind: FoldingRange["kind"] = "region"): void {
    const startLine = this.#lines.position(start).line;
    const endLine = this.#lines.position(end).line;
    if (endLine <= startLine || endLine <= (this.#byLine.get(startLine)?.endLine ?? -1)) return;
    this.#byLine.set(startLine, { startLine, endLine, kind });
  }

  inOrder(): FoldingRange[] {
    return [...this.#byLine.values()].sort((a, b) => a.startLine - b.startLine);
  }
}

function foldNode(node: SyntaxNode, start: number, folds: Folds): void {
  if (node.type === "map") {
    for (const { key, value } of node.entries) {
      // A repeat (`*name`) has nothing of its own to fold.
      if (value.type === "alias" || value.span.end <= key.span.start) continue;
      folds.add(start + key.span.start, start + value.span.end);
      foldNode(value, start, folds);
    }
  } else if (node.type === "list") {
    for (const item of node.items) {
      if (item.type === "alias") continue;
      folds.add(start + item.span.start, start + item.span.end);
      foldNode(item, start, folds);
    }
  }
}

function foldComments(part: FilePart, folds: Folds): void {
  let run: { start: number; end: number } | undefined;
  const close = (): void => {
    if (run) folds.add(part.start + run.start, part.start + run.end, "comment");
  };
  for (const { span, lineStart, ownLine } of commentsOf(part)) {
    if (!ownLine) continue;
    const between = run && part.text.slice(run.end, lineStart);
    if (run && between !== undefined && /^[ \t]*(?:\r\n?|\n)$/.test(between)) run.end = span.end;
    else {
      close();
      run = { start: span.start, end: span.end };
    }
  }
  close();
}
