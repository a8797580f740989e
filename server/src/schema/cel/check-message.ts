import { oneLine } from "../../base/safe-text.ts";
import { figure } from "../../base/words.ts";
import type { RecordKind } from "../kinds.ts";
import type { RecordFormats } from "../record-format.ts";
import { readCheckValue, type CheckScope } from "./check-expression.ts";

/** What a check of a region's own says, with what stands in braces worked out for the record it is said of. */
export interface CheckMessage {
  text(scope: CheckScope): string;
}

/** More is shown nowhere, and a value in braces that is cut off could not be worked out. */
export const LONGEST_MESSAGE = 400;
const LONGEST_VALUE = 80;
const MOST_VALUES = 8;
const DECIMALS = 3;

/**
 * Reads a message: `{record.area_ha} ha are more than …`. What cannot be told of a record is shown as "not recorded".
 *
 * @returns the message, or what is wrong with it in words that follow "in this message"
 */
export function readCheckMessage(message: string, on: RecordKind, formats: RecordFormats): CheckMessage | string {
  if (message.length > LONGEST_MESSAGE) return `${message.length} characters stand; write ${LONGEST_MESSAGE} at most`;
  const parts = oneLine(message, LONGEST_MESSAGE).split(/\{([^{}]*)\}/);
  if (parts.length > 2 * MOST_VALUES + 1) return `more than ${MOST_VALUES} values stand in braces; leave some out`;
  const values: ((scope: CheckScope) => unknown)[] = [];
  for (const [i, part] of parts.entries()) {
    if (i % 2 === 0) continue;
    const value = readCheckValue(part, on, formats);
    if (typeof value === "string") return `"{${oneLine(part, LONGEST_VALUE)}}" ${value}`;
    values.push(value);
  }
  return {
    text: (scope) => parts.map((part, i) => (i % 2 === 0 ? part : shown(values[(i - 1) / 2]!(scope)))).join(""),
  };
}

function shown(value: unknown): string {
  if (typeof value === "string") return oneLine(value, LONGEST_VALUE);
  if (typeof value === "number") return Number.isFinite(value) ? figure(value, DECIMALS) : "not recorded";
  return typeof value === "bigint" || typeof value === "boolean" ? String(value) : "not recorded";
}
