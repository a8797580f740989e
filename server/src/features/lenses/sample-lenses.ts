import { dayInWords, plural } from "../../base/words.ts";
import { parseDay } from "../../base/days.ts";
import type { Book } from "../../book/book.ts";
import type { FieldSample } from "../../book/field-history.ts";
import { labOf } from "../../book/labs.ts";
import { sampleOf } from "../../book/histories.ts";
import type { RecordPlace } from "../../records/finding.ts";
import type { FactRecord } from "../../records/record.ts";
import { placesTarget, valueAt, type LensText } from "./lens.ts";
import { plainTitle } from "../safe-text.ts";

/** How long the sample has been at the lab, or was, and what came of it; it opens the dig that it is from. */
export function sampleLenses(record: FactRecord<"samples">, book: Book): LensText[] {
  const sample = sampleOf(record, book.asOf);
  if (!sample) return [];
  return [{ title: plainTitle(sampleInWords(sample, book)), opens: placesTarget(originOf(record, book), book) }];
}

/** `detected · 13 days at the lab, reported 28 Aug`, `12 days at the lab, result due in 9 days`, `not sent, taken 5 days ago` */
export function sampleInWords(sample: FieldSample, book: Book): string {
  const { record, sent, taken, reported, finding } = sample;
  const receivedDay = dayUpTo(record.facts.received, book.asOf);
  // A day before the sending is a slip, told elsewhere: then the sending counts.
  const received = receivedDay !== undefined && receivedDay >= (sent ?? receivedDay) ? receivedDay : undefined;
  const since = received ?? sent;
  if (finding !== undefined) {
    if (reported === undefined || since === undefined || reported < since) return finding;
    return `${finding} · ${plural(reported - since, "day")} at the lab, reported ${dayInWords(reported, book.seasonYear)}`;
  }
  if (since === undefined) {
    const ago =
      taken === undefined ? "" : `, taken ${taken === book.asOf ? "today" : `${plural(book.asOf - taken, "day")} ago`}`;
    return `not sent${ago}${sendBy(taken, book)}`;
  }
  const where = received === undefined ? "sent" : "received";
  const turnaround = labOf(book, record.facts.lab)?.turnaround_days;
  // A lab counts its time from the sending, as its turnaround says.
  const due = turnaround === undefined || sent === undefined ? "" : dueInWords(sent + turnaround - book.asOf);
  return `${plural(book.asOf - since, "day")} at the lab (${where} ${dayInWords(since, book.seasonYear)})${due}`;
}

function dueInWords(days: number): string {
  if (days < 0) return `, result overdue by ${plural(-days, "day")}`;
  return days === 0 ? ", result due today" : `, result due in ${plural(days, "day")}`;
}

function sendBy(taken: number | undefined, book: Book): string {
  const within = book.region.sample?.send_within_days;
  return taken === undefined || within === undefined
    ? ""
    : `, to be sent by ${dayInWords(taken + within, book.seasonYear)}`;
}

function dayUpTo(text: string | undefined, asOf: number): number | undefined {
  const day = text === undefined ? undefined : parseDay(text);
  return day !== undefined && day <= asOf ? day : undefined;
}

function originOf({ facts }: FactRecord<"samples">, book: Book): RecordPlace[] {
  const visit = facts.visit ? book.record("visits", facts.visit) : undefined;
  if (!visit) return [];
  const dig = visit.facts.digs?.findIndex(({ id }) => id !== undefined && id === facts.dig) ?? -1;
  return [dig >= 0 ? valueAt(visit, "digs", dig, "id") : valueAt(visit, "id")];
}
