import { mkdir, readFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { closest } from "../base/closest.ts";
import { formatDay, formatMinute, MINUTES_PER_DAY, parseMinute } from "../base/days.ts";
import { LineIndex } from "../base/line-index.ts";
import type { Book } from "../book/book.ts";
import type { NewVisitEdit } from "../features/new-visit.ts";
import { plannedVisitEdit } from "../features/planned-visit.ts";
import { readOutlines } from "../host/read-outlines.ts";
import { writeNewTextFile, writeTextFile } from "../host/text-files.ts";
import { fieldWork, type FieldWork } from "../planning/field-work.ts";
import { lineStartAt } from "../syntax/text-scan.ts";
import { planFigures } from "../planning/plan-figures.ts";
import { dayOption, type ParsedArguments } from "./arguments.ts";
import type { Command, CommandContext } from "./command.ts";
import { booksOfCrew, crewAsked } from "./crew-option.ts";
import { CommandFailure, EXIT_CLEAN, EXIT_FAILURE } from "./failure.ts";
import { loadBooks, type LoadedBook } from "./load-books.ts";

export const visitCommand: Command = {
  name: "visit",
  usage: "FIELD [DIR]",
  summary: "the record of a visit to a field, with what is known filled in",
  help:
    "Prints the record of a scouting visit that begins now: its id in the way the book numbers them, the usual entrance, who scouted\n" +
    "last and what they took along, and as comments what is left to fill in, with the digs that spadework plan would have made.\n" +
    "With --write the record is put into the file where it belongs; nothing else in that file changes.",
  examples: [
    "spadework visit long-meadow sample-workspace",
    "spadework visit long-meadow sample-workspace --arrived 2026-08-20T07:40 --crew mo --write",
  ],
  options: {
    arrived: { type: "string", value: "TIME", help: "when it begins instead of now, as 2026-08-20T07:40" },
    crew: { type: "string", value: "IDS", help: "who walks: mo,jl (unless told, whoever scouted last)" },
    write: { type: "boolean", help: "put the record into the file where it belongs" },
    "as-of": {
      type: "string",
      value: "DATE",
      help: "the day to judge by instead of the day of the visit; later records are left out",
    },
  },
  async run(args, context) {
    const [field, ...folders] = args.positionals;
    if (field === undefined)
      throw new CommandFailure("visit is followed by the id of a field, such as spadework visit long-meadow");
    if (folders.length > 1) throw new CommandFailure("visit looks at one folder at a time");
    const arrived = timeAsked(args, context);
    const asOf = dayOption("as-of", args.text("as-of"), context.today) ?? Math.floor(arrived / MINUTES_PER_DAY);
    const { books } = await loadBooks(folders, { asOf, today: context.today, allSeasons: false }, context);
    if (books.length === 0) return EXIT_FAILURE;
    const loaded = bookOfField(booksOfCrew(books, crewAsked(args)), books, field);
    const { book } = loaded.opened;
    const work = await workOn(loaded, field);
    const visit = plannedVisitEdit(book, { field, arrived, crew: crewAsked(args), work });
    if (!visit)
      throw new CommandFailure("the visits are written in a way that no record can be added to; add it by hand");
    if (!args.flag("write")) context.console.out(printed(visit));
    else await write(loaded, visit, arrived, context);
    return EXIT_CLEAN;
  },
};

function timeAsked(args: ParsedArguments, { today, minuteOfDay = 0 }: CommandContext): number {
  const text = args.text("arrived");
  if (text === undefined) return today * MINUTES_PER_DAY + minuteOfDay;
  const minute = parseMinute(text);
  if (minute === undefined)
    throw new CommandFailure(`--arrived takes a day and a time such as ${formatDay(today)}T07:40; "${text}" is none`);
  return minute;
}

function bookOfField(knowing: readonly LoadedBook[], all: readonly LoadedBook[], field: string): LoadedBook {
  const found = knowing.find(({ opened: { book } }) => book.record("fields", field));
  if (found) return found;
  const ids = all.flatMap(({ opened: { book } }) => [...book.ids("fields")]);
  const meant = closest(field, ids);
  throw new CommandFailure(`no field "${field}"${meant ? `; did you mean "${meant}"?` : " in these records"}`);
}

async function workOn({ opened: { book }, root }: LoadedBook, field: string): Promise<FieldWork | undefined> {
  const figures = planFigures(book);
  if ("missing" in figures || root === undefined) return undefined;
  const outline = (await readOutlines(root, book)).get(field);
  const work = fieldWork(
    book.fieldHistory(field),
    book,
    figures,
    outline && "outline" in outline ? outline.outline : undefined,
  );
  return "why" in work ? undefined : work;
}

/** The record as it would stand in its file, which is named above it. */
function printed({ text, span, path, isNewFile }: NewVisitEdit): string {
  const start = lineStartAt(text, span.start);
  const head = isNewFile ? `# ${path} (a new file)\nvisits:\n` : `# ${path}\n`;
  return `${head}${text.slice(start, span.end).replaceAll("\r\n", "\n")}\n`;
}

async function write(
  { opened: { book }, root, prefix }: LoadedBook,
  visit: NewVisitEdit,
  arrived: number,
  context: CommandContext,
): Promise<void> {
  if (root === undefined) throw new CommandFailure("there is no folder to write into");
  const shown = prefix === "" ? visit.path : `${prefix}/${visit.path}`;
  const full = join(root, visit.path);
  if (visit.isNewFile) {
    await mkdir(dirname(full), { recursive: true });
    await writeNewTextFile(full, shown, visit.text);
  } else {
    await checkUnchanged(book, visit.path, full, shown);
    await writeTextFile(full, shown, visit.text);
  }
  const line = new LineIndex(visit.text).range(visit.span).start.line + 1;
  context.console.out(`Wrote the visit of ${formatMinute(arrived).replace("T", " ")} into ${shown}, line ${line}.\n`);
}

/** A file that was read only in part, or that someone has just saved, is not written over. */
async function checkUnchanged(book: Book, path: string, full: string, shown: string): Promise<void> {
  // By its bytes: what is no UTF-8 would look the same once it is read as text.
  const isSame = Buffer.from(book.file(path)?.text ?? "").equals(await readFile(full).catch(() => Buffer.from("\0")));
  if (!isSame)
    throw new CommandFailure(
      `${shown} cannot be written safely: it is not plain UTF-8 text, or it was changed just now; look at it, and try again`,
    );
}
