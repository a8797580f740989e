import { resolve } from "node:path";
import { closest } from "../base/closest.ts";
import { listed } from "../base/words.ts";
import { readOutlines } from "../host/read-outlines.ts";
import { writeTextFile } from "../host/text-files.ts";
import { growerReport } from "../output/grower-report/grower-report.ts";
import type { Book } from "../book/book.ts";
import { printable } from "../output/printable.ts";
import { AS_OF_OPTION, asOfDay } from "./arguments.ts";
import type { Command } from "./command.ts";
import { CommandFailure, EXIT_CLEAN, EXIT_FAILURE } from "./failure.ts";
import { loadBooks } from "./load-books.ts";

export const reportCommand: Command = {
  name: "report",
  usage: "[DIR]",
  summary: "a grower's season as one page to send or to print",
  help:
    "Writes one grower's season as a page (HTML) that needs nothing beside it and prints well: the season in brief, fields by\n" +
    "status, what to do next, a map, what the digs show, samples, rotation, visits and clean-downs. Fields of other growers are\n" +
    "in it without a name or a place. To make a PDF, open the page and print it.",
  examples: [
    "spadework report sample-workspace --grower alder-bench --out alder-bench.html",
    "spadework report sample-workspace --grower alder-bench --as-of 2026-08-31 > alder-bench.html",
  ],
  options: {
    grower: { type: "string", value: "ID", help: "whose season; the id of a grower in season.yaml" },
    out: { type: "string", value: "FILE", help: "the file to write; without it the page goes to standard output" },
    "as-of": AS_OF_OPTION,
  },
  async run(args, context) {
    if (args.positionals.length > 1) throw new CommandFailure("report takes one folder");
    const grower = args.text("grower");
    const options = { asOf: asOfDay(args.text("as-of"), context.today), today: context.today, allSeasons: false };
    const { books } = await loadBooks(args.positionals, options, context);
    if (books.length === 0) return EXIT_FAILURE;
    const all = [...new Set(books.flatMap(({ opened }) => growersOf(opened.book)))];
    if (grower === undefined)
      throw new CommandFailure(
        `--grower is needed: report --grower ID${all.length > 0 ? `; there is ${listed(all)}` : ""}`,
      );
    const [found, ...more] = books.filter(({ opened }) => growersOf(opened.book).includes(grower));
    if (!found) throw new CommandFailure(noSuchGrower(grower, all));
    if (more.length > 0)
      throw new CommandFailure(
        `${grower} is in several books: ${[found, ...more].map(({ prefix }) => prefix || ".").join(", ")}; name the folder of one`,
      );
    const { book } = found.opened;
    const outlines = found.root === undefined ? new Map() : await readOutlines(found.root, book);
    const page = growerReport({ book, grower, outlines });
    const file = args.text("out");
    if (file === undefined) context.console.out(page);
    else {
      await writeTextFile(resolve(context.workingFolder, file), file, page);
      context.console.out(`${printable(file)} is written; open it in a browser to read or print it.\n`);
    }
    return EXIT_CLEAN;
  },
};

/** Those that `season.yaml` names, and those whose fields are in the book. */
function growersOf(book: Book): string[] {
  const named = (book.season.growers ?? []).flatMap(({ id }) => id || []);
  const farming = book.fieldIds().flatMap((id) => book.record("fields", id)?.facts.grower || []);
  return [...new Set([...named, ...farming])];
}

function noSuchGrower(grower: string, all: readonly string[]): string {
  if (all.length === 0) return `there is no grower ${grower}: these records name none`;
  const meant = closest(grower, all);
  return `there is no grower ${grower}; ${meant === undefined ? `there is ${listed(all)}` : `did you mean ${meant}?`}`;
}
