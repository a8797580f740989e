import { formatDay, parseDay } from "../base/days.ts";
import { closest } from "../base/closest.ts";
import { CommandFailure } from "./failure.ts";

export interface OptionDescription {
  readonly type: "string" | "boolean";
  /** How help names the option's value. */
  readonly value?: string;
  readonly help: string;
  readonly choices?: readonly string[];
}

export interface ParsedArguments {
  readonly positionals: readonly string[];
  readonly text: (name: string) => string | undefined;
  readonly flag: (name: string) => boolean;
}

/**
 * Options in any order, as `--name value` or `--name=value`; everything else is positional, and so is all after a bare `--`.
 * A number below 0 is a value like any other, not an option.
 *
 * @throws {CommandFailure} for an option that is unknown, lacks its value, or has one that is not offered
 */
export function parseArguments(
  args: readonly string[],
  options: Readonly<Record<string, OptionDescription>>,
): ParsedArguments {
  const values = new Map<string, string | true>();
  const positionals: string[] = [];
  for (let i = 0; i < args.length; i++) {
    const arg = args[i]!;
    if (arg === "--") {
      positionals.push(...args.slice(i + 1));
      break;
    }
    if (!isOption(arg)) {
      positionals.push(arg);
      continue;
    }
    const equals = arg.indexOf("=");
    const name = arg.slice(arg.startsWith("--") ? 2 : 1, equals < 0 ? undefined : equals);
    const option = arg.startsWith("--") && Object.hasOwn(options, name) ? options[name] : undefined;
    if (!option) throw new CommandFailure(noSuchOption(arg, name, options));
    if (option.type === "boolean") {
      if (equals >= 0) throw new CommandFailure(`--${name} takes no value`);
      values.set(name, true);
      continue;
    }
    const value = equals >= 0 ? arg.slice(equals + 1) : args[i + 1];
    if (value === undefined || (equals < 0 && isOption(value))) {
      throw new CommandFailure(`--${name} needs a value: --${name} ${option.value ?? "VALUE"}`);
    }
    if (equals < 0) i++;
    if (option.choices && !option.choices.includes(value)) {
      throw new CommandFailure(`--${name} is one of ${option.choices.join(", ")}; "${value}" is none of them`);
    }
    values.set(name, value);
  }
  return {
    positionals,
    text: (name) => {
      const value = values.get(name);
      return value === true ? undefined : value;
    },
    flag: (name) => values.get(name) === true,
  };
}

function isOption(arg: string): boolean {
  return arg.length > 1 && arg.startsWith("-") && !/^-[\d.]/.test(arg);
}

function noSuchOption(arg: string, name: string, options: Readonly<Record<string, OptionDescription>>): string {
  const said = `there is no option ${arg.split("=")[0]!}`;
  // `--json`, where `--format json` is meant.
  const choice = Object.entries(options).find(([, { choices }]) => choices?.includes(name));
  const meant = choice ? `${choice[0]} ${name}` : closest(name, Object.keys(options));
  return meant === undefined ? said : `${said}; did you mean --${meant}?`;
}

export const AS_OF_OPTION: OptionDescription = {
  type: "string",
  value: "DATE",
  help: "the day to judge by instead of today; later records are left out",
};

/** The day asked for by `--as-of`, or today. */
export function asOfDay(text: string | undefined, today: number): number {
  return dayOption("as-of", text, today) ?? today;
}

/** @param example a day to show how one is written */
export function dayOption(name: string, text: string | undefined, example: number): number | undefined {
  if (text === undefined) return undefined;
  const day = parseDay(text);
  if (day === undefined) {
    throw new CommandFailure(`--${name} takes a day of the calendar such as ${formatDay(example)}; "${text}" is none`);
  }
  return day;
}
