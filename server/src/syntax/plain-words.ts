import type { Span } from "../base/text.ts";
import { isBlank, isBreak, lineEndAt, lineStartAt, nextLineAt, skipBlanks } from "./text-scan.ts";
import type { SyntaxNode, SyntaxProblem } from "./tree.ts";

/** What the tolerant reader reports: a code, its own message, and where. */
export interface ReaderError {
  readonly code: string;
  readonly message: string;
  readonly pos: readonly [number, number];
}

const ANYTHING = /^/;

/** For each code, and where one code covers several mistakes each message, what to tell a person who keeps records. */
const SENTENCES: readonly (readonly [code: string, message: RegExp, sentence: string])[] = [
  [
    "BAD_INDENT",
    /sequence items/,
    "this dash does not stand right under the other dashes of its list; give it the same number of spaces",
  ],
  [
    "BAD_INDENT",
    /end with a \]/,
    'this list has "[" and no "]"; close it, and indent its further lines more than the key it belongs to',
  ],
  [
    "BAD_INDENT",
    /end with a \}/,
    'this group has "{" and no "}"; close it, and indent its further lines more than the key it belongs to',
  ],
  [
    "BAD_INDENT",
    /[Bb]lock scalar/,
    "the empty lines at the start of this text are indented more than the text itself; take their spaces out",
  ],
  [
    "BAD_INDENT",
    ANYTHING,
    "this line does not start in the column of the lines it belongs with; give it the same number of spaces as they have",
  ],
  ["MISSING_CHAR", /closing "quote/, 'this text starts with a " and has no " at its end; add it'],
  ["MISSING_CHAR", /closing 'quote/, "this text starts with a ' and has no ' at its end; add it"],
  ["MISSING_CHAR", /must end with a \]/, 'this list has "[" and no "]"; close it'],
  ["MISSING_CHAR", /must end with a \}/, 'this group has "{" and no "}"; close it'],
  [
    "MISSING_CHAR",
    /Implicit map keys/,
    'this line has no ":" after its key; write it as "key: value", or indent it under the line it continues',
  ],
  [
    "MISSING_CHAR",
    /Sequence item/,
    'this line stands in a list and has no "- " before it; add the dash, or indent the line under the item it belongs to',
  ],
  ["MISSING_CHAR", /Missing , or :/, "a comma or a colon is missing before this"],
  ["MISSING_CHAR", /Missing ,/, "a comma is missing before this"],
  ["MISSING_CHAR", /Missing space after :/, "a space is missing after the colon"],
  ["MISSING_CHAR", /Comments must/, 'a comment needs a space before its "#"; add it, or put the value in quotes'],
  ["MISSING_CHAR", /white space/, "a space is missing before this"],
  [
    "MISSING_CHAR",
    /directives-end/,
    'after lines that start with "%", a line "---" must come before the records; add it, or take those lines out',
  ],
  ["MISSING_CHAR", /newline|same line/, "this list or group must start on a line of its own; move it to the next line"],
  [
    "UNEXPECTED_TOKEN",
    /Unexpected , in/,
    "there is nothing before this comma; take it out, or write the missing value",
  ],
  [
    "UNEXPECTED_TOKEN",
    /Unexpected empty item/,
    "there is nothing between these two commas; take one out, or write the missing value",
  ],
  [
    "UNEXPECTED_TOKEN",
    /Block scalar header/,
    'nothing but a comment may stand on the line after "|" or ">"; start the text on the next line',
  ],
  ["UNEXPECTED_TOKEN", /doc-end/, 'the line "..." ends a document before it has begun; take it out'],
  [
    "UNEXPECTED_TOKEN",
    /document separator|doc-start/,
    'a line "---" stands in the middle of a value; take it out, or close the value before it',
  ],
  [
    "UNEXPECTED_TOKEN",
    /flow-(map|seq)-end|flow-error-end/,
    "this closing bracket closes nothing; take it out, or add the opening one",
  ],
  [
    "UNEXPECTED_TOKEN",
    ANYTHING,
    "this does not fit what stands before it; check the spaces at the start of the line, and the quotes and brackets above it",
  ],
  [
    "BAD_SCALAR_START",
    /start with reserved character/,
    "a value cannot start with this character unless it is in quotes; put the value in quotes",
  ],
  [
    "BAD_SCALAR_START",
    ANYTHING,
    "a value cannot start with this character unless it is in quotes; put the value in quotes",
  ],
  [
    "BLOCK_AS_IMPLICIT_KEY",
    /Nested mappings/,
    'two keys stand on one line; put the second on a line of its own, or put the value in quotes if its ":" is part of the text',
  ],
  ["BLOCK_AS_IMPLICIT_KEY", ANYTHING, "a list stands where a key should; indent it under the key it belongs to"],
  [
    "BLOCK_IN_FLOW",
    ANYTHING,
    'inside "[ ]" and "{ }", lists with dashes and keys on lines of their own cannot be written; use commas',
  ],
  [
    "MULTILINE_IMPLICIT_KEY",
    ANYTHING,
    'this line has no ":" and runs into the next one; add the colon, or indent the line under the one it continues',
  ],
  ["KEY_OVER_1024_CHARS", ANYTHING, "this key is longer than 1024 characters; shorten it"],
  [
    "BAD_DQ_ESCAPE",
    ANYTHING,
    'in double quotes, "\\" must be doubled to stand for itself; write "\\\\", or use single quotes',
  ],
  ["TAB_AS_INDENT", ANYTHING, "this line is indented with a tab; use spaces"],
  ["BAD_ALIAS", ANYTHING, 'a value that starts with "*" or "&" must be in quotes; put the value in quotes'],
  ["ALIAS_PROPS", ANYTHING, "a repeat (*name) cannot be named or marked again; take out what stands before it"],
  ["MULTIPLE_ANCHORS", ANYTHING, "one value has two names (&name); take one out"],
  ["MULTIPLE_TAGS", ANYTHING, "one value has two marks (!…); take one out"],
  ["TAG_RESOLVE_FAILED", ANYTHING, "this mark means nothing in a record; take it out, or put the value in quotes"],
  ["BAD_PROP_ORDER", ANYTHING, "a name (&…) or mark (!…) must stand after the dash or colon, not before it; move it"],
  ["BAD_DIRECTIVE", ANYTHING, 'a line that starts with "%" means nothing in a record file; take it out'],
];

const OTHERWISE =
  "this cannot be read; check the spaces at the start of the line, and the quotes, brackets and colons on it";

/**
 * The reader's errors in words for a person who keeps records: one a line, the first. A line indented with a tab is
 * told as that, whatever the reader made of it. `root` is the tree that was read all the same.
 */
export function describeBreaks(
  text: string,
  errors: readonly ReaderError[],
  root: SyntaxNode | undefined,
): SyntaxProblem[] {
  if (errors.length === 0) return [];
  const byLine = new Map<number, SyntaxProblem>();
  for (const span of tabIndents(text, root)) {
    byLine.set(lineStartAt(text, span.start), { span, message: "this line is indented with a tab; use spaces" });
  }
  for (const error of errors) {
    const span = placeOf(text, error);
    const line = lineStartAt(text, span.start);
    if (!byLine.has(line)) byLine.set(line, { span, message: sentenceFor(error) });
  }
  return [...byLine.values()];
}

function sentenceFor({ code, message }: ReaderError): string {
  for (const [itsCode, pattern, sentence] of SENTENCES) if (itsCode === code && pattern.test(message)) return sentence;
  return OTHERWISE;
}

/** The rest of the line from where the reader stopped, or the last word before it when it stopped at a line's end. */
function placeOf(text: string, { pos }: ReaderError): Span {
  let start = Math.max(0, Math.min(pos[0], text.length));
  const lineEnd = lineEndAt(text, start);
  start = skipBlanks(text, start);
  if (start < lineEnd) return { start, end: Math.max(start + 1, Math.min(pos[1], lineEnd)) };
  let end = Math.min(start, text.length);
  while (end > 0 && (isBlank(text.charCodeAt(end - 1)) || isBreak(text.charCodeAt(end - 1)))) end--;
  start = end;
  while (start > 0 && !isBlank(text.charCodeAt(start - 1)) && !isBreak(text.charCodeAt(start - 1))) start--;
  return { start, end };
}

/** The tabs that indent a line, outside texts that run over several lines. */
function tabIndents(text: string, root: SyntaxNode | undefined): Span[] {
  if (!text.includes("\t")) return [];
  const found: Span[] = [];
  const inside = multiLineScalars(text, root);
  let next = 0;
  for (let line = 0; line < text.length && found.length < 100; line = nextLineAt(text, line)) {
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
  const visit = (node: SyntaxNode): void => {
    if (node.type === "scalar") {
      if (lineEndAt(text, node.span.start) < node.span.end) spans.push(node.span);
    } else if (node.type === "list") node.items.forEach(visit);
    else if (node.type === "map") {
      for (const { key, value } of node.entries) {
        visit(key);
        visit(value);
      }
    }
  };
  if (root) visit(root);
  return spans;
}
