import { MINUTES_PER_DAY } from "../../base/days.ts";
import type { Book } from "../../book/book.ts";
import { carrierInWords } from "../../book/exposure-words.ts";
import { riskStatus } from "../../book/field-status.ts";
import { timesOf } from "../../book/histories.ts";
import type { FactRecord } from "../../records/record.ts";
import { recordRule } from "../rule.ts";

/** From the riskiest; what is not here is all of one rank. */
const RISKY: readonly string[] = ["confirmed", "suspected", "exposed"];

export default recordRule({
  code: "entry/risk-order",
  level: "warning",
  kinds: ["visits"],
  check(record, book, report) {
    const { field } = record.facts;
    if (!field || !book.hasHappened(record) || !book.isInSight(record)) return;
    const before = riskiestBefore(record, book);
    if (!before) return;
    const here = book.fieldName(field);
    const there = book.fieldName(before.field);
    report({
      place: { record, pointer: ["field"], part: "value" },
      message:
        `${before.who} went to ${here} (${rankName(field, book)}) after ${there} (${rankName(before.field, book)}) on the same day; ` +
        "walk the clean fields first and the doubtful ones last",
      related: [
        { place: { record: before.visit, pointer: ["field"], part: "value" }, message: `the visit to ${there} before` },
      ],
    });
  },
});

interface Earlier {
  readonly visit: FactRecord<"visits">;
  readonly field: string;
  readonly who: string;
  readonly rank: number;
}

/** The riskiest field that someone or something of this visit was on earlier that day, if it is riskier than this one. */
function riskiestBefore(record: FactRecord<"visits">, book: Book): Earlier | undefined {
  const { arrived } = timesOf(record);
  const rankHere = rank(record.facts.field!, book);
  let worst: Earlier | undefined;
  const look = (
    stays: readonly { visit: FactRecord<"visits">; field: string; arrived: number }[],
    who: string,
  ): void => {
    const startOfDay = Math.floor(arrived / MINUTES_PER_DAY) * MINUTES_PER_DAY;
    for (let i = countBefore(stays, arrived) - 1; i >= 0 && stays[i]!.arrived >= startOfDay; i--) {
      const { visit, field } = stays[i]!;
      const rankThere = rank(field, book);
      if (rankThere < rankHere && (!worst || rankThere < worst.rank)) worst = { visit, field, who, rank: rankThere };
    }
  };
  for (const member of record.facts.crew ?? [])
    if (member) look(book.crewHistory(member).visits, book.crewHistory(member).name);
  for (const carrier of record.facts.equipment ?? [])
    if (carrier) look(book.carrierHistory(carrier).stays, carrierInWords(carrier));
  return worst;
}

/** How many stays began before a minute; they stand in the order of their arrivals. */
function countBefore(stays: readonly { readonly arrived: number }[], minute: number): number {
  let low = 0;
  let high = stays.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (stays[middle]!.arrived < minute) low = middle + 1;
    else high = middle;
  }
  return low;
}

function rank(field: string, book: Book): number {
  const place = RISKY.indexOf(riskStatus(book.fieldHistory(field), book));
  return place < 0 ? RISKY.length : place;
}

function rankName(field: string, book: Book): string {
  return RISKY[rank(field, book)] ?? "no sign of clubroot";
}
