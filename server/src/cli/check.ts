import { formatDay } from "../base/days.ts";
import { byCodeUnits } from "../base/code-units.ts";
import { checkBook, rulesOfBooks } from "../output/check-book.ts";
import { checkGithub, githubStepSummary } from "../output/check-github.ts";
import { checkJson } from "../output/check-json.ts";
import { checkJunit } from "../output/check-junit.ts";
import { checkSarif } from "../output/check-sarif.ts";
import { checkText } from "../output/check-text.ts";
import { ANSI_COLOURS, NO_COLOURS } from "../output/colours.ts";
import { compareBooks } from "../output/compare-books.ts";
import { fromFolder } from "../output/loaded-book.ts";
import type { CheckReport } from "../output/report.ts";
import { countLevels, reaches } from "../output/summary.ts";
import { LEVELS, type Level } from "../records/finding.ts";
import { appendTextFile } from "../host/text-files.ts";
import { AS_OF_OPTION, asOfDay } from "./arguments.ts";
import { baselineAsked, comparedWithBaseline, writeBaseline } from "./check-baseline.ts";
import type { Command, CommandContext } from "./command.ts";
import { EXIT_CLEAN, EXIT_FAILURE, EXIT_FINDINGS } from "./failure.ts";
import { loadBooks, type LoadedBook } from "./load-books.ts";
import { loadRevision } from "./load-revision.ts";
import { toldFromRepository } from "./repository-paths.ts";
import { version } from "../../../package.json";

type Format = (report: CheckReport, context: CommandContext, books: readonly LoadedBook[]) => string;

const FORMATS: Readonly<Record<string, Format>> = {
  text: (report, { console }) => checkText(report, console.hasColour ? ANSI_COLOURS : NO_COLOURS),
  json: checkJson,
  sarif: (report, _context, books) => checkSarif(report, { version, ...rulesOfBooks(books) }),
  github: checkGithub,
  junit: checkJunit,
};
/** Read by services that know files by their paths in the repository. */
const FORMATS_OF_SERVICES: readonly string[] = ["sarif", "github", "junit"];

export const checkCommand: Command = {
  name: "check",
  usage: "[DIR ...]",
  summary: "every rule over every record book in a folder",
  help:
    "Reads every record book in the folders named (the current one when there are none) and reports what is wrong in it.\n" +
    "Exit code 0: no finding at the level of --fail-on or worse; 1: some; 2: a folder could not be checked.",
  examples: [
    "spadework check sample-workspace",
    "spadework check sample-workspace --write-baseline known-findings.json",
    "spadework check sample-workspace --baseline known-findings.json",
    "spadework check sample-workspace --as-of 2026-08-20 --fail-on warning --format json",
  ],
  options: {
    format: { type: "string", value: "FORMAT", help: "how findings are written", choices: Object.keys(FORMATS) },
    "as-of": AS_OF_OPTION,
    "all-seasons": { type: "boolean", help: "look at the records of every year, not the season's alone" },
    since: { type: "string", value: "REV", help: "report only what is new against a git revision" },
    "fail-on": { type: "string", value: "LEVEL", help: "the level that makes the exit code 1", choices: LEVELS },
    "write-baseline": { type: "string", value: "FILE", help: "write all findings to FILE as known, and report none" },
    baseline: { type: "string", value: "FILE", help: "leave out the findings known in FILE; tell which are gone" },
    strict: { type: "boolean", help: "with --baseline: exit code 1 when one of its findings is gone" },
  },
  async run(args, context) {
    const asOf = asOfDay(args.text("as-of"), context.today);
    const options = { asOf, today: context.today, allSeasons: args.flag("all-seasons") };
    const format = args.text("format") ?? "text";
    const baseline = baselineAsked(args);
    const { books, hasFailed } = await loadBooks(args.positionals, options, context);
    if (books.length === 0) return EXIT_FAILURE;
    const since = args.text("since");
    const before = since === undefined ? undefined : await loadRevision(args.positionals, since, options, context);
    let report = checkBooks(books, formatDay(asOf), before && { revision: since!, books: before });
    if (baseline?.isWritten) return hasFailed ? EXIT_FAILURE : writeBaseline(baseline.file, report, context);
    if (baseline) report = await comparedWithBaseline(baseline.file, report, format, context);
    if (FORMATS_OF_SERVICES.includes(format)) report = toldFromRepository(report, args.positionals, context);
    context.console.out(FORMATS[format]!(report, context, books));
    const summaryFile = context.environment.GITHUB_STEP_SUMMARY;
    if (format === "github" && summaryFile)
      await appendTextFile(summaryFile, "the file of GITHUB_STEP_SUMMARY", githubStepSummary(report));
    if (hasFailed) return EXIT_FAILURE;
    if (args.flag("strict") && report.baseline && report.baseline.gone.length > 0) return EXIT_FINDINGS;
    return reaches(report.counts, (args.text("fail-on") ?? "error") as Level) ? EXIT_FINDINGS : EXIT_CLEAN;
  },
};

/**
 * Every rule over every book, as one report.
 *
 * @param before the books of an earlier revision: then only what is new against them is reported
 */
function checkBooks(
  books: readonly LoadedBook[],
  asOf: string,
  before?: { readonly revision: string; readonly books: readonly LoadedBook[] },
): CheckReport {
  const compared = before && compareBooks(before.books, books, checkBook);
  const findings = compared ? compared.flatMap(({ gained }) => gained) : books.flatMap(checkBook);
  findings.sort((a, b) => byCodeUnits(a.file, b.file));
  const read = books.flatMap(({ opened, prefix }) => opened.book.files.map((file) => ({ file, prefix })));
  const files = read.map(({ file, prefix }) => fromFolder(prefix, file.path)).sort(byCodeUnits);
  const records = read.reduce((sum, { file }) => sum + file.entries.length, 0);
  const counts = { books: books.length, files: files.length, records };
  const report = { asOf, findings, counts: countLevels(findings), read: counts, files };
  if (!before || !compared) return report;
  const standing = compared.reduce((sum, book) => sum + book.standing, 0);
  return { ...report, since: { revision: before.revision, standing } };
}
