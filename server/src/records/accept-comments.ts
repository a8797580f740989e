import type { Span } from "../base/text.ts";
import { findComments } from "../syntax/comments.ts";
import type { SyntaxNode } from "../syntax/tree.ts";

/** `# accept group/name: why`, the keeper's word that a finding is known and right as it is. */
export interface AcceptComment {
  readonly code: string;
  /** Empty where none was given after a colon: then nothing is silenced. */
  readonly reason: string;
  /** Nothing but the comment stands on its line. */
  readonly ownLine: boolean;
  readonly span: Span;
}

const ACCEPT = /^#\s*accept\s+([^\s:]+)\s*(?::\s*(.*))?$/;
/** A code and no colon after it: meant as one, and silencing nothing. Other words after `accept` are the keeper's own. */
const WITHOUT_COLON = /^#\s*accept\s+([a-z][\w-]*\/[\w-]+)/;

export function findAcceptComments(text: string, node?: SyntaxNode): AcceptComment[] {
  // Most records have no such comment; the full look is for those that may.
  if (!text.includes("accept") || !text.includes("#")) return [];
  const found: AcceptComment[] = [];
  for (const comment of findComments(text, node)) {
    const written = text.slice(comment.span.start, comment.span.end);
    const parts = ACCEPT.exec(written) ?? WITHOUT_COLON.exec(written);
    const { span, ownLine } = comment;
    if (parts) found.push({ code: parts[1]!, reason: (parts[2] ?? "").trim(), span, ownLine });
  }
  return found;
}
