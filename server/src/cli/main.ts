import { dayNumber } from "../base/days.ts";
import { closest } from "../base/closest.ts";
import { parseArguments } from "./arguments.ts";
import { checkCommand } from "./check.ts";
import type { Command, CommandContext, Console } from "./command.ts";
import { explainCommand } from "./explain.ts";
import { CommandFailure, EXIT_CLEAN, EXIT_FAILURE } from "./failure.ts";
import { commandHelp, generalHelp } from "./help.ts";
import { riskCommand } from "./risk.ts";
import { traceCommand } from "./trace.ts";
import { version } from "../../../package.json";

export const COMMANDS: readonly Command[] = [checkCommand, riskCommand, traceCommand, explainCommand];

/** Runs one command line; resolves with the exit code and never throws for anything a user can do. */
export async function runCommandLine(args: readonly string[], context: CommandContext): Promise<number> {
  const { console } = context;
  try {
    return await dispatch(args, context);
  } catch (error) {
    if (!(error instanceof CommandFailure)) throw error;
    console.error(`spadework: ${error.message}\n`);
    return EXIT_FAILURE;
  }
}

async function dispatch(args: readonly string[], context: CommandContext): Promise<number> {
  const [name, ...rest] = args;
  if (name === undefined || name === "--help" || name === "-h" || name === "help") {
    const asked = COMMANDS.find((command) => command.name === rest[0]);
    context.console.out(asked ? commandHelp(asked) : generalHelp(COMMANDS, version));
    return name === undefined ? EXIT_FAILURE : EXIT_CLEAN;
  }
  if (name === "--version" || name === "-V") {
    context.console.out(`${version}\n`);
    return EXIT_CLEAN;
  }
  const command = COMMANDS.find((candidate) => candidate.name === name);
  if (!command) {
    const meant = closest(
      name,
      COMMANDS.map((candidate) => candidate.name),
    );
    throw new CommandFailure(
      `there is no command ${name}${meant ? `; did you mean ${meant}?` : "; spadework --help lists them"}`,
    );
  }
  if (rest.includes("--help") || rest.includes("-h")) {
    context.console.out(commandHelp(command));
    return EXIT_CLEAN;
  }
  return command.run(parseArguments(rest, command.options), context);
}

/** The process's own console: colour only on a terminal that wants it (https://no-color.org). */
export function processConsole(): Console {
  const { stdout, stderr, env } = process;
  const refused = (env.NO_COLOR ?? "") !== "" || env.TERM === "dumb";
  return {
    out: (text) => void stdout.write(text),
    error: (text) => void stderr.write(text),
    hasColour: stdout.isTTY === true && !refused,
    showsProgress: stderr.isTTY === true,
  };
}

/** The calendar day of the machine's own clock. */
export function todayByTheClock(): number {
  const now = new Date();
  return dayNumber(now.getFullYear(), now.getMonth() + 1, now.getDate());
}
