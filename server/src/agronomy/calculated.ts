/**
 * What a calculation gives back: a value, or one plain sentence that says why there is none and what to change.
 *
 * Every function of this room that takes figures from outside is total: it never throws and never gives NaN. At the
 * edge of a formula (no plants, all plants, a share of 1) it gives the formula's limit where there is one.
 */
export type Calculated<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly error: string };

export function calculated<T>(value: T): Calculated<T> {
  return { ok: true, value };
}

export function cannot<T>(error: string): Calculated<T> {
  return { ok: false, error };
}

/**
 * A calculation with the numbers written into it, and where its method comes from: the published source, or
 * `common practice, no source`, or `from memory`.
 */
export interface ShownFormula {
  readonly formula: string;
  readonly sources: readonly string[];
}

/** More plants than this at once is a slip of the keyboard, and too many to count through one by one. */
export const MOST_PLANTS = 1e9;

/** Undefined when `value` is a share from 0 to 1, else the sentence that says what is wrong with it. */
export function shareProblem(name: string, value: number): string | undefined {
  if (value >= 0 && value <= 1) return undefined;
  return `The ${name} must be from 0 to 100 %, not ${percentText(value)}.`;
}

/** Undefined when `value` is a whole number from `least` to `most`, else the sentence. */
export function countProblem(name: string, value: number, least = 0, most = MOST_PLANTS): string | undefined {
  if (Number.isInteger(value) && value >= least && value <= most) return undefined;
  if (value > most) return `The ${name} must be at most ${numberText(most)}, not ${numberText(value)}.`;
  return `The ${name} must be a whole number of ${numberText(least)} or more, not ${numberText(value)}.`;
}

/** Undefined when `value` is a finite number above 0 (or 0 too, with `zeroAllowed`), else the sentence. */
export function amountProblem(name: string, value: number, zeroAllowed = false): string | undefined {
  if (Number.isFinite(value) && (value > 0 || (zeroAllowed && value === 0))) return undefined;
  return `The ${name} must be a number ${zeroAllowed ? "of 0 or more" : "above 0"}, not ${numberText(value)}.`;
}

export function finiteProblem(name: string, value: number): string | undefined {
  return Number.isFinite(value) ? undefined : `The ${name} must be a number, not ${numberText(value)}.`;
}

/** The first sentence there is. */
export function firstProblem(...problems: (string | undefined)[]): string | undefined {
  return problems.find((problem) => problem !== undefined);
}

/** A number for people: up to `digits` significant digits, without trailing zeros, whole numbers whole. */
export function numberText(value: number, digits = 4): string {
  if (Number.isNaN(value)) return "nothing that is a number";
  if (!Number.isFinite(value)) return value > 0 ? "endless" : "endlessly below 0";
  if (Number.isInteger(value) && Math.abs(value) < 1e15) return groupedText(value);
  const size = Math.abs(value);
  if (size !== 0 && (size < 1e-6 || size >= 1e15)) return value.toExponential(Math.max(0, digits - 1));
  return size < 1000 ? String(Number(value.toPrecision(digits))) : groupedText(Number(value.toFixed(1)));
}

/** `1 plant`, `1,200 plants` */
export function countText(count: number, singular: string): string {
  return `${numberText(count)} ${singular}${count === 1 ? "" : "s"}`;
}

/** A share from 0 to 1 as `2 %`. */
export function percentText(share: number, digits = 4): string {
  return Number.isFinite(share) ? `${numberText(Number((share * 100).toPrecision(12)), digits)} %` : numberText(share);
}

/** Thousands apart from five digits on: `8095.2`, `46,293.7`. */
function groupedText(value: number): string {
  const [whole = "", ...decimals] = String(Math.abs(value)).split(".");
  const grouped = whole.length < 5 ? whole : whole.replace(/\B(?=(?:\d{3})+$)/g, ",");
  return `${value < 0 ? "-" : ""}${[grouped, ...decimals].join(".")}`;
}
