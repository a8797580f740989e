import { formatMinute, MINUTES_PER_DAY } from "../../base/days.ts";
import { capitalised, dayInWords, plural, timeOfDay, times } from "../../base/words.ts";
import {
  movesBetweenFields,
  soilLeftAfter,
  type CarrierCleaning,
  type CarrierMove,
  type CarrierStay,
} from "../../book/carrier-history.ts";
import { cleaningShortfalls } from "../../book/clean-down-words.ts";
import { shareInWords } from "../../book/exposure-words.ts";
import type { RiskStatus } from "../../book/field-status.ts";
import { isKind } from "../../records/record.ts";
import type { CalendarFacts, CalendarRow } from "../picture/calendar.ts";
import { opens, type SeasonFacts } from "./season-facts.ts";
import type { Viewpoint } from "./viewpoint.ts";

/** Words that lead to a record. */
export interface Linked {
  readonly words: string;
  readonly open: string | undefined;
}

/** A visit of a carrier, and how it was cleaned before the next: a row of the table beside the calendar. */
export interface CarrierVisit {
  readonly carrier: string;
  /** Undefined for what was cleaned before the first visit. */
  readonly visit: (Linked & { readonly arrived: number }) | undefined;
  readonly cleanings: readonly Linked[];
  /** Said where it went on to another field without a full clean-down. */
  readonly wentOn: Linked | undefined;
}

export interface CarrierSeason {
  readonly calendar: CalendarFacts;
  /** By carrier, in order of time. */
  readonly visits: readonly CarrierVisit[];
}

const RISKY: ReadonlySet<RiskStatus> = new Set(["confirmed", "suspected", "exposed"]);

/** Where each carrier of the season was and how it was cleaned; of a grower the carriers that were on his fields. */
export function carrierSeason(facts: SeasonFacts): CarrierSeason {
  const { view, season } = facts;
  const { book } = view;
  const risky = new Set(facts.fields.filter(({ risk }) => RISKY.has(risk.status)).map(({ id }) => id));
  const inSeason = (minute: number): boolean =>
    season !== undefined && book.seasonOfDay(Math.floor(minute / MINUTES_PER_DAY)) === season;
  const visits: CarrierVisit[] = [];
  const rows = book.carrierIds().flatMap((id): CalendarRow[] => {
    const history = book.carrierHistory(id);
    const stays = history.stays.filter(({ arrived }) => inSeason(arrived));
    if (!stays.some(({ field }) => view.isShown(field))) return [];
    const name = view.carrierName(id);
    const cleanings = history.cleanings.filter(({ at }) => inSeason(at));
    const gaps = movesBetweenFields(history).filter(
      ({ from, to, cleanings: between }) =>
        inSeason(to.arrived) &&
        !between.some(({ result }) => result.full) &&
        (view.isShown(from.field) || view.isShown(to.field)),
    );
    const row: CalendarRow = {
      name,
      stays: stays.map((stay) => {
        const { arrived, field, visit } = stay;
        const label = `${name}: ${stayInWords(stay, view)}`;
        const open = view.isShown(field) ? opens("visits", visit.id) : undefined;
        const isScouting = visit.facts.purpose === "scouting";
        return { label, arrived, isScouting, isRisky: risky.has(field), open, from: arrived };
      }),
      cleanings: cleanings.map((cleaning) => {
        const { at, record, result } = cleaning;
        const label = `${name}: ${cleaningInWords(cleaning, view)}`;
        return { label, at, isFull: result.full, open: cleaningOpens(record, view), from: at };
      }),
      gaps: gaps.map(({ from, to, cleanings: between }) => ({
        label: `${name}: ${gapInWords(from, to, between, view)}`,
        left: from.left,
        arrived: to.arrived,
        isPartial: between.length > 0,
        open: view.isShown(to.field) ? opens("visits", to.visit.id, ["arrived"]) : undefined,
        since: from.left,
        from: to.arrived,
      })),
    };
    visits.push(...visitsOf(name, { stays, cleanings, gaps }, row, view));
    return [row];
  });
  return { calendar: calendarOf(rows, facts), visits };
}

function calendarOf(rows: readonly CalendarRow[], { season, view }: SeasonFacts): CalendarFacts {
  const days = rows.flatMap(({ stays, cleanings }) =>
    [...stays.map(({ arrived }) => arrived), ...cleanings.map(({ at }) => at)].map((at) =>
      Math.floor(at / MINUTES_PER_DAY),
    ),
  );
  const first = days.reduce((least, day) => Math.min(least, day), Infinity);
  const last = days.reduce((most, day) => Math.max(most, day), -Infinity);
  const gaps = rows.reduce((sum, row) => sum + row.gaps.length, 0);
  const description = Number.isFinite(first)
    ? `${plural(rows.length, "carrier")} from ${dayInWords(first, view.book.seasonYear)} to ${dayInWords(last, view.book.seasonYear)}: above each line its visits to fields, below it its clean-downs. ${gaps === 0 ? "Between fields each was always cleaned in full." : `${capitalised(times(gaps))} one went from field to field without a full clean-down.`} The table of this page says the same in words.`
    : "No visits are recorded.";
  return {
    title: `Visits and clean-downs of season ${season ?? ""}`.trim(),
    description,
    first: Number.isFinite(first) ? first : 0,
    last: Number.isFinite(last) ? last : -1,
    rows,
  };
}

interface CarrierRecords {
  readonly stays: readonly CarrierStay[];
  readonly cleanings: readonly CarrierCleaning[];
  readonly gaps: readonly CarrierMove[];
}

/** @param row of the calendar, whose marks stand in the same order */
function visitsOf(
  carrier: string,
  { stays, cleanings, gaps }: CarrierRecords,
  row: CalendarRow,
  view: Viewpoint,
): CarrierVisit[] {
  const cleanedWithin = (from: number, to: number): Linked[] =>
    cleanings.flatMap((cleaning, i) =>
      cleaning.at >= from && cleaning.at < to
        ? [{ words: cleaningInWords(cleaning, view), open: row.cleanings[i]!.open }]
        : [],
    );
  const before = cleanedWithin(-Infinity, stays[0]?.arrived ?? Infinity);
  const rows = stays.map((stay, i): CarrierVisit => {
    const gap = gaps.find(({ from }) => from === stay);
    const visit = { words: stayInWords(stay, view), open: row.stays[i]!.open, arrived: stay.arrived };
    const open = gap && row.gaps[gaps.indexOf(gap)]!.open;
    const wentOn = gap && { words: gapInWords(gap.from, gap.to, gap.cleanings, view), open };
    return { carrier, visit, cleanings: cleanedWithin(stay.arrived, stays[i + 1]?.arrived ?? Infinity), wentOn };
  });
  return before.length === 0 ? rows : [{ carrier, visit: undefined, cleanings: before, wentOn: undefined }, ...rows];
}

function stayInWords({ field, visit, arrived, left }: CarrierStay, view: Viewpoint): string {
  const until = left > arrived ? ` to ${sameDay(arrived, left) ? timeOfDay(left) : momentInWords(left, view)}` : "";
  const purpose = view.isShown(field) && visit.facts.purpose !== undefined ? `, ${visit.facts.purpose}` : "";
  return `on ${view.fieldName(field)}, ${momentInWords(arrived, view)}${until}${purpose}`;
}

function cleaningInWords({ at, record, result }: CarrierCleaning, view: Viewpoint): string {
  if (isKind(record, "visits"))
    return `disinfected at the edge of ${fieldOf(record.facts.field, view)}, ${momentInWords(at, view)}`;
  const { place, field } = record.facts;
  const where =
    place === undefined
      ? ""
      : place === "field entrance" && field !== undefined
        ? `, at the entrance of ${fieldOf(field, view)}`
        : `, ${place}`;
  if (result.full) return `cleaned in full, ${momentInWords(at, view)}${where}`;
  const why = cleaningShortfalls(record, view.book);
  return `cleaned, but not in full${why === "" ? "" : ` (${why})`}, ${momentInWords(at, view)}${where}`;
}

function gapInWords(from: CarrierStay, to: CarrierStay, between: readonly CarrierCleaning[], view: Viewpoint): string {
  const way = `from ${view.fieldName(from.field)} to ${view.fieldName(to.field)}`;
  return between.length === 0
    ? `${way} with no clean-down recorded in between`
    : `${way} after a clean-down that fell short: ${shareInWords(soilLeftAfter(between))} of the soil may be left`;
}

function fieldOf(field: string | undefined, view: Viewpoint): string {
  return field === undefined ? "a field" : view.fieldName(field);
}

/** Where a clean-down is recorded; one at a field that is not shown is nobody's to open. */
function cleaningOpens(record: CarrierCleaning["record"], view: Viewpoint): string | undefined {
  const { field } = record.facts;
  if (field !== undefined && !view.isShown(field)) return undefined;
  return isKind(record, "visits") ? opens("visits", record.id, ["footwear"]) : opens("cleanings", record.id);
}

function sameDay(a: number, b: number): boolean {
  return formatMinute(a).slice(0, 10) === formatMinute(b).slice(0, 10);
}

/** `8 May 15:20` */
export function momentInWords(minute: number, { book }: Viewpoint): string {
  return `${dayInWords(Math.floor(minute / MINUTES_PER_DAY), book.seasonYear)} ${timeOfDay(minute)}`;
}
