import { formatMinute, MINUTES_PER_DAY, parseDay, yearOfDay } from "../base/days.ts";
import { dayInWords, listed, plural } from "../base/words.ts";
import type { Book } from "../book/book.ts";
import { carrierInWords, shareInWords } from "../book/exposure-words.ts";
import { usualEntrance } from "../book/entrances.ts";
import { hostCropOf } from "../book/field-history.ts";
import { scoutingWindow } from "../book/scouting-window.ts";
import type { TraceAnswer } from "../book/trace.ts";
import { isKind } from "../records/record.ts";
import type { Carriage } from "../soil/soil-records.ts";
import type { CarrierLeg, SoilDestination, SoilOrigin, SoilPlace } from "../soil/soil-trace.ts";
import { cleaningShortfalls } from "../book/clean-down-words.ts";
import type { Colours } from "./colours.ts";
import { printable } from "./printable.ts";

export interface TraceStory {
  readonly book: Book;
  readonly answer: TraceAnswer;
  readonly place: SoilPlace | undefined;
  /** The fields that were assumed to be confirmed. */
  readonly assumed: ReadonlySet<string>;
  readonly asOf: string;
}

/** The answer as a story with dates: who left where, what was cleaned how, where it arrived, and what to do now. */
export function traceText(story: TraceStory, colours: Colours): string {
  const blocks = story.place ? placeBlocks(story, colours) : bookBlocks(story, colours);
  return `${blocks.join("\n\n")}\n`;
}

function bookBlocks(story: TraceStory, colours: Colours): string[] {
  const { answer, asOf } = story;
  if (answer.confirmed.length === 0) {
    return [
      `No field is confirmed as of ${asOf}, so no soil is known to be infested. Follow any field's soil with --field, or ask what a find would mean with --assume FIELD=DATE.`,
    ];
  }
  const blocks = [confirmedText(story, colours)];
  for (const { field, chain, soilLeft } of answer.exposed) {
    const head = `${colours.level("warning", `> ${nameOf(story, field)} is exposed`)}: ${shareInWords(soilLeft)} of the soil that came from ${nameOf(story, chain[0]!.from)} may be left.`;
    blocks.push([head, ...chainRows(story, chain), ...adviceRows(story, field, chain.at(-1)!.carrier)].join("\n"));
  }
  if (answer.exposed.length === 0) blocks.push(colours.good("No chain of carriages leads from them to another field."));
  else
    blocks.push(
      `${plural(answer.exposed.length, "field")} exposed: ${listed(answer.exposed.map(({ field }) => nameOf(story, field)))}.`,
    );
  return blocks;
}

function confirmedText(story: TraceStory, colours: Colours): string {
  const { answer, assumed, book } = story;
  const rows = answer.confirmed.map(({ field, confirmedOn, infestedFrom }) => {
    const word = assumed.has(field) ? "taken for confirmed" : "confirmed";
    const since = dayInWords(Math.floor(infestedFrom / MINUTES_PER_DAY));
    return `${colours.level("error", `X ${nameOf(story, field)}`)} is ${word} since ${dayInWords(confirmedOn)}; its soil counts as infested from ${since} on.`;
  });
  const authority = book.region.notice?.required ? book.region.notice.authority : undefined;
  if (authority) rows.push(`Who must be told is for the authority to say: ${printable(authority)}.`);
  return rows.join("\n");
}

function placeBlocks(story: TraceStory, colours: Colours): string[] {
  const { answer, place } = story;
  const name = place && "field" in place ? nameOf(story, place.field) : printable(carrierInWords(place?.carrier ?? ""));
  const blocks: string[] = [];
  if (answer.origins) {
    blocks.push(
      colours.strong(
        answer.origins.length === 0
          ? `No soil is known to have come to ${name}.`
          : `Soil may have come to ${name} from ${plural(answer.origins.length, "field")}:`,
      ),
    );
    for (const origin of answer.origins) blocks.push(pathBlock(story, origin, nameOf(story, origin.field)));
  }
  if (answer.destinations) {
    blocks.push(
      colours.strong(
        answer.destinations.length === 0
          ? `Soil of ${name} is not known to have gone anywhere.`
          : `Soil of ${name} may have gone to ${plural(answer.destinations.length, "field")}:`,
      ),
    );
    for (const destination of answer.destinations) {
      const carrier = destination.chain.at(-1)?.carrier ?? destination.carrierLeg?.carrier;
      const advice = adviceRows(story, destination.field, carrier);
      blocks.push([pathBlock(story, destination, nameOf(story, destination.field)), ...advice].join("\n"));
    }
  }
  return blocks;
}

function pathBlock(story: TraceStory, path: SoilDestination | SoilOrigin, name: string): string {
  const leg = path.carrierLeg && legRow(story, path.carrierLeg, "arrived" in path);
  const chain = chainRows(story, path.chain);
  const rows = leg ? ("arrived" in path ? [leg, ...chain] : [...chain, leg]) : chain;
  return [`${name}: ${shareInWords(path.soilLeft)} of the soil may be left.`, ...rows].join("\n");
}

function legRow(story: TraceStory, leg: CarrierLeg, isForward: boolean): string {
  return row(
    leg.at,
    `${carrierInWords(leg.carrier)} ${isForward ? "arrives on" : "leaves"} ${nameOf(story, leg.field)}`,
  );
}

function chainRows(story: TraceStory, chain: readonly Carriage[]): string[] {
  return chain.flatMap((step) => {
    const carrier = carrierInWords(step.carrier);
    const cleanings = step.cleanings.map(({ cleaning, at, soilLeft }) => {
      const record = story.book.cleaningOfCarriage(cleaning);
      const why = record && isKind(record, "cleanings") ? cleaningShortfalls(record, story.book) : "";
      return row(at, `${carrier} is cleaned, but not in full${why && ` (${why})`}: ${shareInWords(soilLeft)} left`);
    });
    if (cleanings.length === 0) cleanings.push(`${" ".repeat(20)}no clean-down of ${carrier} is recorded in between`);
    return [
      row(step.left, `${carrier} leaves ${nameOf(story, step.from)}`),
      ...cleanings,
      row(step.arrived, `${carrier} arrives on ${nameOf(story, step.to)}`),
    ];
  });
}

function row(minute: number, text: string): string {
  return `  ${formatMinute(minute).replace("T", " ")}  ${printable(text)}`;
}

/** What to do about a field that soil may have reached: when to walk it, and where to dig first. */
function adviceRows({ book, asOf }: TraceStory, id: string, carrier: string | undefined): string[] {
  const field = book.fieldHistory(id);
  if (field.confirmed) return ["  What to do: it is confirmed already; keep its soil on it."];
  const today = parseDay(asOf) ?? book.asOf;
  const crop = hostCropOf(field, yearOfDay(today));
  const window = crop && scoutingWindow(crop, book);
  const entrance = usualEntrance(field)?.name;
  const where = `dig first ${entrance ? `near the ${entrance} entrance` : "near the entrance"}${carrier ? `, where ${carrierInWords(carrier)} came in` : ""}`;
  if (window && today <= window.closes) {
    const when =
      today < window.opens
        ? `from ${dayInWords(window.opens)} to ${dayInWords(window.closes)}`
        : `now, until ${dayInWords(window.closes)}`;
    return [printable(`  What to do: walk it ${when}, after the clean fields; ${where}.`)];
  }
  const next = field.crops.find((later) => later.isHost && later.year > yearOfDay(today));
  const before = book.region.scouting?.opens_days_before_swath;
  const opens = before === undefined ? "before swathing" : `from about ${plural(before, "day")} before swathing`;
  const when = next
    ? `walk it in ${next.year}, ${opens} of its ${next.facts.crop ?? "host crop"}`
    : `walk it in the next year it grows a host crop (none is planned yet), ${opens}`;
  return [printable(`  What to do: ${when}, after the clean fields; ${where}.`)];
}

function nameOf({ book }: TraceStory, field: string): string {
  return printable(book.fieldName(field));
}
