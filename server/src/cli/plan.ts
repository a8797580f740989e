import { formatDay } from "../base/days.ts";
import { listed, plural } from "../base/words.ts";
import type { Book } from "../book/book.ts";
import type { Outline, ReadOutline } from "../book/outlines.ts";
import { readOutlines } from "../host/read-outlines.ts";
import { ANSI_COLOURS, NO_COLOURS } from "../output/colours.ts";
import { planIcs } from "../output/plan-ics.ts";
import { planJson } from "../output/plan-json.ts";
import { planText } from "../output/plan-text.ts";
import { withoutLogCommands } from "../output/printable.ts";
import { PAPERS, type Paper } from "../output/field-sheet/sheet-style.ts";
import { seasonPlan, type NoPlan, type SeasonPlan } from "../planning/season-plan.ts";
import { usualWalkers } from "../planning/work-day.ts";
import { AS_OF_OPTION, asOfDay, dayOption, type ParsedArguments } from "./arguments.ts";
import type { Command, CommandContext } from "./command.ts";
import { CommandFailure, EXIT_CLEAN, EXIT_FAILURE } from "./failure.ts";
import { booksOfCrew, crewAsked } from "./crew-option.ts";
import { loadBooks, type LoadedBook } from "./load-books.ts";
import { placeOption } from "./place-option.ts";
import { writeSheets, type SheetsAsked } from "./plan-sheets.ts";

const MOST_DAYS = 60;
const USUAL_DAYS = 7;
const MOST_LITRES = 1000;
const MOST_WALKERS = 30;

interface PlannedBook {
  readonly plan: SeasonPlan;
  readonly book: Book;
}

/** One plan for each book of the folder; books never see one another. */
const FORMATS: Readonly<Record<string, (plans: readonly PlannedBook[], context: CommandContext) => string>> = {
  text: (plans, { console }) =>
    withoutLogCommands(
      plans.map(({ plan, book }) => planText(plan, book, console.hasColour ? ANSI_COLOURS : NO_COLOURS)).join("\n"),
    ),
  json: (plans) => {
    const [one, ...more] = plans;
    if (more.length > 0)
      throw new CommandFailure("there are several record books here; name the folder of one for json");
    return planJson(one!.plan, one!.book);
  },
  ics: planIcs,
};

export const planCommand: Command = {
  name: "plan",
  usage: "[DIR]",
  summary: "which fields to walk on which day, in which order, where to dig and how many plants",
  help:
    "Plans the next days of scouting: for everyone of the crew which fields to walk when, where to dig and how many plants are still\n" +
    "to be dug for the book's confidence, the clean-downs in between with their mix and contact time, what to take along, and what\n" +
    "is left out and why. It keeps to the scouting windows, walks clean fields before doubtful before confirmed ones, stays within\n" +
    "daylight and the hours of a day, waits for the re-entry intervals of sprayings, and leaves fields alone that rain has made wet.\n" +
    "Of the plans that do, it takes the one that misses the fewest windows, then leaves out the fewest fields, then drives least.\n" +
    "The figures it counts with stand under plan in the region pack.",
  examples: [
    "spadework plan sample-workspace --as-of 2026-08-12 --days 5 --crew mo,jl --home 51.885,-104.42",
    "spadework plan sample-workspace --as-of 2026-08-12 --from 2026-08-24 --format ics > walks.ics",
    "spadework plan sample-workspace --as-of 2026-08-12 --days 1 --sheets sheets --paper letter",
  ],
  options: {
    format: { type: "string", value: "FORMAT", help: "how the plan is written", choices: Object.keys(FORMATS) },
    days: {
      type: "string",
      value: "N",
      help: `how many days to plan (${USUAL_DAYS} unless told, ${MOST_DAYS} at most)`,
    },
    from: { type: "string", value: "DATE", help: "the first of them instead of the day it is made on" },
    crew: {
      type: "string",
      value: "IDS",
      help: "who walks, each alone: mo,jl (unless told, those who scouted this season)",
    },
    home: { type: "string", value: "PLACE", help: "where every day begins and ends, as LATITUDE,LONGITUDE" },
    lab: {
      type: "string",
      value: "PLACE",
      help: "where samples are handed in on the first day, as LATITUDE,LONGITUDE",
    },
    sheets: {
      type: "string",
      value: "FOLDER",
      help: "also write a page to print and take along for every field walked",
    },
    paper: { type: "string", value: "PAPER", help: "what the sheets are printed on (a5 unless told)", choices: PAPERS },
    links: {
      type: "string",
      value: "ADDRESS",
      help: "what stands before the record's path in a sheet's code: https://..., or vscode://file/ and the folder",
    },
    litres: { type: "string", value: "L", help: "mix for one clean-down instead of the region's figure" },
    "as-of": AS_OF_OPTION,
  },
  async run(args, context) {
    if (args.positionals.length > 1) throw new CommandFailure("plan looks at one folder at a time");
    const sheets = sheetsAsked(args, context);
    const asOf = asOfDay(args.text("as-of"), context.today);
    const { books } = await loadBooks(args.positionals, { asOf, today: context.today, allSeasons: false }, context);
    if (books.length === 0) return EXIT_FAILURE;
    const asked = booksOfCrew(books, crewAsked(args));
    // Two books may have fields and walkers of the same ids: a sheet of one would take the place of the other's.
    if (sheets && asked.length > 1)
      throw new CommandFailure("there are several record books here; name the folder of one for field sheets");
    const plans: PlannedBook[] = [];
    for (const loaded of asked) plans.push(await planOf(loaded, args, asOf));
    const format = args.text("format") ?? "text";
    context.console.out(FORMATS[format]!(plans, context));
    if (!sheets) return EXIT_CLEAN;
    let count = 0;
    for (const { plan, book } of plans) count += await writeSheets(plan, book, plan.question.outlines, sheets);
    const told = `${plural(count, "field sheet")} written into ${sheets.folder}; print them as they are.\n`;
    // What another program reads stays what it is.
    if (format === "text") context.console.out(`\n${told}`);
    else context.console.error(told);
    return EXIT_CLEAN;
  },
};

async function planOf(
  { opened: { book }, root }: LoadedBook,
  args: ParsedArguments,
  asOf: number,
): Promise<PlannedBook> {
  const from = dayOption("from", args.text("from"), asOf) ?? asOf;
  if (from < asOf)
    throw new CommandFailure(
      `--from ${formatDay(from)} is before ${formatDay(asOf)}, the day the plan is made on; give that day with --as-of too`,
    );
  const plan = seasonPlan(book, {
    from,
    days: countOption("days", args.text("days"), MOST_DAYS, true) ?? USUAL_DAYS,
    crew: walkersOf(args, book),
    home: placeOption("home", args.text("home")),
    lab: placeOption("lab", args.text("lab")),
    litres: countOption("litres", args.text("litres"), MOST_LITRES, false),
    outlines: root === undefined ? undefined : knownOutlines(await readOutlines(root, book)),
  });
  if ("why" in plan) throw new CommandFailure(whyNoPlan(plan));
  return { plan, book };
}

function walkersOf(args: ParsedArguments, book: Book): string[] {
  const crew = crewAsked(args) ?? usualWalkers(book);
  if (crew.length > MOST_WALKERS)
    throw new CommandFailure(
      `a plan is made for ${MOST_WALKERS} people at most, not ${crew.length}; name them with --crew`,
    );
  return crew;
}

function whyNoPlan(plan: NoPlan): string {
  return plan.why === "figures"
    ? `the region pack lacks figures that a plan counts with: ${listed(plan.missing)}; add them, or extend a pack that has them`
    : `${plan.fields} fields are in their windows on these days, more than can be planned at once (${plan.most}); plan fewer days, or keep each grower's records in a book of their own`;
}

function knownOutlines(read: ReadonlyMap<string, ReadOutline>): ReadonlyMap<string, Outline> {
  const outlines = new Map<string, Outline>();
  for (const [field, one] of read) if ("outline" in one) outlines.set(field, one.outline);
  return outlines;
}

function sheetsAsked(args: ParsedArguments, { workingFolder }: CommandContext): SheetsAsked | undefined {
  const folder = args.text("sheets");
  const links = args.text("links") ?? "";
  for (const name of ["paper", "links"] as const)
    if (folder === undefined && args.text(name) !== undefined)
      throw new CommandFailure(`--${name} is for field sheets; name their folder with --sheets`);
  if (folder === undefined) return undefined;
  if (links !== "" && !/^(https?|vscode):\/\/\S+$/.test(links))
    throw new CommandFailure(
      `--links takes an address that begins with https://, http:// or vscode://; "${links}" does not`,
    );
  return { folder, workingFolder, paper: (args.text("paper") ?? "a5") as Paper, links };
}

function countOption(name: string, text: string | undefined, most: number, isWhole: boolean): number | undefined {
  if (text === undefined) return undefined;
  const count = /^\d+(\.\d+)?$/.test(text) ? Number(text) : NaN;
  if (!(count > 0 && count <= most) || (isWhole && !Number.isInteger(count)))
    throw new CommandFailure(
      `--${name} takes a ${isWhole ? "whole " : ""}number above 0 and at most ${most}; "${text}" is none`,
    );
  return count;
}
