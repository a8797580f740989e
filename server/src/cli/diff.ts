import { formatDay } from "../base/days.ts";
import { entryIndex } from "../book/book-index.ts";
import { byCodeUnits } from "../book/book.ts";
import type { FieldChange, FieldStanding } from "../book/compare-fields.ts";
import type { ChangedRecord, RecordChanges } from "../book/compare-records.ts";
import { changeJson } from "../output/change-json.ts";
import { changeMarkdown } from "../output/change-markdown.ts";
import type { ChangeReport, LinePlace, ReportedField, ReportedStanding } from "../output/change-report.ts";
import { changedFigures } from "../output/changed-figures.ts";
import { changeText } from "../output/change-text.ts";
import { ANSI_COLOURS, NO_COLOURS } from "../output/colours.ts";
import type { FactRecord } from "../records/record.ts";
import { spanOfPlace } from "../records/places.ts";
import { linesOf } from "../rules/publish.ts";
import { asOfDay, type ParsedArguments } from "./arguments.ts";
import { fromFolder } from "./check-book.ts";
import type { Command, CommandContext } from "./command.ts";
import { compareLoaded, type ComparedBook } from "./compare-loaded.ts";
import { CommandFailure, EXIT_CLEAN, EXIT_FAILURE } from "./failure.ts";
import { loadBooks, type LoadedBook } from "./load-books.ts";
import { loadRevision } from "./load-revision.ts";

type Format = (report: ChangeReport, context: CommandContext, args: ParsedArguments) => string;

const FORMATS: Readonly<Record<string, Format>> = {
  text: (report, { console }) => changeText(report, console.hasColour ? ANSI_COLOURS : NO_COLOURS),
  json: changeJson,
  markdown: (report, _context, args) => changeMarkdown(report, linkBase(args.text("links"))),
};

export const diffCommand: Command = {
  name: "diff",
  usage: "REV [DIR]",
  summary: "what a change does: findings gained and lost, fields whose status changed",
  help:
    "Compares the records in a folder (the current one when none is named) with a git revision of them, both judged by the same\n" +
    "day. Comments, layout, order, and which file a record stands in are not changes. Nothing in the folder is touched.",
  examples: [
    "spadework diff HEAD my-records",
    "spadework diff main --to my-branch my-records --format json",
    "spadework diff main my-records --format markdown --links https://example.org/records/blob/my-branch",
  ],
  options: {
    format: { type: "string", value: "FORMAT", help: "how the change is written", choices: Object.keys(FORMATS) },
    to: { type: "string", value: "REV", help: "the revision to compare with it instead of the files as they are" },
    links: { type: "string", value: "ADDRESS", help: "where the folder's files are shown, for links in Markdown" },
    "as-of": { type: "string", value: "DATE", help: "the day to judge both by instead of today" },
    "all-seasons": { type: "boolean", help: "look at the records of every year, not the season's alone" },
  },
  async run(args, context) {
    const [base, ...folders] = args.positionals;
    if (base === undefined)
      throw new CommandFailure("diff needs a git revision to compare with: spadework diff HEAD my-records");
    if (folders.length > 1)
      throw new CommandFailure("diff looks at one folder at a time; use --to for a second revision");
    const asOf = asOfDay(args.text("as-of"), context.today);
    linkBase(args.text("links"));
    const options = { asOf, today: context.today, allSeasons: args.flag("all-seasons") };
    const target = args.text("to");
    const before = await loadRevision(folders, base, options, context);
    const after =
      target === undefined
        ? (await loadBooks(folders, options, context)).books
        : await loadRevision(folders, target, options, context);
    if (before.length + after.length === 0) {
      if (target === undefined) return EXIT_FAILURE;
      throw new CommandFailure(`neither ${base} nor ${target} holds a record book here: no season.yaml`);
    }
    const report = reportOf(compareLoaded(before, after), base, target, formatDay(asOf));
    context.console.out(FORMATS[args.text("format") ?? "text"]!(report, context, args));
    return EXIT_CLEAN;
  },
};

/** @throws {CommandFailure} for what is no plain web address */
function linkBase(text: string | undefined): string | undefined {
  if (text === undefined) return undefined;
  if (!/^https?:\/\/[\w.:-]+(\/[\w./~%+-]*)?$/.test(text))
    throw new CommandFailure(
      `--links takes a web address such as https://example.org/records/blob/main; "${text}" is none`,
    );
  return text.replace(/\/+$/, "");
}

function reportOf(
  books: readonly ComparedBook[],
  base: string,
  target: string | undefined,
  asOf: string,
): ChangeReport {
  const all = (kind: keyof RecordChanges): ChangedRecord[] =>
    books
      .flatMap(({ records }) => records[kind])
      .sort((a, b) => byCodeUnits(a.kind, b.kind) || byCodeUnits(a.id, b.id));
  const byFile = (a: { file: string }, b: { file: string }): number => byCodeUnits(a.file, b.file);
  return {
    base,
    target,
    asOf,
    gained: books.flatMap(({ gained }) => gained).sort(byFile),
    lost: books.flatMap(({ lost }) => lost).sort(byFile),
    fields: books
      .flatMap((book) => book.fields.map((change) => reportedField(change, book)))
      .sort((a, b) => byCodeUnits(a.field, b.field)),
    renamed: books.flatMap(({ renames }) => [...renames].map(([from, to]) => ({ from, to }))),
    records: { added: all("added"), changed: all("changed"), removed: all("removed") },
  };
}

function reportedField({ field, before, after }: FieldChange, books: ComparedBook): ReportedField {
  const [standing, loaded] = after ? [after, books.after!] : [before!, books.before!];
  const impliedYear = (books.after ?? books.before)!.opened.book.seasonYear;
  return {
    field,
    name: standing.risk.name,
    before: before && reportedStanding(before, books.before!),
    after: after && reportedStanding(after, books.after!),
    figures: before && after ? changedFigures(before.risk, after.risk, impliedYear) : [],
    place: placeOf(standing.record, loaded),
  };
}

function reportedStanding({ risk, words, cause }: FieldStanding, loaded: LoadedBook): ReportedStanding {
  return { status: risk.status, words, cause: cause && { ...placeOf(cause, loaded), id: cause.id } };
}

/** The line on which a record names itself. */
function placeOf(record: FactRecord, { opened, prefix }: LoadedBook): LinePlace {
  const file = opened.book.files.find(({ path }) => path === record.file);
  const line = file ? linesOf(file).range(spanOfPlace(file, entryIndex(file, record), ["id"], "value")).start.line : 0;
  return { file: fromFolder(prefix, record.file), line };
}
