import type { Span } from "../base/text.ts";
import { findComments } from "../syntax/comments.ts";
import type { SyntaxNode } from "../syntax/tree.ts";

/** `# accept group/name: why`, the keeper's word that a finding is known and right as it is. */
export interface AcceptComment {
  readonly code: string;
  /** Empty where none was given: then nothing is silenced. */
  readonly reason: string;
  readonly span: Span;
}

const ACCEPT = /^#\s*accept\s+([^\s:]+)\s*(?::\s*(.*))?$/;

export function findAcceptComments(text: string, node?: SyntaxNode): AcceptComment[] {
  // Most records have no such comment; the full look is for those that may.
  if (!text.includes("accept") || !text.includes("#")) return [];
  const found: AcceptComment[] = [];
  for (const comment of findComments(text, node)) {
    const parts = ACCEPT.exec(text.slice(comment.span.start, comment.span.end));
    if (parts) found.push({ code: parts[1]!, reason: (parts[2] ?? "").trim(), span: comment.span });
  }
  return found;
}
