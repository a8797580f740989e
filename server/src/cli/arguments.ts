import { parseArgs } from "node:util";
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

/** @throws {CommandFailure} for an option that is unknown, lacks its value, or has one that is not offered */
export function parseArguments(
  args: readonly string[],
  options: Readonly<Record<string, OptionDescription>>,
): ParsedArguments {
  for (const arg of args) {
    if (arg === "--") break;
    if (!arg.startsWith("--")) continue;
    const name = arg.slice(2).split("=")[0]!;
    if (Object.hasOwn(options, name)) continue;
    const meant = closest(name, Object.keys(options));
    throw new CommandFailure(`there is no option --${name}${meant ? `; did you mean --${meant}?` : ""}`);
  }
  let parsed;
  try {
    const known = Object.fromEntries(Object.entries(options).map(([name, { type }]) => [name, { type }]));
    parsed = parseArgs({ args: [...args], options: known, allowPositionals: true, strict: true });
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error);
    throw new CommandFailure(message.split("\n")[0]!);
  }
  const values = parsed.values as Record<string, string | boolean | undefined>;
  for (const [name, { choices }] of Object.entries(options)) {
    const value = values[name];
    if (choices && typeof value === "string" && !choices.includes(value)) {
      throw new CommandFailure(`--${name} is one of ${choices.join(", ")}; "${value}" is none of them`);
    }
  }
  return {
    positionals: parsed.positionals,
    text: (name) => (typeof values[name] === "string" ? values[name] : undefined),
    flag: (name) => values[name] === true,
  };
}

/** The day asked for by `--as-of`, or today. */
export function asOfDay(text: string | undefined, today: number): number {
  if (text === undefined) return today;
  const day = parseDay(text);
  if (day === undefined) {
    throw new CommandFailure(`--as-of takes a day of the calendar such as ${formatDay(today)}; "${text}" is none`);
  }
  return day;
}
