import { clopperPearson } from "../../agronomy/interval.ts";
import { detectableIncidence } from "../../agronomy/plants.ts";
import { severityByPlace, type SeverityByPlace } from "../../agronomy/severity.ts";
import { figure, plural } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import type { FieldSample } from "../../book/field-history.ts";
import { wouldCatch } from "../../book/field-risk-words.ts";
import { samplingGoal } from "../../book/sampling-goal.ts";
import type { FactRecord } from "../../records/record.ts";
import type { DigRecord } from "../../schema/facts.ts";
import { placesTarget, valueAt, type LensText } from "./lens.ts";
import { plainTitle } from "../safe-text.ts";

/** How bad it was, and what the digs can tell; nothing on a visit that neither dug nor was to dig. */
export function visitLenses(record: FactRecord<"visits">, book: Book): LensText[] {
  if (!book.hasHappened(record)) return [];
  const digs = record.facts.digs ?? [];
  if (digs.length === 0) {
    return record.facts.purpose === "scouting" ? [{ title: "no plants dug", opens: undefined }] : [];
  }
  const samples = samplesOf(record, book);
  const title = [...digsInWords(digs, book, true), ...(samples.length > 0 ? [samplesInWords(samples)] : [])].join(
    " · ",
  );
  const places = [
    ...digs.map((dig, i) => valueAt(record, "digs", i, dig.ratings ? "ratings" : "id")),
    ...samples.map(({ record: sample }) => valueAt(sample, "id")),
  ];
  return [{ title: plainTitle(title), opens: placesTarget(places, book) }];
}

/**
 * `galls on 6 of 30 plants: 20 % (7.7 to 38.6 %), DSI 11.3 %`, `patch 50 %, entrance 10 %`, `10 plants not rated`.
 *
 * @param isBrief names only the places with galls
 */
export function digsInWords(digs: readonly DigRecord[], book: Book, isBrief = false): string[] {
  const rated = digs.flatMap(({ place, ratings }) =>
    ratings ? [{ place: place ?? "place not recorded", ratings }] : [],
  );
  const found = severityByPlace(rated);
  const notRated = sum(digs.filter(({ ratings }) => !ratings).map(({ plants }) => plants));
  const lookAlikes = sum(digs.map((dig) => dig.look_alikes));
  return [
    ...(found.ok ? severityInWords(found.value, book, isBrief) : []),
    ...(notRated > 0 ? [`${plural(notRated, "plant")} not rated`] : []),
    ...(lookAlikes > 0 ? [plural(lookAlikes, "look-alike")] : []),
  ];
}

function severityInWords({ pooled, places }: SeverityByPlace, book: Book, isBrief: boolean): string[] {
  const goal = samplingGoal(book);
  const { infected, plants, incidencePercent, dsiPercent } = pooled;
  if (infected === 0) {
    const least = goal && detectableIncidence(plants, goal.confidence, goal.rootSensitivity);
    return [`no galls on ${plural(plants, "plant")}${wouldCatch(least?.ok ? least.value : undefined)}`];
  }
  const range = goal && clopperPearson(infected, plants, goal.confidence);
  const between = range ? ` (${figure(range.lower * 100, 1)} to ${figure(range.upper * 100, 1)} %)` : "";
  const whole = `galls on ${infected} of ${plural(plants, "plant")}: ${figure(incidencePercent, 1)} %${between}, DSI ${figure(dsiPercent, 1)} %`;
  // Patches are dug because they look sick: the places apart say more of the field than all plants together.
  const named = isBrief ? places.filter((one) => one.incidencePercent > 0) : places;
  const apart = named.map((one) => `${one.place} ${figure(one.incidencePercent, 1)} %`);
  if (named.length < places.length) apart.push("elsewhere none");
  return places.length > 1 ? [whole, apart.join(", ")] : [whole];
}

function samplesOf(visit: FactRecord<"visits">, book: Book): FieldSample[] {
  if (!visit.facts.field) return [];
  return book.fieldHistory(visit.facts.field).samples.filter(({ record }) => record.facts.visit === visit.id);
}

/** `1 sample pending`, `2 samples: 1 detected, 1 pending` */
function samplesInWords(samples: readonly FieldSample[]): string {
  const counts = new Map<string, number>();
  for (const { finding = "pending" } of samples) counts.set(finding, (counts.get(finding) ?? 0) + 1);
  if (counts.size === 1) return `${plural(samples.length, "sample")} ${[...counts.keys()].join("")}`;
  return `${plural(samples.length, "sample")}: ${[...counts].map(([finding, count]) => `${count} ${finding}`).join(", ")}`;
}

function sum(counts: readonly (number | undefined)[]): number {
  return counts.reduce<number>((total, count) => total + (count ?? 0), 0);
}
