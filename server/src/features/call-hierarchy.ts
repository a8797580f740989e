import { MINUTES_PER_DAY } from "../base/days.ts";
import type { Span } from "../base/text.ts";
import { dayInWords } from "../base/words.ts";
import { entryIndex } from "../book/book-index.ts";
import type { Book } from "../book/book.ts";
import { carrierInWords, placesOfChain, shareInWords } from "../book/exposure-words.ts";
import { BOOTS_PREFIX } from "../book/references.ts";
import { spanOfPlace } from "../records/places.ts";
import { isKind, type FactRecord } from "../records/record.ts";
import { carriagesFrom, carriagesTo } from "../soil/carriages.ts";
import type { Carriage } from "../soil/soil-records.ts";
import { soilTo, type CarrierLeg } from "../soil/soil-trace.ts";
import { carriagesOff, carriagesOnto } from "./carrier-steps.ts";
import type { FeatureContext, FilePlace } from "./context.ts";
import { cursorAt } from "./cursor.ts";
import { idAt } from "./id-places.ts";
import { filePlaceOf, filePlacesOf, fileOf } from "./places.ts";
import { oneLine } from "./safe-text.ts";

/**
 * The soil's ways as a call hierarchy: incoming is where soil may have come from, outgoing where it may have gone, one
 * carriage at a time. A way keeps to the order of time: what is asked of a field that was reached counts only what left it
 * since, and what is asked of one that soil came from only what had arrived by then.
 */

/** What an item stands for, to be handed back with the next question; plain JSON. */
export interface SoilItemData {
  readonly place: "field" | "carrier";
  readonly id: string;
  /** Outgoing: the minute at which the soil arrived; see `base/days.ts`. Undefined: since before the records. */
  readonly since?: number;
  /** Incoming: the minute by which soil must have been there. Undefined: up to now. */
  readonly upTo?: number;
  /** The share of soil left on the way so far, 0 to 1. */
  readonly soilLeft?: number;
}

export interface SoilItem extends FilePlace {
  readonly name: string;
  readonly detail: string;
  readonly kind: "field" | "equipment" | "boots";
  /** The id, or the time of the visit, within `span`. */
  readonly selection: Span;
  readonly data: SoilItemData;
}

export interface SoilCall {
  /** The field that soil came from or went to; it stands at the visit that was left or reached. */
  readonly item: SoilItem;
  /** The places of the carriage that are in the caller's file: incoming in that of `item`, outgoing in that of the item asked about. */
  readonly spans: readonly Span[];
  /** The visit that was left, each clean-down that fell short, the visit that was reached. */
  readonly places: readonly FilePlace[];
}

const MOST_CALLS = 200;

/** The field or carrier under an offset, or whose record it lies in; a member of the crew stands for their boots. */
export function prepareCallHierarchy(context: FeatureContext, at: number): SoilItem | undefined {
  const asked = idAt(context, at);
  if (asked) {
    const { place, definition } = asked;
    const { kind, id } = place.written;
    const known = definition && filePlaceOf(context.book, { ...definition, part: "value" });
    const from = known
      ? { record: definition.record, selection: known.span }
      : { record: place.record, selection: place.span };
    if (kind === "field") return rootItem(context.book, "field", id, from);
    if (kind === "equipment") return rootItem(context.book, "carrier", id, from);
    if (kind === "crew") return rootItem(context.book, "carrier", BOOTS_PREFIX + id, from);
  }
  const record = cursorAt(context, at)?.record;
  if (!record || record.id === "" || !(isKind(record, "fields") || isKind(record, "equipment"))) return undefined;
  const selection = filePlaceOf(context.book, { record, pointer: ["id"], part: "value" })?.span;
  return (
    selection &&
    rootItem(context.book, isKind(record, "fields") ? "field" : "carrier", record.id, { record, selection })
  );
}

interface ItemPlace {
  readonly record: FactRecord;
  readonly selection: Span;
}

function rootItem(book: Book, place: "field" | "carrier", id: string, at: ItemPlace): SoilItem | undefined {
  const detail = place === "field" ? confirmedWords(book, id) : "";
  return itemAt(book, at, { place, id }, detail);
}

/** Where the soil of a field, or on a carrier, may have come from, one carriage back. */
export function incomingCalls(book: Book, data: SoilItemData): SoilCall[] {
  const { timeline } = book.soil();
  if (data.place === "field") {
    return carriagesTo(timeline, data.id, data.upTo)
      .slice(0, MOST_CALLS)
      .flatMap((step) => incomingCall(book, step, data) ?? []);
  }
  const onBoard = soilTo(timeline, { carrier: data.id }).flatMap(({ chain, carrierLeg }) =>
    chain.length === 0 && carrierLeg ? [carrierLeg] : [],
  );
  const fields = new Set(onBoard.map(({ field }) => field));
  const brought = carriagesOff(timeline, data.id).filter(({ from }) => !fields.has(from));
  const calls = [
    ...onBoard.sort((a, b) => b.at - a.at).flatMap((leg) => onBoardCall(book, leg) ?? []),
    ...brought.flatMap((step) => incomingCall(book, step, data) ?? []),
  ];
  return calls.slice(0, MOST_CALLS);
}

/**
 * Where the soil of a field, or on a carrier, may have gone, one carriage on.
 *
 * @param path the file of the item that is asked about
 */
export function outgoingCalls(book: Book, data: SoilItemData, path: string): SoilCall[] {
  const { timeline } = book.soil();
  const steps =
    data.place === "field" ? carriagesFrom(timeline, data.id, data.since) : carriagesOnto(timeline, data.id);
  return steps.slice(0, MOST_CALLS).flatMap((step) => {
    const { to, carrier, arrived, visitArrived } = step;
    const soilLeft = (data.soilLeft ?? 1) * step.soilLeft;
    const way = data.place === "field" ? carrierInWords(carrier) : `with soil of ${book.fieldName(step.from)}`;
    const detail = detailOf(book, to, [way, timesInWords(book, step), shareOfWay(step.soilLeft, soilLeft, data)]);
    const next: SoilItemData = { place: "field", id: to, since: arrived, soilLeft };
    const item = visitItem(book, book.visitOfCarrier(carrier, visitArrived), ["arrived"], next, detail);
    return item ? callOf(book, step, item, path) : [];
  });
}

function incomingCall(book: Book, step: Carriage, data: SoilItemData): SoilCall | undefined {
  const { from, carrier, left, visitLeft } = step;
  const soilLeft = (data.soilLeft ?? 1) * step.soilLeft;
  const way = data.place === "field" ? carrierInWords(carrier) : `to ${book.fieldName(step.to)}`;
  const detail = detailOf(book, from, [way, timesInWords(book, step), shareOfWay(step.soilLeft, soilLeft, data)]);
  const next: SoilItemData = { place: "field", id: from, upTo: left, soilLeft };
  const visit = book.visitOfCarrier(carrier, visitLeft);
  const item = visitItem(book, visit, leavingPointer(visit), next, detail);
  return item && callOf(book, step, item, item.path);
}

/** Soil that a carrier has taken up and not lost since to a full clean-down. */
function onBoardCall(book: Book, leg: CarrierLeg): SoilCall | undefined {
  const { carrier, field, at, visit, soilLeft, cleanings } = leg;
  const share = `${shareInWords(soilLeft)} of the soil still on board`;
  const detail = detailOf(book, field, [carrierInWords(carrier), `left ${dayWords(book, at)}`, share]);
  const next: SoilItemData = { place: "field", id: field, upTo: at, soilLeft };
  const record = book.visitOfCarrier(carrier, visit);
  const item = visitItem(book, record, leavingPointer(record), next, detail);
  if (!item) return undefined;
  const cleaned = cleanings.flatMap(({ cleaning }) => {
    const partial = book.cleaningOfCarrier(carrier, cleaning);
    const pointer = partial && isKind(partial, "visits") ? ["footwear"] : ["steps"];
    return partial ? filePlacesOf(book, [{ record: partial, pointer, part: "key" }]) : [];
  });
  const { path, selection } = item;
  return { item, spans: [selection], places: [{ path, span: selection }, ...cleaned] };
}

function callOf(book: Book, step: Carriage, item: SoilItem, path: string): SoilCall {
  const places = filePlacesOf(
    book,
    placesOfChain([step], book).map(({ place }) => place),
  );
  return { item, places, spans: places.filter((place) => place.path === path).map(({ span }) => span) };
}

function leavingPointer(visit: FactRecord<"visits"> | undefined): string[] {
  return visit?.facts.left === undefined ? ["arrived"] : ["left"];
}

function visitItem(
  book: Book,
  record: FactRecord<"visits"> | undefined,
  pointer: string[],
  data: SoilItemData,
  detail: string,
): SoilItem | undefined {
  const place = record && filePlaceOf(book, { record, pointer, part: "value" });
  return place && itemAt(book, { record, selection: place.span }, data, detail);
}

function itemAt(book: Book, at: ItemPlace, data: SoilItemData, detail: string): SoilItem | undefined {
  const file = fileOf(book, at.record.file);
  if (!file) return undefined;
  const { selection } = at;
  // A person's own lines, not all of season.yaml.
  const record = file.kind === "season" ? selection : spanOfPlace(file, entryIndex(file, at.record), [], "value");
  const span = { start: Math.min(record.start, selection.start), end: Math.max(record.end, selection.end) };
  const isBoots = data.id.startsWith(BOOTS_PREFIX);
  const kind = data.place === "field" ? "field" : isBoots ? "boots" : "equipment";
  const name = kind === "field" ? book.fieldName(data.id) : carrierInWords(data.id);
  return { path: file.path, span, selection, name: oneLine(name, 100), detail: oneLine(detail, 300), kind, data };
}

function detailOf(book: Book, field: string, parts: readonly string[]): string {
  return [...parts, confirmedWords(book, field)].filter((part) => part !== "").join(" · ");
}

function confirmedWords(book: Book, field: string): string {
  const since = book.soil().confirmed.get(field)?.confirmedOn;
  return since === undefined ? "" : `confirmed ${dayInWords(since, book.seasonYear)}`;
}

function timesInWords(book: Book, { left, arrived }: Carriage): string {
  const [leftDay, arrivedDay] = [dayWords(book, left), dayWords(book, arrived)];
  return leftDay === arrivedDay ? arrivedDay : `left ${leftDay}, arrived ${arrivedDay}`;
}

function dayWords(book: Book, minute: number): string {
  return dayInWords(Math.floor(minute / MINUTES_PER_DAY), book.seasonYear);
}

/** The share of the soil that the carriage left, and where it is not the first of its way, what the whole way left. */
function shareOfWay(share: number, wholeWay: number, { soilLeft }: SoilItemData): string {
  const words = `${shareInWords(share)} of the soil left`;
  return soilLeft === undefined || soilLeft >= 1 ? words : `${words}, ${shareInWords(wholeWay)} over the whole way`;
}

/** Reads what a client hands back with an item; undefined for what no item was made with. */
export function soilItemData(value: unknown): SoilItemData | undefined {
  if (typeof value !== "object" || value === null) return undefined;
  const { place, id, since, upTo, soilLeft } = value as Readonly<Record<string, unknown>>;
  if ((place !== "field" && place !== "carrier") || typeof id !== "string") return undefined;
  return {
    place,
    id,
    ...(isFinite(since) && { since }),
    ...(isFinite(upTo) && { upTo }),
    ...(isFinite(soilLeft) && { soilLeft }),
  };
}

function isFinite(value: unknown): value is number {
  return Number.isFinite(value);
}
