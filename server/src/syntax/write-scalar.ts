import { resolvePlain } from "./scalars.ts";
import type { ScalarValue } from "./scalars.ts";
import type { PlainValue } from "./tree-queries.ts";
import type { ScalarStyle } from "./tree.ts";

/** Where a value is written: between brackets, commas end it. */
export type WritingContext = "flow" | "block";

/** Characters that only double quotes can hold: controls, line ends of any kind, byte order marks, lone surrogates. */
const NEEDS_ESCAPE =
  // eslint-disable-next-line no-control-regex
  /[\0-\x1F\x7F-\x9F\u2028\u2029\uD800-\uDFFF\uFEFF\uFFFE\uFFFF]/u;
/** Characters with a meaning of their own at the start of a plain value. */
const INDICATOR_FIRST = /^[-?:,[\]{}#&*!|>'"%@`]/;
const ENDS_PLAIN = /^[ ]|[ ]$|: |:$| #|^\.\.\./;
const ENDS_PLAIN_IN_FLOW = /[,[\]{}]/;

/**
 * Writes a value on one line, so that it reads back as exactly that value. `style` is kept where it can be: a text that
 * needs quotes, or a number where quotes stood, is written as it has to be.
 */
export function writeScalar(
  value: ScalarValue,
  style: ScalarStyle = "plain",
  context: WritingContext = "block",
): string {
  if (typeof value !== "string") return writeNonText(value);
  if (style === "double" || NEEDS_ESCAPE.test(value)) return inDoubleQuotes(value);
  if (style === "single" || !canBePlain(value, context)) {
    return style !== "single" && value.includes("'") ? inDoubleQuotes(value) : `'${value.replaceAll("'", "''")}'`;
  }
  return value;
}

/** Writes any JSON value on one line, maps and lists in brackets. */
export function writeValue(value: PlainValue, context: WritingContext = "block"): string {
  if (Array.isArray(value)) return `[${value.map((item) => writeValue(item, "flow")).join(", ")}]`;
  if (typeof value !== "object" || value === null) return writeScalar(value, "plain", context);
  const entries = Object.entries(value).map(([key, item]) => writeEntry(key, item, "flow"));
  return entries.length === 0 ? "{}" : `{ ${entries.join(", ")} }`;
}

/** Writes `key: value` on one line. */
export function writeEntry(key: string, value: PlainValue, context: WritingContext): string {
  return `${writeKey(key, context)}: ${writeValue(value, context)}`;
}

/** Writes a record as lines of `key: value`, without a dash and without indentation, with LF between the lines. */
export function writeRecord(record: Readonly<Record<string, PlainValue>>): string {
  return Object.entries(record)
    .map(([key, value]) => writeEntry(key, value, "block"))
    .join("\n");
}

/** A key is known by its text, so that `null` and `12` need no quotes as keys. */
function writeKey(key: string, context: WritingContext): string {
  return NEEDS_ESCAPE.test(key) || !hasPlainForm(key, context) ? writeScalar(key, "plain", context) : key;
}

function writeNonText(value: number | boolean | null): string {
  if (typeof value !== "number") return String(value);
  if (Number.isNaN(value)) return ".nan";
  if (value === Infinity) return ".inf";
  if (value === -Infinity) return "-.inf";
  return Object.is(value, -0) ? "-0" : String(value);
}

function canBePlain(value: string, context: WritingContext): boolean {
  return hasPlainForm(value, context) && resolvePlain(value) === value;
}

function hasPlainForm(value: string, context: WritingContext): boolean {
  if (value === "" || INDICATOR_FIRST.test(value) || ENDS_PLAIN.test(value)) return false;
  return context === "block" || !ENDS_PLAIN_IN_FLOW.test(value);
}

function inDoubleQuotes(value: string): string {
  let written = '"';
  for (const character of value) {
    if (character === '"' || character === "\\") written += `\\${character}`;
    else if (NEEDS_ESCAPE.test(character)) written += escaped(character);
    else written += character;
  }
  return `${written}"`;
}

function escaped(character: string): string {
  switch (character) {
    case "\n":
      return "\\n";
    case "\r":
      return "\\r";
    case "\t":
      return "\\t";
    default:
      return `\\u${character.charCodeAt(0).toString(16).padStart(4, "0")}`;
  }
}

/**
 * Writes a text of several lines as block text, header line included, with every line after it indented by `indent`
 * spaces; undefined when block text cannot hold it safely (it would depend on blanks at line ends, on empty lines at
 * its start or end, or on characters that need escaping).
 */
export function writeLiteral(value: string, indent: number, lineEnding: string): string | undefined {
  const chomped = value.endsWith("\n") ? value.slice(0, -1) : value;
  const lines = chomped.split("\n");
  if (indent < 1 || lines[0] === "" || /^[ ]/.test(value) || lines[lines.length - 1] === "") return undefined;
  if (lines.some((line) => NEEDS_ESCAPE.test(line) || line.endsWith(" "))) return undefined;
  const header = chomped === value ? "|-" : "|";
  const margin = " ".repeat(indent);
  return [header, ...lines.map((line) => (line === "" ? "" : margin + line))].join(lineEnding);
}
