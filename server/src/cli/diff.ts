import { existsSync } from "node:fs";
import { isAbsolute, resolve } from "node:path";
import { formatDay } from "../base/days.ts";
import { changeJson } from "../output/change-json.ts";
import { changeMarkdown } from "../output/change-markdown.ts";
import type { ChangeReport } from "../output/change-report.ts";
import { changeReport } from "../output/change-of-books.ts";
import { changeText } from "../output/change-text.ts";
import { checkBook } from "../output/check-book.ts";
import { compareBooks } from "../output/compare-books.ts";
import { ANSI_COLOURS, NO_COLOURS } from "../output/colours.ts";
import { withoutLogCommands } from "../output/printable.ts";
import { asOfDay, type ParsedArguments } from "./arguments.ts";
import type { Command, CommandContext } from "./command.ts";
import { CommandFailure, EXIT_CLEAN, EXIT_FAILURE } from "./failure.ts";
import { loadBooks } from "./load-books.ts";
import { loadRevision } from "./load-revision.ts";

type Format = (report: ChangeReport, context: CommandContext, args: ParsedArguments) => string;

const FORMATS: Readonly<Record<string, Format>> = {
  text: (report, { console }) => withoutLogCommands(changeText(report, console.hasColour ? ANSI_COLOURS : NO_COLOURS)),
  json: changeJson,
  markdown: (report, _context, args) => changeMarkdown(report, linkBase(args.text("links"))),
};

export const diffCommand: Command = {
  name: "diff",
  usage: "REV [REV2] [DIR]",
  summary: "what a change does: findings gained and lost, fields whose status changed",
  help:
    "Compares the records in a folder (the current one when none is named) with a git revision of them, or two revisions with\n" +
    "each other, both judged by the same day. Comments, layout, order, and which file a record stands in are not changes.\n" +
    "Nothing in the folder is touched. After REV alone, a name that is a folder is the folder, any other the second revision.",
  examples: [
    "spadework diff HEAD sample-workspace",
    "spadework diff main my-branch sample-workspace --format json",
    "spadework diff main sample-workspace --format markdown --links https://example.org/records/blob/my-branch",
  ],
  options: {
    format: { type: "string", value: "FORMAT", help: "how the change is written", choices: Object.keys(FORMATS) },
    to: {
      type: "string",
      value: "REV",
      help: "the second revision by another way; without one, the files as they are",
    },
    links: { type: "string", value: "ADDRESS", help: "where the folder's files are shown, for links in Markdown" },
    "as-of": { type: "string", value: "DATE", help: "the day to judge both by instead of today" },
    "all-seasons": { type: "boolean", help: "look at the records of every year, not the season's alone" },
  },
  async run(args, context) {
    const { base, target, folders } = versionsAsked(args, context.workingFolder);
    const asOf = asOfDay(args.text("as-of"), context.today);
    linkBase(args.text("links"));
    const options = { asOf, today: context.today, allSeasons: args.flag("all-seasons") };
    const before = await loadRevision(folders, base, options, context);
    const after =
      target === undefined
        ? (await loadBooks(folders, options, context)).books
        : await loadRevision(folders, target, options, context);
    if (before.length + after.length === 0) {
      if (target === undefined) return EXIT_FAILURE;
      throw new CommandFailure(`neither ${base} nor ${target} holds a record book here: no season.yaml`);
    }
    const report = changeReport(compareBooks(before, after, checkBook), base, target, formatDay(asOf));
    context.console.out(FORMATS[args.text("format") ?? "text"]!(report, context, args));
    return EXIT_CLEAN;
  },
};

/**
 * Which two versions are compared, of which folder. After the first revision may stand a second one and a folder; where only one
 * of the two stands there, it is the folder if there is one of that name, else the revision.
 *
 * @throws {CommandFailure} where they cannot be told apart
 */
function versionsAsked(
  args: ParsedArguments,
  workingFolder: string,
): { base: string; target: string | undefined; folders: readonly string[] } {
  const [base, ...rest] = args.positionals;
  const to = args.text("to");
  if (base === undefined)
    throw new CommandFailure("diff needs a git revision to compare with: spadework diff HEAD sample-workspace");
  if (to !== undefined || rest.length === 0) {
    if (rest.length > 1)
      throw new CommandFailure(
        "diff compares two revisions of one folder: spadework diff main my-branch sample-workspace",
      );
    return { base, target: to, folders: rest };
  }
  const [second, ...folders] = rest;
  if (folders.length > 1)
    throw new CommandFailure(
      "diff compares two revisions of one folder: spadework diff main my-branch sample-workspace",
    );
  if (folders.length === 0 && looksLikeFolder(second!, workingFolder))
    return { base, target: undefined, folders: [second!] };
  return { base, target: second, folders };
}

/** A folder that is there, or a name that only a path can have. */
function looksLikeFolder(name: string, workingFolder: string): boolean {
  return existsSync(resolve(workingFolder, name)) || isAbsolute(name) || /^\.{1,2}(?:[\\/]|$)|[\\/]$/.test(name);
}

/** @throws {CommandFailure} for what is no plain web address */
function linkBase(text: string | undefined): string | undefined {
  if (text === undefined) return undefined;
  if (!/^https?:\/\/[\w.:-]+(\/[\w./~%+-]*)?$/.test(text))
    throw new CommandFailure(
      `--links takes a web address such as https://example.org/records/blob/main; "${text}" is none`,
    );
  return text.replace(/\/+$/, "");
}
