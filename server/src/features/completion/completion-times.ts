import { formatDay, MINUTES_PER_DAY, formatMinute, parseDay, parseMinute } from "../../base/days.ts";
import { dayInWords } from "../../base/words.ts";
import type { FactRecord } from "../../records/record.ts";
import { isKind } from "../../records/record.ts";
import type { Clock, Proposal } from "./completion-item.ts";
import type { ValueSite } from "./value-site.ts";

/** Days that a date is likely to be, the likeliest first. */
export function dayProposals(site: ValueSite, clock: Clock): Proposal[] {
  const { record, key } = site;
  const found: Proposal[] = [];
  const add = (text: string | undefined, detail: string): void => {
    const day = text === undefined ? undefined : parseDay(text.slice(0, 10));
    if (day === undefined) return;
    const date = formatDay(day);
    if (!found.some((one) => one.text === date))
      found.push({ text: date, detail: `${detail}, ${dayInWords(day)}`, kind: "time" });
  };
  if (isKind(record, "samples")) {
    const { facts } = record;
    const visit = facts.visit ? site.book.record("visits", facts.visit) : undefined;
    if (key === "taken") add(visit?.facts.arrived, "the day of the visit");
    add(clock.today, "today");
    if (key === "sent") add(facts.taken, "the day it was taken");
    if (key === "received") add(facts.sent, "the day it was sent");
    if (key === "reported") add(facts.received, "the day the lab had it");
  }
  add(clock.today, "today");
  const today = parseDay(clock.today);
  if (today !== undefined) add(formatDay(today - 1), "yesterday");
  return found;
}

/** Times that a moment is likely to be, the likeliest first. */
export function timeProposals(site: ValueSite, clock: Clock): Proposal[] {
  const found: Proposal[] = [];
  const add = (minute: number | undefined, detail: string): void => {
    const text = minute === undefined ? undefined : formatMinute(minute);
    if (text !== undefined && !found.some((one) => one.text === text)) found.push({ text, detail, kind: "time" });
  };
  const now = parseMinute(clock.now);
  const { record, key } = site;
  const last = lastVisitBefore(site, now);
  if (isKind(record, "cleanings") && key === "at" && last)
    add(last.left, `when ${site.book.fieldName(last.field)} was left`);
  add(now, "now");
  if (isKind(record, "visits") && key === "left") {
    const arrived = parseMinute(record.facts.arrived ?? "");
    if (arrived !== undefined) add(arrived, "when the field was entered");
  }
  if (isKind(record, "visits") && key === "arrived" && last)
    add(last.left, `when ${site.book.fieldName(last.field)} was left`);
  const day = now === undefined ? undefined : Math.floor(now / MINUTES_PER_DAY);
  if (day !== undefined)
    found.push({
      text: `${formatDay(day)}T`,
      label: `${formatDay(day)}T…`,
      detail: "today; the time is yours to add",
      kind: "time",
    });
  return found;
}

interface VisitEnd {
  readonly field: string;
  readonly left: number;
}

/** The last visit of the record's carriers or crew that ended before now. */
function lastVisitBefore({ record, book }: ValueSite, now: number | undefined): VisitEnd | undefined {
  const ends: VisitEnd[] = [];
  const latest = (visits: readonly { field: string; left: number; visit: FactRecord<"visits"> }[]): void => {
    const last = visits.findLast((one) => one.visit.id !== record.id && (now === undefined || one.left <= now));
    if (last) ends.push(last);
  };
  if (isKind(record, "cleanings")) for (const id of record.facts.equipment ?? []) latest(book.carrierHistory(id).stays);
  const crew = isKind(record, "visits")
    ? (record.facts.crew ?? [])
    : isKind(record, "cleanings")
      ? [record.facts.by ?? ""]
      : [];
  if (ends.length === 0) for (const id of crew) if (id) latest(book.crewHistory(id).visits);
  if (ends.length === 0) for (const id of book.crewIds()) latest(book.crewHistory(id).visits);
  return ends.sort((a, b) => b.left - a.left)[0];
}
