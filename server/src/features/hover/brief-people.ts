import { dayInWords, plural } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import { RISK_STATUSES, riskStatus } from "../../book/field-status.ts";
import { labOf } from "../../book/labs.ts";
import { labelled, titleOf, type Brief } from "./brief.ts";

export function crewBrief(id: string, book: Book): Brief | undefined {
  const member = book.season.crew?.find((one) => one.id === id);
  if (!member) return undefined;
  const { visits } = book.crewHistory(id);
  const last = visits[visits.length - 1];
  const day = last && dayInWords(Math.floor(last.arrived / 1440), book.seasonYear);
  return {
    title: titleOf(member.name, id),
    lines: [labelled("Contact", member.contact), last && `Last visit: ${book.fieldName(last.field)}, ${day}`],
  };
}

export function labBrief(id: string, book: Book): Brief | undefined {
  const lab = labOf(book, id);
  if (!lab) return undefined;
  const { turnaround_days: days, accepts, contact, name } = lab;
  return {
    title: titleOf(name, id),
    lines: [
      days === undefined ? undefined : `Results ${plural(days, "day")} after sending`,
      labelled("Takes roots in", accepts?.filter((packaging) => packaging !== "").join(", ")),
      labelled("Contact", contact),
    ],
  };
}

/** The grower's fields by status, riskiest first. */
export function growerBrief(id: string, book: Book): Brief | undefined {
  const grower = book.season.growers?.find((one) => one.id === id);
  if (!grower) return undefined;
  const fields = book
    .fieldIds()
    .map((field) => book.fieldHistory(field))
    .filter(({ record }) => record?.facts.grower === id);
  const statuses = fields.map((field) => riskStatus(field, book));
  const counts = RISK_STATUSES.map((status) => ({ status, count: statuses.filter((one) => one === status).length }));
  const words = counts.filter(({ count }) => count > 0).map(({ status, count }) => `${count} ${status}`);
  const shown = words.length > 0 ? `: ${words.join(", ")}` : "";
  return {
    title: titleOf(grower.name, id),
    lines: [`${plural(fields.length, "field")}${shown}`, labelled("Contact", grower.contact)],
  };
}
