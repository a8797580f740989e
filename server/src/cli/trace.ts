import { formatDay, parseDay } from "../base/days.ts";
import { closest } from "../base/closest.ts";
import type { Book } from "../book/book.ts";
import { traceSoil, type TraceAnswer, type TraceQuestion } from "../book/trace.ts";
import { ANSI_COLOURS, NO_COLOURS } from "../output/colours.ts";
import { withoutLogCommands } from "../output/printable.ts";
import { traceDot } from "../output/trace-dot.ts";
import { traceJson } from "../output/trace-json.ts";
import { traceText, type TraceStory } from "../output/trace-text.ts";
import type { ConfirmedField } from "../soil/soil-records.ts";
import type { SoilPlace } from "../soil/soil-trace.ts";
import { AS_OF_OPTION, asOfDay, type ParsedArguments } from "./arguments.ts";
import type { Command, CommandContext } from "./command.ts";
import { CommandFailure, EXIT_CLEAN, EXIT_FAILURE } from "./failure.ts";
import { loadBooks, type LoadedBook } from "./load-books.ts";

interface CommandStory extends TraceStory {
  /** Every exposed field of the book, whatever the place asked about. */
  readonly exposed: ReadonlySet<string>;
}

/** One story for each book of the folder; books never see one another. */
const FORMATS: Readonly<Record<string, (stories: readonly CommandStory[], context: CommandContext) => string>> = {
  text: (stories, { console }) =>
    withoutLogCommands(
      stories.map((story) => traceText(story, console.hasColour ? ANSI_COLOURS : NO_COLOURS)).join("\n"),
    ),
  json: (stories) => {
    const answers = stories.map(({ answer }) => answer);
    return traceJson({
      asOf: stories[0]!.asOf,
      confirmed: answers.flatMap(({ confirmed }) => confirmed),
      exposed: answers.flatMap(({ exposed }) => exposed),
    });
  },
  dot: (stories) =>
    stories.map(({ answer, exposed, book }) => traceDot(answer, exposed, (field) => book.fieldName(field))).join(""),
};

export const traceCommand: Command = {
  name: "trace",
  usage: "[DIR]",
  summary: "which fields an infested field's soil may have reached, and how",
  help:
    "Tells which fields are exposed to a confirmed one, through which carriers, when, and how much soil may have been left.\n" +
    "With --field or --carrier it follows the soil of that field, or what that carrier had on board, whether or not anything is\n" +
    "confirmed. --assume FIELD=DATE takes a field for confirmed from that day, to see what a pending sample would mean.",
  examples: [
    "spadework trace sample-workspace",
    "spadework trace sample-workspace --field corner-quarter --direction forward --from 2026-05-01",
    "spadework trace sample-workspace --assume west-eighty=2026-08-20",
    "spadework trace sample-workspace --format dot | dot -Tsvg -o soil.svg",
  ],
  options: {
    format: { type: "string", value: "FORMAT", help: "how the chains are written", choices: Object.keys(FORMATS) },
    field: { type: "string", value: "ID", help: "follow the soil of this field" },
    carrier: {
      type: "string",
      value: "ID",
      help: "follow what this carrier has on board: an equipment id, or boots/CREW-ID",
    },
    from: { type: "string", value: "DATE", help: "going forward, only from this day on" },
    direction: { type: "string", value: "WAY", help: "which way to follow it", choices: ["back", "forward", "both"] },
    assume: { type: "string", value: "FIELD=DATE", help: "take a field for confirmed from a day" },
    "as-of": AS_OF_OPTION,
  },
  async run(args, context) {
    const asOf = asOfDay(args.text("as-of"), context.today);
    if (args.positionals.length > 1) throw new CommandFailure("trace looks at one folder at a time");
    const { books } = await loadBooks(args.positionals, { asOf, today: context.today, allSeasons: false }, context);
    if (books.length === 0) return EXIT_FAILURE;
    const stories = storiesOf(books, args, formatDay(asOf));
    context.console.out(FORMATS[args.text("format") ?? "text"]!(stories, context));
    return EXIT_CLEAN;
  },
};

/** A story of every book that knows the place asked about, or of every book where none was. */
function storiesOf(books: readonly LoadedBook[], args: ParsedArguments, asOf: string): CommandStory[] {
  const place = placeAsked(args);
  const direction = (args.text("direction") ?? "both") as TraceQuestion["direction"];
  const from = dayOf("--from", args.text("from"));
  const assumed = assumedFields(args.text("assume"));
  const wanted = [...(place && "field" in place ? [place.field] : []), ...assumed.map(({ field }) => field)];
  const knowing = books
    .map(({ opened }) => opened.book)
    .filter((book) => knows(book, place) && wanted.every((field) => book.fieldIds().includes(field)));
  if (knowing.length === 0) throw new CommandFailure(whyUnknown(books, place, wanted));
  for (const one of assumed) for (const book of knowing) mustMeanSomething(one, book);
  const question: TraceQuestion = { place, from, direction, assumed };
  return knowing.map((book) => {
    const answer = traceSoil(book, question);
    return {
      book,
      answer: place ? limitedTo(answer, place) : answer,
      exposed: new Set(answer.exposed.map(({ field }) => field)),
      place,
      from: question.from,
      assumed: new Set(assumed.map(({ field }) => field)),
      asOf,
    };
  });
}

/** Of the book's exposures, those whose chains touch the place. */
function limitedTo(answer: TraceAnswer, place: SoilPlace): TraceAnswer {
  const touches = (step: { from: string; to: string; carrier: string }): boolean =>
    "field" in place ? step.from === place.field || step.to === place.field : step.carrier === place.carrier;
  return { ...answer, exposed: answer.exposed.filter(({ chain }) => chain.some(touches)) };
}

function placeAsked(args: ParsedArguments): SoilPlace | undefined {
  const field = args.text("field");
  const carrier = args.text("carrier");
  if (field !== undefined && carrier !== undefined)
    throw new CommandFailure("follow either a --field or a --carrier, not both at once");
  const alone = ["direction", "from"].find((option) => args.text(option) !== undefined);
  if (field === undefined && carrier === undefined && alone !== undefined)
    throw new CommandFailure(
      `--${alone} says how to follow the soil of one place: name it with --field ID or --carrier ID as well`,
    );
  if (args.text("direction") === "back" && args.text("from") !== undefined)
    throw new CommandFailure("--from counts going forward: leave it out, or use --direction forward or both");
  return field !== undefined ? { field } : carrier !== undefined ? { carrier } : undefined;
}

function assumedFields(text: string | undefined): ConfirmedField[] {
  if (text === undefined) return [];
  const at = text.lastIndexOf("=");
  const confirmedOn = at < 1 ? undefined : parseDay(text.slice(at + 1));
  if (confirmedOn === undefined)
    throw new CommandFailure(
      `--assume takes a field and a day, such as mill-flat=2026-08-24; "${text}" is not of that form`,
    );
  return [{ field: text.slice(0, at), confirmedOn }];
}

/**
 * An assumed find that changes nothing is no answer to what a find would mean.
 *
 * @throws {CommandFailure} for a day that has not come yet, or from which the field is confirmed by the records anyway
 */
function mustMeanSomething({ field, confirmedOn }: ConfirmedField, book: Book): void {
  const day = formatDay(confirmedOn);
  if (confirmedOn > book.asOf)
    throw new CommandFailure(
      `--assume ${field}=${day} lies after ${formatDay(book.asOf)}, the day that is judged by; name an earlier day, or a later one with --as-of`,
    );
  const { confirmed } = book.fieldHistory(field);
  if (confirmed && confirmed.day <= confirmedOn)
    throw new CommandFailure(
      `${field} is confirmed by the records since ${formatDay(confirmed.day)} already, so --assume ${field}=${day} would change nothing; leave it out, or name an earlier day`,
    );
}

function dayOf(option: string, text: string | undefined): number | undefined {
  const day = text === undefined ? undefined : parseDay(text);
  if (text !== undefined && day === undefined)
    throw new CommandFailure(`${option} takes a day of the calendar; "${text}" is none`);
  return day;
}

function knows(book: Book, place: SoilPlace | undefined): boolean {
  if (!place) return true;
  return "field" in place ? book.fieldIds().includes(place.field) : book.carrierIds().includes(place.carrier);
}

function whyUnknown(books: readonly LoadedBook[], place: SoilPlace | undefined, fields: readonly string[]): string {
  const [kind, id] = place && "carrier" in place ? ["carrier", place.carrier] : ["field", fields[0] ?? ""];
  const known = books.flatMap(({ opened: { book } }) => (kind === "carrier" ? book.carrierIds() : book.fieldIds()));
  const wrong = kind === "field" ? (fields.find((field) => !known.includes(field)) ?? id) : id;
  const meant = closest(wrong, known);
  return `no ${kind} "${wrong}"${meant ? `; did you mean "${meant}"?` : " in these records"}`;
}
