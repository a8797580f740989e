import { RE2JS } from "re2js";

/**
 * Regular expressions that come from a region pack, and so perhaps from a stranger: RE2's language, which is matched in
 * time that grows with the text and not with its powers (no look-around, no back-references), and bounded in size.
 */
export interface SafePattern {
  /** Whether the pattern is found anywhere in the text. A text too long for anything that has a pattern is not. */
  found(text: string): boolean;
}

const LONGEST_PATTERN = 200;
const MOST_STEPS = 1000;
const LONGEST_TEXT = 1000;
const MOST_KEPT = 200;

const TOO_MANY_REPEATS = "repeats too much to be looked for in every record; ask for fewer repeats";

const kept = new Map<string, SafePattern | string>();

/** A pattern, or why it is none, in words that follow "this pattern". */
export function safePattern(text: string): SafePattern | string {
  let pattern = kept.get(text);
  if (pattern === undefined) {
    if (kept.size >= MOST_KEPT) kept.clear();
    kept.set(text, (pattern = compiled(text)));
  }
  return pattern;
}

function compiled(text: string): SafePattern | string {
  if (text.length > LONGEST_PATTERN)
    return `is ${text.length} characters long; write one of ${LONGEST_PATTERN} at most`;
  try {
    const pattern = RE2JS.compile(text);
    if (pattern.programSize() > MOST_STEPS) return TOO_MANY_REPEATS;
    return { found: (value) => value.length <= LONGEST_TEXT && pattern.test(value) };
  } catch (error) {
    if (/invalid repeat count|too large/i.test(String(error))) return TOO_MANY_REPEATS;
    return /\(\?[=!<]|\\[1-9]/.test(text)
      ? "looks ahead or back, or repeats what it found, which could take without end; write it without"
      : "cannot be read; look for a bracket that is not closed or a sign that needs a \\ before it";
  }
}
