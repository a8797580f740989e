import { dayNumber } from "../base/days.ts";
import { closest } from "../base/closest.ts";
import { TextFileTrouble } from "../host/text-files.ts";
import { printable, withoutLogCommands } from "../output/printable.ts";
import { parseArguments } from "./arguments.ts";
import { calcCommand } from "./calc/index.ts";
import { checkCommand } from "./check.ts";
import type { Command, CommandContext, Console } from "./command.ts";
import { diffCommand } from "./diff.ts";
import { explainCommand } from "./explain.ts";
import { CommandFailure, EXIT_CLEAN, EXIT_FAILURE } from "./failure.ts";
import { commandHelp, generalHelp } from "./help.ts";
import { lspCommand } from "./lsp.ts";
import { planCommand } from "./plan.ts";
import { migrateCommand } from "./migrate.ts";
import { regionCommand } from "./region/index.ts";
import { reportCommand } from "./report.ts";
import { riskCommand } from "./risk.ts";
import { traceCommand } from "./trace.ts";
import { visitCommand } from "./visit.ts";
import { version } from "../../../package.json";

export const COMMANDS: readonly Command[] = [
  checkCommand,
  riskCommand,
  traceCommand,
  planCommand,
  reportCommand,
  visitCommand,
  diffCommand,
  calcCommand,
  explainCommand,
  migrateCommand,
  regionCommand,
  lspCommand,
];

/** Runs one command line; resolves with the exit code and never throws for anything a user can do. */
export async function runCommandLine(args: readonly string[], context: CommandContext): Promise<number> {
  const { console } = context;
  try {
    return await dispatch(args, context);
  } catch (error) {
    if (!(error instanceof CommandFailure || error instanceof TextFileTrouble)) throw error;
    console.error(`spadework: ${withoutLogCommands(printable(error.message))}\n`);
    return EXIT_FAILURE;
  }
}

async function dispatch(args: readonly string[], context: CommandContext): Promise<number> {
  const [name, ...rest] = args;
  if (name === undefined || name === "--help" || name === "-h" || name === "help") {
    const asked = COMMANDS.find((command) => command.name === rest[0]);
    if (asked) return runCommand(asked, [...rest.slice(1), "--help"], "spadework", context);
    context.console.out(generalHelp(COMMANDS, version));
    return name === undefined ? EXIT_FAILURE : EXIT_CLEAN;
  }
  if (name === "--version" || name === "-V") {
    context.console.out(`${version}\n`);
    return EXIT_CLEAN;
  }
  return runCommand(commandNamed(name, COMMANDS, "command", "spadework"), rest, "spadework", context);
}

/** @param path what the user typed before the command's own name */
async function runCommand(
  command: Command,
  args: readonly string[],
  path: string,
  context: CommandContext,
): Promise<number> {
  const wantsHelp = args.includes("--help") || args.includes("-h");
  const [first, ...rest] = args;
  if (command.subcommands && first !== undefined && !first.startsWith("-")) {
    const full = `${path} ${command.name}`;
    return runCommand(commandNamed(first, command.subcommands, `${command.name} command`, full), rest, full, context);
  }
  if (wantsHelp) {
    context.console.out(commandHelp(command, path));
    return EXIT_CLEAN;
  }
  if (command.subcommands) {
    const names = command.subcommands.map(({ name }) => name).join(", ");
    throw new CommandFailure(
      `${command.name} is followed by one of ${names}; ${path} ${command.name} --help tells more`,
    );
  }
  return command.run(parseArguments(args, command.options), context);
}

/** @param what `command`, `calc command` */
function commandNamed(name: string, commands: readonly Command[], what: string, path: string): Command {
  const command = commands.find((candidate) => candidate.name === name);
  if (command) return command;
  const meant = closest(
    name,
    commands.map((candidate) => candidate.name),
  );
  throw new CommandFailure(
    `there is no ${what} ${name}${meant ? `; did you mean ${meant}?` : `; ${path} --help lists them`}`,
  );
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

/** Minutes after midnight by the machine's own clock. */
export function minuteOfDayByTheClock(): number {
  const now = new Date();
  return now.getHours() * 60 + now.getMinutes();
}
