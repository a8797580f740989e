import { formatDay, formatMinute } from "../base/days.ts";
import { plural } from "../base/words.ts";
import { sha256 } from "../base/sha256.ts";
import type { Book } from "../book/book.ts";
import { clockRules } from "../planning/local-clock.ts";
import type { PlannedDay, PlannedField, SeasonPlan } from "../planning/season-plan.ts";
import { entranceName, mixInWords, placeInWords, standingInWords, stopLineInWords, stopLines } from "./plan-words.ts";

/**
 * The plan as a calendar (RFC 5545), one event for each walk. With the book's time zone its clock changes are written out;
 * without one, times are floating: those of whichever clock shows them. Only what the records say goes in; the event's id is made
 * from the field, the day and the walker, so that a plan made anew replaces the one before.
 */
export function planIcs(plans: readonly { readonly plan: SeasonPlan; readonly book: Book }[]): string {
  const lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Spadework//Plan of scouting//EN", "CALSCALE:GREGORIAN"];
  const zones = new Map<string, readonly [number, number]>();
  for (const { plan, book } of plans) {
    const zone = zoneOf(plan, book);
    if (zone === undefined) continue;
    const { from, days } = plan.question;
    const [first, last] = zones.get(zone) ?? [Infinity, -Infinity];
    zones.set(zone, [Math.min(first, from), Math.max(last, from + days)]);
  }
  for (const [zone, [first, last]] of zones) lines.push(...zoneLines(zone, first, last));
  for (const { plan, book } of plans)
    for (const day of plan.days) for (const field of day.fields) lines.push(...eventLines(field, day, plan, book));
  lines.push("END:VCALENDAR");
  return lines.map((line) => `${folded(line)}\r\n`).join("");
}

/** The zone's name, where it is one that a calendar can name and the platform knows. */
function zoneOf({ question }: SeasonPlan, { season }: Book): string | undefined {
  const zone = season.timezone;
  if (zone === undefined || !/^[A-Za-z0-9_+/-]+$/.test(zone)) return undefined;
  return clockRules(zone, question.from, question.from).length > 0 ? zone : undefined;
}

function zoneLines(zone: string, firstDay: number, lastDay: number): string[] {
  const rules = clockRules(zone, firstDay, lastDay);
  const lines = ["BEGIN:VTIMEZONE", `TZID:${zone}`];
  const least = Math.min(...rules.map(({ ahead }) => ahead));
  rules.forEach(({ from, ahead }, i) => {
    const before = rules[i - 1]?.ahead ?? ahead;
    const kind = ahead > least ? "DAYLIGHT" : "STANDARD";
    // The change is told by the clock that is set: the one before it.
    lines.push(
      `BEGIN:${kind}`,
      `DTSTART:${stamp(from + before)}`,
      `TZOFFSETFROM:${offset(before)}`,
      `TZOFFSETTO:${offset(ahead)}`,
      `END:${kind}`,
    );
  });
  return [...lines, "END:VTIMEZONE"];
}

function eventLines(field: PlannedField, day: PlannedDay, plan: SeasonPlan, book: Book): string[] {
  const { work, arrived, left } = field;
  const zone = zoneOf(plan, book);
  const at = zone === undefined ? "" : `;TZID=${zone}`;
  const id = sha256([work.field, formatDay(day.day), day.walker.id].join("\n")).slice(0, 32);
  const { position } = work;
  return [
    "BEGIN:VEVENT",
    `UID:${id}@spadework.invalid`,
    // No clock is asked: the plan is as old as the records that it was made on.
    `DTSTAMP:${formatDay(book.asOf).replaceAll("-", "")}T000000Z`,
    `DTSTART${at}:${stamp(arrived)}`,
    `DTEND${at}:${stamp(left)}`,
    `SUMMARY:${escaped(`Walk ${work.name} (${day.walker.name})`)}`,
    `LOCATION:${escaped(`${work.name}, ${entranceName(work)}${position ? `, ${placeInWords(position)}` : ""}`)}`,
    ...(position ? [`GEO:${position[1].toFixed(6)};${position[0].toFixed(6)}`] : []),
    `DESCRIPTION:${escaped(description(field, day, book))}`,
    "END:VEVENT",
  ];
}

function description({ work, waitedForReEntry }: PlannedField, { cleanDown }: PlannedDay, book: Book): string {
  return [
    `${standingInWords(work)}; window ${formatDay(work.window.opens)} to ${formatDay(work.window.closes)}; dig ${plural(work.plants, "plant")}`,
    ...(waitedForReEntry
      ? ["Not before: it was sprayed; the product's label decides who may go in, and with what protection."]
      : []),
    ...stopLines(work, book).map(stopLineInWords),
    `Before leaving: soil off, wash, then ${mixInWords(cleanDown)}, ${cleanDown.contactMinutes} minutes wet. The product's label comes first.`,
  ].join("\n");
}

/** `20260820T073000` */
function stamp(minute: number): string {
  return `${formatMinute(minute).replace(/[-:]/g, "")}00`;
}

/** `-0600` */
function offset(ahead: number): string {
  const two = (n: number): string => String(n).padStart(2, "0");
  const size = Math.abs(ahead);
  return `${ahead < 0 ? "-" : "+"}${two(Math.floor(size / 60))}${two(size % 60)}`;
}

/** Section 3.3.11: backslashes, commas, semicolons and line ends; other control characters have no place in a calendar. */
function escaped(text: string): string {
  return (
    text
      .replace(/\r\n?|[\u2028\u2029]/g, "\n")
      // eslint-disable-next-line no-control-regex
      .replace(/[\u0000-\u0009\u000B-\u001F\u007F]/g, " ")
      .replace(/[\\;,]/g, "\\$&")
      .replaceAll("\n", "\\n")
  );
}

/** Section 3.1: lines of at most 75 bytes, the rest on lines that begin with a space; no character is cut. */
function folded(line: string): string {
  const parts: string[] = [];
  let part = "";
  let size = 0;
  for (const character of line) {
    const bytes = bytesOf(character.codePointAt(0)!);
    if (size + bytes > 75) {
      parts.push(part);
      // The space that begins the line counts.
      [part, size] = ["", 1];
    }
    part += character;
    size += bytes;
  }
  return [...parts, part].join("\r\n ");
}

function bytesOf(code: number): number {
  return code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
}
