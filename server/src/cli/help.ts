import type { Command } from "./command.ts";

export function generalHelp(commands: readonly Command[], version: string): string {
  const width = Math.max(...commands.map((command) => `${command.name} ${command.usage}`.length));
  return [
    `spadework ${version} - checks the records of a clubroot scouting season`,
    "",
    "Usage: spadework COMMAND [DIR] [options]",
    "",
    "Commands:",
    ...commands.map((command) => `  ${`${command.name} ${command.usage}`.padEnd(width)}  ${command.summary}`),
    "",
    "spadework COMMAND --help tells more of one command.",
    "Exit code: 0 nothing to mend, 1 findings at the level asked for, 2 the command could not run.",
    "Example: spadework check sample-workspace --as-of 2026-08-20",
    "",
  ].join("\n");
}

/** @param path the names before the command's own: `spadework`, `spadework calc` */
export function commandHelp(command: Command, path = "spadework"): string {
  if (command.subcommands) return groupHelp(command, command.subcommands, path);
  const all: Command["options"] = { ...command.options, help: { type: "boolean", help: "show this help" } };
  const options = Object.entries(all);
  const rows = options.map(([name, option]) => ({
    left: `--${name}${option.value ? ` ${option.value}` : ""}`,
    right: `${option.help}${option.choices ? ` (${option.choices.join(", ")})` : ""}`,
  }));
  const width = Math.max(...rows.map((row) => row.left.length));
  return [
    `Usage: ${[path, command.name, command.usage].filter((part) => part !== "").join(" ")} [options]`,
    "",
    command.help,
    "",
    "Options:",
    ...rows.map((row) => `  ${row.left.padEnd(width)}  ${row.right}`),
    "",
    command.examples.length === 1 ? "Example:" : "Examples:",
    ...command.examples.map((example) => `  ${example}`),
    "",
  ].join("\n");
}

function groupHelp(command: Command, subcommands: readonly Command[], path: string): string {
  const full = `${path} ${command.name}`;
  const width = Math.max(...subcommands.map(({ name }) => name.length));
  return [
    `Usage: ${full} ${command.usage}`,
    "",
    command.help,
    "",
    ...subcommands.map(({ name, summary }) => `  ${name.padEnd(width)}  ${summary}`),
    "",
    `${full} NAME --help tells more of one of them.`,
    command.examples.length === 1 ? "Example:" : "Examples:",
    ...command.examples.map((example) => `  ${example}`),
    "",
  ].join("\n");
}
