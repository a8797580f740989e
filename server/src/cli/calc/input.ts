import type { Calculated } from "../../agronomy/calculated.ts";
import type { ParsedArguments } from "../arguments.ts";
import { CommandFailure } from "../failure.ts";

const NUMBER = /^[-+]?(?:\d{1,30}(?:\.\d{1,30})?|\.\d{1,30})$/;

/** What was typed for a calculation. Every method fails with one plain sentence for what it cannot understand. */
export class CalcInput {
  readonly #args: ParsedArguments;

  constructor(args: ParsedArguments) {
    this.#args = args;
  }

  get positionals(): readonly string[] {
    return this.#args.positionals;
  }

  text(option: string): string | undefined {
    return this.#args.text(option);
  }

  number(option: string): number | undefined {
    return this.#given(option, numberOf);
  }

  /** From 0 to 1, written `2%` or `0.02`. */
  share(option: string): number | undefined {
    return this.#given(option, shareOf);
  }

  /** A strength in percent, written `5.25%` or `0.0525`. */
  percent(option: string): number | undefined {
    return this.#given(option, percentOf);
  }

  /** Written `100,160`. */
  numbers(option: string): readonly number[] | undefined {
    return this.#given(option, (text, name) => listOf(text).map((one) => numberOf(one, name)));
  }

  shares(option: string): readonly number[] | undefined {
    return this.#given(option, (text, name) => listOf(text).map((one) => shareOf(one, name)));
  }

  /** @throws {CommandFailure} for words that are none of the calculation's */
  noPositionals(usage: string): void {
    if (this.positionals.length > 0) {
      throw new CommandFailure(
        `"${this.positionals[0]!}" is not understood here; the figures go into options: ${usage}`,
      );
    }
  }

  #given<T>(option: string, read: (text: string, name: string) => T): T | undefined {
    const text = this.#args.text(option);
    return text === undefined ? undefined : read(text, `--${option}`);
  }
}

export function listOf(text: string): string[] {
  return text.split(",").map((part) => part.trim());
}

export function numberOf(text: string, name: string): number {
  const trimmed = text.trim();
  if (NUMBER.test(trimmed)) return Number(trimmed);
  throw new CommandFailure(`${name} takes a number; "${text}" is none${withPoint(trimmed)}`);
}

function withPoint(text: string): string {
  if (/^\d{1,3}(?:,\d{3}){1,3}$/.test(text)) return `; write ${text.replaceAll(",", "")} without a comma`;
  return /^\d{1,9},\d{1,9} ?%?$/.test(text) ? `; write ${text.replace(",", ".")} with a point` : "";
}

export function shareOf(text: string, name: string): number {
  const { value, isPercent } = percentParts(text, name);
  return isPercent ? value / 100 : value;
}

export function percentOf(text: string, name: string): number {
  const { value, isPercent } = percentParts(text, name);
  return isPercent ? value : Number((value * 100).toPrecision(12));
}

function percentParts(text: string, name: string): { value: number; isPercent: boolean } {
  const trimmed = text.trim();
  const isPercent = trimmed.endsWith("%");
  const digits = isPercent ? trimmed.slice(0, -1).trim() : trimmed;
  if (!NUMBER.test(digits)) {
    throw new CommandFailure(`${name} takes a percentage such as 2% (or 0.02); "${text}" is none${withPoint(trimmed)}`);
  }
  const value = Number(digits);
  // Without the sign, 2 could be 2 % or twice the whole.
  if (!isPercent && value > 1)
    throw new CommandFailure(`${name} takes a percentage; write ${digits}% if that is meant`);
  return { value, isPercent };
}

/** @param how what is meant and how it is written: `a count of a total is written 81/263` */
export function fractionOf(text: string, how: string): readonly [number, number] {
  const parts = text.split("/");
  const [first, second] = parts.map((part) => part.trim());
  if (parts.length !== 2 || !NUMBER.test(first ?? "") || !NUMBER.test(second ?? "")) {
    throw new CommandFailure(`${how}; "${text}" is not`);
  }
  return [Number(first), Number(second)];
}

/** The value, or the calculation's own sentence as the command's failure. */
export function valueOf<T>(result: Calculated<T>): T {
  if (result.ok) return result.value;
  const { error } = result;
  throw new CommandFailure(`${error.charAt(0).toLowerCase()}${error.slice(1).replace(/\.$/, "")}`);
}
