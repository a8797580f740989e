import type { Book } from "./book.ts";
import { plantsWithGalls, type FieldHistory, type FieldSample } from "./field-history.ts";
import { seasonScouting, type SeasonScouting } from "./scouting-window.ts";
import type { RecordPlace } from "../records/finding.ts";

/** The risk a field stands at, riskiest first; the first that holds is the field's. */
export const RISK_STATUSES = [
  "confirmed",
  "suspected",
  "exposed",
  "unscouted",
  "not found",
  "no host this season",
  "waiting",
] as const;
export type RiskStatus = (typeof RISK_STATUSES)[number];

/** What a field is suspected for. */
export interface Suspicion {
  readonly why: "galls" | "pending" | "inconclusive";
  readonly place: RecordPlace;
}

/**
 * The first reason to suspect a field: in the season a dig with a plant rated 1 or more that no roots sample has cleared,
 * or a sample (of any year) that is pending or inconclusive.
 */
export function suspicionOf(field: FieldHistory, book: Book): Suspicion | undefined {
  for (const visit of field.visits) {
    if (visit.year !== book.seasonYear) continue;
    for (const [i, dig] of visit.digs.entries()) {
      if (plantsWithGalls(dig) === 0 || isCleared(field, visit.record.id, dig.id)) continue;
      return { why: "galls", place: { record: visit.record, pointer: ["digs", i, "ratings"], part: "value" } };
    }
  }
  for (const { record, finding } of field.samples) {
    if (finding === undefined) return { why: "pending", place: { record, pointer: ["id"], part: "value" } };
    if (finding === "inconclusive")
      return { why: "inconclusive", place: { record, pointer: ["result", "finding"], part: "value" } };
  }
  return undefined;
}

/** Whether a roots sample of the dig came back `not detected`. */
export function isCleared(field: FieldHistory, visit: string, dig: string | undefined): boolean {
  return field.samples.some(
    ({ record: { facts }, finding }) =>
      finding === "not detected" &&
      facts.material === "roots" &&
      facts.visit === visit &&
      facts.dig === dig &&
      dig !== undefined,
  );
}

export function riskStatus(field: FieldHistory, book: Book): RiskStatus {
  if (field.confirmed) return "confirmed";
  if (suspicionOf(field, book)) return "suspected";
  if (book.exposureOf(field.id)) return "exposed";
  const scouting = book.seasonYear === undefined ? undefined : seasonScouting(field, book.seasonYear, book);
  if (isUnscouted(scouting, book.asOf)) return "unscouted";
  if (isNotFound(field, book)) return "not found";
  if (!scouting) return "no host this season";
  // Digs without ratings show nothing: once the window has opened, such a field is as good as not scouted.
  return scouting.window && book.asOf >= scouting.window.opens ? "unscouted" : "waiting";
}

function isUnscouted(scouting: SeasonScouting | undefined, asOf: number): boolean {
  return scouting?.window !== undefined && asOf >= scouting.window.opens && scouting.inWindow.length === 0;
}

/** A scouting visit of the season has digs, and every plant of every dig was rated 0 (or cleared by the lab). */
function isNotFound(field: FieldHistory, book: Book): boolean {
  const digs = field.visits
    .filter((visit) => visit.year === book.seasonYear && visit.isScouting)
    .flatMap((visit) => visit.digs.map((dig) => ({ visit: visit.record.id, dig })));
  return (
    digs.length > 0 &&
    digs.every(
      ({ visit, dig }) => dig.ratings !== undefined && (plantsWithGalls(dig) === 0 || isCleared(field, visit, dig.id)),
    )
  );
}

export function pendingSamples(field: FieldHistory): FieldSample[] {
  return field.samples.filter((sample) => sample.finding === undefined);
}

/** Ratings pooled over the digs of a season's visits: plants rated 0, 1, 2, 3; undefined where nothing was rated. */
export function pooledRatings(field: FieldHistory, year: number): [number, number, number, number] | undefined {
  let pooled: [number, number, number, number] | undefined;
  for (const visit of field.visits) {
    if (visit.year !== year) continue;
    for (const { ratings } of visit.digs) {
      if (!ratings) continue;
      pooled ??= [0, 0, 0, 0];
      for (let i = 0; i < 4; i++) pooled[i]! += ratings[i] ?? 0;
    }
  }
  return pooled;
}

/** The day of the last visit for scouting, of any year. */
export function lastScouted(field: FieldHistory): number | undefined {
  return field.visits.findLast((visit) => visit.isScouting)?.day;
}
