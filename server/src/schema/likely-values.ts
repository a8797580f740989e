import { closest } from "../base/closest.ts";
import type { ScalarNode } from "../syntax/tree.ts";
import { date as isDate, "date-time-minutes" as isTime } from "./formats.ts";
import { flowText } from "./flow-text.ts";
import type { JsonSchema } from "./json-schema.ts";
import { safePattern } from "./safe-pattern.ts";

const LONGEST = 80;
const NUMBER_AND_UNIT = /^(-?\d+(?:[.,]\d+)?)\s*(?:%|°?[a-zA-Z²/·]{0,12})$/;
const LOOSE_DATE = /^(\d{4})[-/. ]?(\d{1,2})[-/. ](\d{1,2})$|^(\d{4})(\d\d)(\d\d)$/;
const LOOSE_TIME =
  /^(\d{4}[-/. ]\d{1,2}[-/. ]\d{1,2})(?:\s*[Tt]\s*|\s+)(\d{1,2})[:.h](\d\d)(?::\d\d(?:\.\d+)?)?\s*(?:[Zz]|[+-]\d\d:?\d\d)?$/;

/**
 * What the keeper most likely meant by a value that its schema refuses, as text to write in its place; undefined where
 * nothing is plain enough.
 */
export function likelyValue(written: ScalarNode, schema: JsonSchema): string | undefined {
  const text = written.source.trim();
  if (text === "" || text.length > LONGEST) return undefined;
  if (schema.enum) return likelyWord(text, schema.enum);
  if (schema["x-format"]) return likelyTime(text);
  if (schema.format) return likelyDate(text.slice(0, 10)) ?? likelyDate(text);
  if (schema.pattern) return likelyId(text, schema.pattern);
  switch (schema.type) {
    case "boolean":
      return /^(yes|y|on|true)$/i.test(text) ? "true" : /^(no|n|off|false)$/i.test(text) ? "false" : undefined;
    case "integer":
    case "number":
      return likelyNumber(text, schema);
    case "array":
      return likelyList(text, schema);
    default:
      return undefined;
  }
}

function likelyWord(text: string, words: readonly string[]): string | undefined {
  const plain = text.toLowerCase().replace(/[\s_-]+/g, " ");
  return words.find((word) => word.toLowerCase() === plain) ?? closest(text, words);
}

function likelyNumber(text: string, schema: JsonSchema): string | undefined {
  const parts = NUMBER_AND_UNIT.exec(text);
  if (!parts) return undefined;
  const number = parts[1]!.replace(",", ".");
  const value = Number(number);
  const isShare = schema["x-unit"]?.startsWith("share") === true;
  if (isShare && value > 1 && value < 100) return likelyShare(value, parts[0].includes("%"), schema);
  if (schema.type === "integer" && !Number.isInteger(value)) return undefined;
  const { minimum = -Infinity, maximum = Infinity } = schema;
  const isRight = value >= minimum && value <= maximum && value > (schema.exclusiveMinimum ?? -Infinity);
  return isRight && value < (schema.exclusiveMaximum ?? Infinity) ? number : undefined;
}

/**
 * A share that was written as a percentage. Where one near 1 is expected, such as a confidence, a small figure is more likely a
 * slip than a percentage, unless its sign says so.
 */
function likelyShare(value: number, isPercent: boolean, { examples }: JsonSchema): string | undefined {
  const share = Number((value / 100).toFixed(6));
  const example = examples?.[0];
  const isNearOne = typeof example === "number" && example > 0.5;
  return isPercent || !isNearOne || share >= 0.5 ? String(share) : undefined;
}

function likelyDate(text: string): string | undefined {
  const parts = LOOSE_DATE.exec(text);
  if (!parts) return undefined;
  const [year, month, day] = [parts[1] ?? parts[4]!, parts[2] ?? parts[5]!, parts[3] ?? parts[6]!];
  const date = `${year}-${month.padStart(2, "0")}-${day.padStart(2, "0")}`;
  return isDate(date) ? date : undefined;
}

function likelyTime(text: string): string | undefined {
  const parts = LOOSE_TIME.exec(text);
  const day = parts ? likelyDate(parts[1]!) : undefined;
  if (!parts || day === undefined) return undefined;
  const time = `${day}T${parts[2]!.padStart(2, "0")}:${parts[3]!}`;
  return isTime(time) ? time : undefined;
}

function likelyId(text: string, pattern: string): string | undefined {
  const id = text
    .toLowerCase()
    .replace(/[^a-z0-9._/-]+/g, "-")
    .replace(/^[^a-z0-9]+|-+$/g, "");
  const asked = safePattern(pattern);
  return id !== "" && id !== text && typeof asked === "object" && asked.found(id) ? id : undefined;
}

function likelyList(text: string, schema: JsonSchema): string | undefined {
  const item = schema.items || undefined;
  if (item?.type !== "string" || item.enum?.includes(text) === false) return undefined;
  return flowText(text.split(/\s*,\s*/).filter((part) => part !== ""));
}
