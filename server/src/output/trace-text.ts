import { formatMinute, MINUTES_PER_DAY } from "../base/days.ts";
import { dayInWords, listed, plural } from "../base/words.ts";
import type { Book } from "../book/book.ts";
import { carrierDoes, carrierInWords, shareInWords } from "../book/exposure-words.ts";
import { usualEntrance } from "../book/entrances.ts";
import { hostCropOf, type FieldHistory } from "../book/field-history.ts";
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
  /** The first day that counted going forward, where one was asked for. */
  readonly from: number | undefined;
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
  for (const { field, arrived, chain, soilLeft } of answer.exposed) {
    const source = nameOf(story, chain[0]!.from);
    const head = `${colours.level("warning", `> ${nameOf(story, field)} is exposed`)}: soil of ${source} may have come to it, ${shareInWords(soilLeft)} of it left.`;
    const rows = [
      ...chainRows(story, chain),
      ...earlierRows(arrived, chain),
      ...adviceRows(story, field, chain.at(-1)),
    ];
    blocks.push([head, ...rows].join("\n"));
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
    const since = dayInWords(confirmedOn);
    const found = assumed.has(field) ? `is taken for confirmed from ${since} on` : `has been confirmed since ${since}`;
    const infested =
      book.region.trace?.look_back_days === undefined
        ? "the region says of no day from which its soil counts as infested, so it is not followed"
        : `its soil is taken to have been infested since ${dayInWords(Math.floor(infestedFrom / MINUTES_PER_DAY))}`;
    return `${colours.level("error", `X ${nameOf(story, field)}`)} ${found}; ${infested}.`;
  });
  const authority = book.region.notice?.required ? book.region.notice.authority : undefined;
  if (authority) rows.push(`Who must be told, and when, is for the authority to say: ${printable(authority)}.`);
  return rows.join("\n");
}

function placeBlocks(story: TraceStory, colours: Colours): string[] {
  const { origins, destinations } = story.answer;
  const heads = placeHeads(story);
  const blocks: string[] = [];
  if (origins) {
    blocks.push(colours.strong(origins.length === 0 ? heads.noOrigins : `${heads.origins(origins.length)}:`));
    for (const origin of origins) blocks.push(pathBlock(story, origin));
  }
  if (destinations) {
    const { length } = destinations;
    blocks.push(colours.strong(length === 0 ? heads.noDestinations : `${heads.destinations(length)}:`));
    for (const destination of destinations) {
      const { arrived, chain, carrierLeg, field } = destination;
      const advice = adviceRows(story, field, chain.at(-1) ?? carrierLeg);
      blocks.push([pathBlock(story, destination), ...earlierRows(arrived, chain), ...advice].join("\n"));
    }
  }
  return blocks;
}

interface PlaceHeads {
  readonly noOrigins: string;
  readonly origins: (fields: number) => string;
  readonly noDestinations: string;
  readonly destinations: (fields: number) => string;
}

function placeHeads(story: TraceStory): PlaceHeads {
  const { place, asOf } = story;
  const fields = (count: number): string => plural(count, "field");
  if (place && "carrier" in place) {
    const carrier = printable(carrierInWords(place.carrier));
    const had = `What was on ${carrier} ${story.from === undefined ? "before these records begin" : `on ${dayInWords(story.from)}`}`;
    return {
      noOrigins: `No field's soil is known to be on ${carrier}, as of ${asOf}.`,
      origins: (count) => `As of ${asOf}, ${carrier} may have soil of ${fields(count)} on it`,
      noDestinations: `${had} is not known to have come to any field.`,
      destinations: (count) => `${had} may have come to ${fields(count)}`,
    };
  }
  const name = place ? nameOf(story, place.field) : "";
  return {
    noOrigins: `No soil is known to have come to ${name}.`,
    origins: (count) => `Soil may have come to ${name} from ${fields(count)}`,
    noDestinations: `Soil of ${name} is not known to have gone anywhere.`,
    destinations: (count) => `Soil of ${name} may have gone to ${fields(count)}`,
  };
}

function pathBlock(story: TraceStory, path: SoilDestination | SoilOrigin): string {
  const isForward = "arrived" in path;
  const leg = path.carrierLeg ? legRows(story, path.carrierLeg, isForward) : [];
  const chain = chainRows(story, path.chain);
  const rows = isForward ? [...leg, ...chain] : [...chain, ...leg];
  return [`${nameOf(story, path.field)}: ${shareInWords(path.soilLeft)} of the soil may be left.`, ...rows].join("\n");
}

function legRows(story: TraceStory, leg: CarrierLeg, isForward: boolean): string[] {
  const field = nameOf(story, leg.field);
  const moved = row(leg.at, `${carrierDoes(leg.carrier, isForward ? "arrive on" : "leave")} ${field}`);
  const cleanings = cleaningRows(story, leg);
  return isForward ? [...cleanings, moved] : [moved, ...cleanings];
}

function chainRows(story: TraceStory, chain: readonly Carriage[]): string[] {
  return chain.flatMap((step) => {
    const carrier = carrierInWords(step.carrier);
    const cleanings = cleaningRows(story, step);
    if (cleanings.length === 0)
      cleanings.push(printable(`${" ".repeat(20)}no clean-down of ${carrier} is recorded in between`));
    return [
      row(step.left, `${carrierDoes(step.carrier, "leave")} ${nameOf(story, step.from)}`),
      ...cleanings,
      row(step.arrived, `${carrierDoes(step.carrier, "arrive on")} ${nameOf(story, step.to)}`),
    ];
  });
}

function cleaningRows({ book }: TraceStory, { carrier, cleanings }: CarrierLeg | Carriage): string[] {
  return cleanings.map(({ cleaning, at, soilLeft }) => {
    const record = book.cleaningOfCarrier(carrier, cleaning);
    const why = record && isKind(record, "cleanings") ? cleaningShortfalls(record, book) : "";
    const left = `${shareInWords(soilLeft)} left`;
    return row(at, `${carrierDoes(carrier, "be cleaned")}, but not in full${why && ` (${why})`}: ${left}`);
  });
}

/** The chain that is told has the fewest carriages; another may have been quicker. */
function earlierRows(arrived: number, chain: readonly Carriage[]): string[] {
  const last = chain.at(-1);
  if (!last || arrived >= last.arrived) return [];
  return [`  By more carriages, soil may have come as early as ${formatMinute(arrived).replace("T", " ")}.`];
}

function row(minute: number, text: string): string {
  return `  ${formatMinute(minute).replace("T", " ")}  ${printable(text)}`;
}

/** What to do about a field that soil may have reached: when to walk it, and where to dig first. */
function adviceRows({ book }: TraceStory, id: string, last: Carriage | CarrierLeg | undefined): string[] {
  const field = book.fieldHistory(id);
  if (field.confirmed) return ["  What to do: it is confirmed already; keep its soil on it."];
  const { asOf } = book;
  const crop = hostCropOf(field, book.seasonOfDay(asOf));
  const window = crop && scoutingWindow(crop, book);
  const where = whereToDig(field, last, book);
  const day = (at: number): string => dayInWords(at, book.seasonYear);
  if (window && asOf <= window.closes) {
    const when =
      asOf < window.opens ? `from ${day(window.opens)} to ${day(window.closes)}` : `by ${day(window.closes)}`;
    return [printable(`  What to do: walk it ${when}, after the clean fields; ${where}.`)];
  }
  const next = field.crops.find((later) => later.isHost && later.year > book.seasonOfDay(asOf));
  const opens = windowOpensInWords(book);
  const when = next
    ? `walk it in ${next.year}, ${opens} of its ${next.facts.crop ?? "host crop"}`
    : `walk it in the next year it grows a host crop (none is planned yet), ${opens}`;
  return [printable(`  What to do: ${when}, after the clean fields; ${where}.`)];
}

/** `from about 14 days before swathing` */
function windowOpensInWords({ region }: Book): string {
  const { opens_days_after_seeding: after, opens_days_before_swath: before } = region.scouting ?? {};
  if (after !== undefined) return `from about ${plural(after, "day")} after the seeding`;
  return before === undefined ? "before swathing" : `from about ${plural(before, "day")} before swathing`;
}

/** Near the entrance that the carrier's visit names, else the usual one. */
function whereToDig(field: FieldHistory, last: Carriage | CarrierLeg | undefined, book: Book): string {
  const visit = last && book.visitOfCarrier(last.carrier, "visitArrived" in last ? last.visitArrived : last.visit);
  const used = visit?.facts.entrance;
  if (last && used) return `dig first near the ${used} entrance, where ${carrierInWords(last.carrier)} came in`;
  const usual = usualEntrance(field)?.name;
  return usual ? `dig first near the ${usual} entrance, the usual one` : "dig first near the entrance";
}

function nameOf({ book }: TraceStory, field: string): string {
  return printable(book.fieldName(field));
}
