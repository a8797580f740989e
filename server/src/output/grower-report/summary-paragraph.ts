import { dayInWords, figure, listed, plural, times } from "../../base/words.ts";
import { RISK_STATUSES, type RiskStatus } from "../../book/field-status.ts";
import type { SeasonFacts, SeasonField } from "../season/season-facts.ts";
import type { CarrierSeason } from "../season/season-calendar-facts.ts";

/** The season in sentences that a grower can read aloud at the kitchen table. */
export function summarySentences(facts: SeasonFacts, carriers: CarrierSeason, name: string): string[] {
  const { fields, digs, season, view } = facts;
  if (fields.length === 0) return [`No fields of ${name} are in these records.`];
  const size = fields.reduce((sum, { history }) => sum + (history.record?.facts.area_ha ?? 0), 0);
  const sentences = [
    `${name} has ${plural(fields.length, "field")} in these records${size > 0 ? `, ${figure(size, 0)} ha in all` : ""}.`,
    ...RISK_STATUSES.flatMap((status) => statusSentence(status, withStatus(fields, status), view.book.asOf)),
  ];
  const plants = digs.reduce((sum, { dig }) => sum + (dig.plants ?? 0), 0);
  if (digs.length === 0) sentences.push(`No roots were dug in season ${season ?? ""}.`.replace(" .", "."));
  else {
    const dug = new Set(digs.map(({ field }) => field.id)).size;
    const galled = new Set(digs.filter(({ galls }) => galls > 0).map(({ field }) => field.name));
    sentences.push(
      `${plural(plants, "plant")} were dug at ${plural(digs.length, "place")} on ${plural(dug, "field")}; ${galled.size === 0 ? "none that was rated had galls" : `galls were seen on ${listed([...galled])}`}.`,
    );
  }
  const gaps = carriers.calendar.rows.reduce((sum, row) => sum + row.gaps.length, 0);
  const full = carriers.calendar.rows.reduce(
    (sum, row) => sum + row.cleanings.filter(({ isFull }) => isFull).length,
    0,
  );
  if (carriers.calendar.rows.length > 0)
    sentences.push(
      `What was on these fields was cleaned in full ${times(full)}; ${gaps === 0 ? "nothing went on to another field without it" : `${times(gaps)} something went from field to field without a full clean-down`}.`,
    );
  const pending = fields.reduce((sum, { risk }) => sum + risk.samplesPending, 0);
  if (pending > 0)
    sentences.push(`${plural(pending, "sample")} ${pending === 1 ? "is" : "are"} still without a result.`);
  const [pressing] = fields.flatMap((field) => field.steps.slice(0, 1).map((step) => ({ field, step })));
  if (pressing) sentences.push(`What presses most: on ${pressing.field.name}, ${pressing.step.what}.`);
  sentences.push(`All this is as the records stood on ${dayInWords(view.book.asOf)}.`);
  return sentences;
}

function withStatus(fields: readonly SeasonField[], status: RiskStatus): readonly SeasonField[] {
  return fields.filter(({ risk }) => risk.status === status);
}

function statusSentence(status: RiskStatus, fields: readonly SeasonField[], asOf: number): string[] {
  if (fields.length === 0) return [];
  if (status === "unscouted") return unscoutedSentences(fields, asOf);
  const names = listed(fields.map(({ name }) => name));
  const one = fields.length === 1;
  const sentences: Readonly<Record<Exclude<RiskStatus, "unscouted">, string>> = {
    confirmed: `Clubroot is known on ${names}.`,
    suspected: `On ${names} it is suspected, and not settled yet.`,
    exposed: `Soil of an infested field may have come to ${names}.`,
    "not found": `On ${names} roots were dug and no clubroot was found.`,
    "no host this season": `${names} ${one ? "has" : "have"} no host crop this season.`,
    waiting: `${names} ${one ? "grows" : "grow"} a host crop whose scouting window has not opened yet.`,
  };
  return [sentences[status]];
}

/** Of fields whose window is over nothing can be known any more; in the others it can still be dug. */
function unscoutedSentences(fields: readonly SeasonField[], asOf: number): string[] {
  const isOver = ({ risk: { window } }: SeasonField): boolean => window !== undefined && window.closes < asOf;
  const sentence = (some: readonly SeasonField[], said: (one: boolean) => string): string[] =>
    some.length === 0 ? [] : [`${listed(some.map(({ name }) => name))} ${said(some.length === 1)}.`];
  return [
    ...sentence(
      fields.filter(isOver),
      (one) =>
        `had a host crop and ${one ? "was" : "were"} not dug in the scouting window, so nothing is known of ${one ? "it" : "them"} this season`,
    ),
    ...sentence(
      fields.filter((field) => !isOver(field)),
      (one) =>
        `${one ? "grows" : "grow"} a host crop and ${one ? "has" : "have"} not been dug in the scouting window yet`,
    ),
  ];
}
