import { MINUTES_PER_DAY } from "../../base/days.ts";
import type { Book } from "../../book/book.ts";
import { carrierInWords } from "../../book/exposure-words.ts";
import { riskStatus } from "../../book/field-status.ts";
import type { FactRecord } from "../../records/record.ts";
import { recordRule } from "../rule.ts";

/** From the riskiest; what is not here is all of one rank. */
const RISKY: readonly string[] = ["confirmed", "suspected", "exposed"];

export default recordRule({
  code: "entry/risk-order",
  level: "warning",
  figures: ["trace.look_back_days"],
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
  const arrived = record.began ?? 0;
  const rankHere = rank(record.facts.field!, book);
  let worst: Earlier | undefined;
  const day = Math.floor(arrived / MINUTES_PER_DAY);
  const look = (
    stays: readonly { visit: FactRecord<"visits">; field: string; arrived: number }[],
    who: string,
  ): void => {
    for (const { visit, field } of stays.filter((stay) => stay.arrived < arrived).reverse()) {
      const rankThere = rank(field, book);
      if (rankThere < rankHere && (!worst || rankThere < worst.rank)) worst = { visit, field, who, rank: rankThere };
    }
  };
  for (const member of record.facts.crew ?? []) if (member) look(book.crewVisitsOn(member, day), book.crewName(member));
  for (const carrier of record.facts.equipment ?? [])
    if (carrier) look(book.carrierStaysOn(carrier, day), carrierInWords(carrier));
  return worst;
}

function rank(field: string, book: Book): number {
  const place = RISKY.indexOf(riskStatus(book.fieldHistory(field), book));
  return place < 0 ? RISKY.length : place;
}

function rankName(field: string, book: Book): string {
  return RISKY[rank(field, book)] ?? "no sign of clubroot";
}
