import { MAX_TEXT_LENGTH, MAX_TOLERANT_LENGTH, MAX_PROBLEMS } from "./limits.ts";
import { readFast } from "./read-fast.ts";
import { readTolerant } from "./read-tolerant.ts";
import type { ParsePath, SyntaxProblem, SyntaxTree } from "./tree.ts";

/**
 * Characters that YAML does not allow in a text (yaml.org/spec/1.2.2, section 5.1): control characters, halves of
 * surrogate pairs, and a byte order mark anywhere but at the start.
 */
const FORBIDDEN =
  // eslint-disable-next-line no-control-regex
  /[\0-\x08\x0B\x0C\x0E-\x1F\x7F-\x84\x86-\x9F\uD800-\uDFFF\uFFFE\uFFFF]|(?<!^)\uFEFF/u;
const REPLACEMENT = "\uFFFD";

/**
 * Reads a YAML text. Never throws, for any string: what cannot be read is told in `problems`, ordered by place, and the
 * tree holds the rest.
 *
 * A well-formed text takes the fast way; one that is refused is read again by the tolerant reader. `path` picks one way,
 * for tests and measurements; `levelsAround` is the number of levels that a part of a larger text lies inside already.
 */
export function parseText(text: string, path: ParsePath = "fast then tolerant", levelsAround = 0): SyntaxTree {
  if (text.length > MAX_TEXT_LENGTH) {
    const limit = MAX_TEXT_LENGTH / 1_000_000;
    const message = `this file is longer than ${limit} million characters and is not read; split it into several files`;
    return { root: undefined, problems: [{ span: { start: 0, end: 0 }, message }] };
  }
  try {
    return inOrder(read(text, path, levelsAround));
  } catch {
    return unreadable(0, "this text cannot be read; check its first lines");
  }
}

function read(text: string, path: ParsePath, levelsAround: number): SyntaxTree {
  const forbidden = FORBIDDEN.test(text);
  let refusal: SyntaxTree | undefined;
  if (path !== "tolerant" && !forbidden) {
    try {
      return readFast(text, levelsAround);
    } catch (error) {
      refusal = refusalOf(text, error);
      if (path === "fast" || text.length > MAX_TOLERANT_LENGTH) return refusal;
    }
  }
  if (text.length > MAX_TOLERANT_LENGTH) {
    return unreadable(Math.max(0, text.search(FORBIDDEN)), FORBIDDEN_MESSAGE);
  }
  const problems: SyntaxProblem[] = [];
  const readable = forbidden ? replaceForbidden(text, problems) : text;
  // The tolerant reader takes no lone carriage return for a line break; a line feed in its place moves nothing.
  const lines = readable.includes("\r") ? readable.replace(/\r(?!\n)/g, "\n") : readable;
  const tree = readTolerant(lines, levelsAround);
  problems.push(...tree.problems);
  // A text that is refused never passes without a word, even where the tolerant reader sees nothing wrong.
  if (problems.length === 0 && refusal !== undefined) problems.push(...refusal.problems);
  return { root: tree.root, problems };
}

/** Whether a text is well-formed YAML. */
export function isWellFormed(text: string): boolean {
  if (text.length > MAX_TEXT_LENGTH || FORBIDDEN.test(text)) return false;
  try {
    readFast(text, 0);
    return true;
  } catch {
    return false;
  }
}

const FORBIDDEN_MESSAGE = "a character stands here that cannot be seen and is not allowed in a record; delete it";

/** Puts a visible character in the place of each forbidden one, so that no offset moves. */
function replaceForbidden(text: string, problems: SyntaxProblem[]): string {
  return text.replace(new RegExp(FORBIDDEN, "gu"), (found, at: number) => {
    if (problems.length < MAX_PROBLEMS) {
      problems.push({ span: { start: at, end: at + found.length }, message: FORBIDDEN_MESSAGE });
    }
    return REPLACEMENT;
  });
}

function unreadable(at: number, message: string): SyntaxTree {
  return { root: undefined, problems: [{ span: { start: at, end: at }, message }] };
}

/** Where the fast reader stopped; why is told only where the tolerant reader would not notice. */
function refusalOf(text: string, error: unknown): SyntaxTree {
  const { mark, reason } = error as { mark?: { position?: unknown }; reason?: unknown };
  const at = typeof mark?.position === "number" ? Math.min(mark.position, text.length) : 0;
  const message =
    reason === "deficient indentation"
      ? "this line must be indented more than the key it belongs to; put more spaces before it"
      : "the text cannot be read from here on; the mistake is here or just above";
  return unreadable(at, message);
}

function inOrder(tree: SyntaxTree): SyntaxTree {
  if (tree.problems.length < 2) return tree;
  return { root: tree.root, problems: [...tree.problems].sort((a, b) => a.span.start - b.span.start) };
}
