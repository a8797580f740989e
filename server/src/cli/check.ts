import { formatDay } from "../base/days.ts";
import { byCodeUnits } from "../book/book.ts";
import { checkJson } from "../output/check-json.ts";
import { checkText } from "../output/check-text.ts";
import { ANSI_COLOURS, NO_COLOURS } from "../output/colours.ts";
import type { CheckReport } from "../output/report.ts";
import { countLevels, reaches } from "../output/summary.ts";
import { LEVELS, type Level } from "../records/finding.ts";
import { asOfDay } from "./arguments.ts";
import { checkBook } from "./check-book.ts";
import type { Command, CommandContext } from "./command.ts";
import { EXIT_CLEAN, EXIT_FAILURE, EXIT_FINDINGS } from "./failure.ts";
import { compareLoaded } from "./compare-loaded.ts";
import { loadBooks, type LoadedBook } from "./load-books.ts";
import { loadRevision } from "./load-revision.ts";

const FORMATS: Readonly<Record<string, (report: CheckReport, context: CommandContext) => string>> = {
  text: (report, { console }) => checkText(report, console.hasColour ? ANSI_COLOURS : NO_COLOURS),
  json: checkJson,
};

export const checkCommand: Command = {
  name: "check",
  usage: "[DIR ...]",
  summary: "every rule over every record book in a folder",
  help:
    "Reads every record book in the folders named (the current one when there are none) and reports what is wrong in it.\n" +
    "Exit code 0: no finding at the level of --fail-on or worse; 1: some; 2: a folder could not be checked.",
  examples: [
    "spadework check my-records",
    "spadework check my-records --as-of 2026-08-20 --fail-on warning --format json",
  ],
  options: {
    format: { type: "string", value: "FORMAT", help: "how findings are written", choices: Object.keys(FORMATS) },
    "as-of": {
      type: "string",
      value: "DATE",
      help: "the day to judge by instead of today; later records are left out",
    },
    "all-seasons": { type: "boolean", help: "look at the records of every year, not the season's alone" },
    since: { type: "string", value: "REV", help: "report only what is new against a git revision" },
    "fail-on": { type: "string", value: "LEVEL", help: "the level that makes the exit code 1", choices: LEVELS },
  },
  async run(args, context) {
    const asOf = asOfDay(args.text("as-of"), context.today);
    const options = { asOf, today: context.today, allSeasons: args.flag("all-seasons") };
    const { books, hasFailed } = await loadBooks(args.positionals, options, context);
    if (books.length === 0) return EXIT_FAILURE;
    const since = args.text("since");
    const before = since === undefined ? undefined : await loadRevision(args.positionals, since, options, context);
    const report = checkBooks(books, formatDay(asOf), before);
    context.console.out(FORMATS[args.text("format") ?? "text"]!(report, context));
    if (hasFailed) return EXIT_FAILURE;
    return reaches(report.counts, (args.text("fail-on") ?? "error") as Level) ? EXIT_FINDINGS : EXIT_CLEAN;
  },
};

/**
 * Every rule over every book, as one report.
 *
 * @param before the books of an earlier revision: then only what is new against them is reported
 */
export function checkBooks(books: readonly LoadedBook[], asOf: string, before?: readonly LoadedBook[]): CheckReport {
  const findings = before ? compareLoaded(before, books).flatMap(({ gained }) => gained) : books.flatMap(checkBook);
  findings.sort((a, b) => byCodeUnits(a.file, b.file));
  const files = books.flatMap(({ opened }) => opened.book.files);
  const records = files.reduce((sum, file) => sum + file.entries.length, 0);
  return { asOf, findings, counts: countLevels(findings), read: { books: books.length, files: files.length, records } };
}
