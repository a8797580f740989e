import type { OptionDescription, ParsedArguments } from "./arguments.ts";

/** Where a command's words go; tests hand in their own. */
export interface Console {
  out(text: string): void;
  error(text: string): void;
  /** Whether colours may be used on standard output. */
  readonly hasColour: boolean;
  /** Whether a person watches standard error, so that progress is worth showing. */
  readonly showsProgress: boolean;
}

export interface CommandContext {
  readonly console: Console;
  /** Days since 1970-01-01, from the clock. */
  readonly today: number;
  /** Minutes after midnight, from the clock; undefined where no clock is asked. */
  readonly minuteOfDay?: number;
  /** Absolute path of the folder the command was started in. */
  readonly workingFolder: string;
  /** What the surroundings of the command say of themselves, as in `GITHUB_STEP_SUMMARY`. */
  readonly environment: Readonly<Record<string, string | undefined>>;
}

export interface Command {
  readonly name: string;
  /** What follows the name in the usage line. */
  readonly usage: string;
  readonly summary: string;
  /** Sentences for the command's own help. */
  readonly help: string;
  readonly examples: readonly string[];
  readonly options: Readonly<Record<string, OptionDescription>>;
  /** Commands that follow this one's name, each with options of its own; then this one is never run by itself. */
  readonly subcommands?: readonly Command[];
  /** Resolves with the exit code. */
  run(args: ParsedArguments, context: CommandContext): Promise<number>;
}
