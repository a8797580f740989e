/** What the tolerant reader reports: a code, its own message, and where. */
export interface ReaderError {
  readonly code: string;
  readonly message: string;
  readonly pos: readonly [number, number];
}

const ANYTHING = /^/;

export const INDENTED_LESS =
  "this line is indented less than the lines it belongs with, or does not belong here; give it the same number of spaces as they have";
export const INDENTED_MORE =
  "this line is indented more than the lines it belongs with; give it the same number of spaces as they have";
export const DOES_NOT_FIT =
  "this does not fit what stands before it; check the spaces at the start of the line, and the quotes and brackets above it";

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
    'this line is indented less than the list item it belongs to; give it the same number of spaces as the lines above it, or start it with "- " if it is an item of its own',
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
  ["UNEXPECTED_TOKEN", ANYTHING, DOES_NOT_FIT],
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
  [
    "BLOCK_AS_IMPLICIT_KEY",
    ANYTHING,
    "this dash stands under no other dash of its list; give it the same number of spaces as they have",
  ],
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

export function sentenceFor({ code, message }: ReaderError): string {
  for (const [itsCode, pattern, sentence] of SENTENCES) if (itsCode === code && pattern.test(message)) return sentence;
  return OTHERWISE;
}
