import { detectableIncidence } from "../agronomy/plants.ts";
import { severity, severityIntervals, type SeverityIntervals } from "../agronomy/severity.ts";
import type { Exposure } from "../soil/exposure.ts";
import type { Book } from "./book.ts";
import type { FieldHistory } from "./field-history.ts";
import { fieldFreedom, type FieldFreedom } from "./freedom.ts";
import { lastScouted, pendingSamples, pooledRatings, riskStatus, type RiskStatus } from "./field-status.ts";
import { hostYears } from "./rotation.ts";
import { samplingGoal } from "./sampling-goal.ts";
import { plantsDug, seasonScouting, type ScoutingWindow } from "./scouting-window.ts";

/** A field's risk with the figures behind it, on the book's as-of day. What cannot be known is undefined. */
export interface FieldRisk {
  readonly field: string;
  readonly name: string;
  readonly grower: string | undefined;
  readonly status: RiskStatus;
  /** The day of the last scouting visit, of any year; days since 1970-01-01. */
  readonly lastScouted: number | undefined;
  /** Plants dug by the season's scouting visits. */
  readonly plantsDug: number;
  /** The incidence, 0 to 1, that so many plants would have caught with the book's confidence, given the root sensitivity. */
  readonly detectableIncidence: number | undefined;
  /** Plants to dig for the book's confidence at its design incidence. */
  readonly plantsWanted: number | undefined;
  readonly confidence: number | undefined;
  /** Percent, over all plants rated in the season. */
  readonly dsiPercent: number | undefined;
  readonly incidencePercent: number | undefined;
  readonly intervals: SeverityIntervals | undefined;
  readonly window: ScoutingWindow | undefined;
  /** Recorded years without a host before the season's host crop. */
  readonly breakYears: number | undefined;
  readonly exposure: Exposure | undefined;
  readonly samplesPending: number;
  /** That the field is free of clubroot at the book's design incidence, 0 to 1: decision support, not proof. */
  readonly probabilityFree: number | undefined;
  /** Every term of it. */
  readonly freedom: FieldFreedom | undefined;
}

/** The risk of every field that a file defines, by id. */
export function fieldRisks(book: Book): FieldRisk[] {
  return book.fieldIds().flatMap((id) => {
    const field = book.fieldHistory(id);
    return field.record ? [fieldRisk(field, book)] : [];
  });
}

export function fieldRisk(field: FieldHistory, book: Book): FieldRisk {
  const year = book.seasonYear;
  const scouting = year === undefined ? undefined : seasonScouting(field, year, book);
  const dug = plantsDug(field.visits.filter((visit) => visit.year === year && visit.isScouting));
  const goal = samplingGoal(book);
  const detectable = goal && dug > 0 ? detectableIncidence(dug, goal.confidence, goal.rootSensitivity) : undefined;
  const ratings = year === undefined ? undefined : pooledRatings(field, year);
  const found = ratings && severity(ratings);
  const intervals = ratings && goal && severityIntervals(ratings, goal.confidence);
  const freedom = fieldFreedom(field, book);
  return {
    field: field.id,
    name: field.name,
    grower: field.record?.facts.grower,
    status: riskStatus(field, book),
    lastScouted: lastScouted(field),
    plantsDug: dug,
    detectableIncidence: detectable?.ok ? detectable.value : undefined,
    plantsWanted: goal?.plants,
    confidence: goal?.confidence,
    dsiPercent: found?.ok ? found.value.dsiPercent : undefined,
    incidencePercent: found?.ok ? found.value.incidencePercent : undefined,
    intervals: intervals?.ok ? intervals.value : undefined,
    window: scouting?.window,
    breakYears: scouting ? hostYears(field).find(({ crop }) => crop.year === year)?.rest?.years : undefined,
    exposure: book.exposureOf(field.id),
    samplesPending: pendingSamples(field).length,
    probabilityFree: freedom?.probabilityFree,
    freedom,
  };
}
