import { parseDay, MINUTES_PER_DAY } from "../base/days.ts";
import type { FactRecord } from "../records/record.ts";
import type { CropRecord, StepRecord } from "../schema/facts.ts";
import { cleanDown, FULL_CLEAN_DOWN, type CleanDownResult, type CleaningFigures } from "../soil/clean-down.ts";
import type { CarrierCleaning, CarrierStay } from "./carrier-history.ts";
import type { CrewVisit } from "./crew-history.ts";
import type { Confirmation, FieldCrop, FieldSample, FieldVisit } from "./field-history.ts";
import { seasonOfVisit, type SeasonTurn } from "./season-on-field.ts";

/**
 * How records become parts of a history. A day or a time later than `asOf` (days since 1970-01-01) is not known yet.
 */

export function cropsOf(
  record: FactRecord<"rotations">,
  asOf: number,
  isHostCrop: (crop: CropRecord) => boolean,
): FieldCrop[] {
  return (record.facts.crops ?? []).flatMap((facts, index) => {
    if (facts.year === undefined) return [];
    const isHost = isHostCrop(facts);
    return {
      record,
      index,
      facts,
      year: facts.year,
      isHost,
      isHostYear: isHost || facts.volunteers === "present",
      seeded: knownDay(facts.seeded, asOf),
      swathed: knownDay(facts.swathed, asOf),
    };
  });
}

/**
 * Undefined for a visit that has not happened yet.
 *
 * @param crops of the field, which may say to which season the visit belongs
 */
export function visitOf(
  record: FactRecord<"visits">,
  asOf: number,
  crops: readonly FieldCrop[],
  turn: SeasonTurn,
): FieldVisit | undefined {
  const arrived = record.began;
  if (arrived === undefined || arrived >= endOfDay(asOf)) return undefined;
  const left = record.ended ?? arrived;
  const day = Math.floor(arrived / MINUTES_PER_DAY);
  const { purpose, digs } = record.facts;
  const year = seasonOfVisit(day, purpose, crops, turn);
  return { record, arrived, left, day, year, isScouting: purpose === "scouting", digs: digs ?? [] };
}

/** Undefined for a sample that had not been taken yet. */
export function sampleOf(record: FactRecord<"samples">, asOf: number): FieldSample | undefined {
  const { taken, sent, received, result } = record.facts;
  const takenDay = parsedDay(taken) ?? parsedDay(sent);
  if (takenDay !== undefined && takenDay > asOf) return undefined;
  // A result without the day it was reported on counts from the last day that is known of the sample.
  const reported = parsedDay(result?.reported) ?? parsedDay(received) ?? parsedDay(sent) ?? takenDay;
  const isKnown = result?.finding !== undefined && reported !== undefined && reported <= asOf;
  return {
    record,
    taken: knownDay(taken, asOf),
    sent: knownDay(sent, asOf),
    reported: isKnown ? reported : undefined,
    finding: isKnown ? result.finding : undefined,
  };
}

/** Those that had been taken, in the order in which they were. */
export function samplesOf(records: readonly FactRecord<"samples">[], asOf: number): readonly FieldSample[] {
  const samples = records.map((record) => sampleOf(record, asOf)).filter((sample) => sample !== undefined);
  return samples.sort((a, b) => (a.taken ?? 0) - (b.taken ?? 0));
}

/** The earliest of an older find on the field's record and the first sample reported as detected. */
export function confirmationOf(
  record: FactRecord<"fields"> | undefined,
  samples: readonly FieldSample[],
  asOf: number,
): Confirmation | undefined {
  let first: Confirmation | undefined;
  const foundOn = knownDay(record?.facts.clubroot?.found_on, asOf);
  if (record && foundOn !== undefined) {
    first = { day: foundOn, place: { record, pointer: ["clubroot", "found_on"], part: "value" } };
  }
  for (const sample of samples) {
    if (sample.finding !== "detected" || sample.reported === undefined) continue;
    if (!first || sample.reported < first.day) {
      first = { day: sample.reported, place: { record: sample.record, pointer: ["result", "finding"], part: "value" } };
    }
  }
  return first;
}

/** Without the visits that have not happened yet, and those that do not say where they went. */
export function staysOf(visits: readonly FactRecord<"visits">[], asOf: number): CarrierStay[] {
  const end = endOfDay(asOf);
  const stays: CarrierStay[] = [];
  for (let i = 0; i < visits.length; i++) {
    const visit = visits[i]!;
    const { field, began: arrived, ended } = visit;
    if (field && arrived !== undefined && arrived < end) stays.push({ visit, field, arrived, left: ended ?? arrived });
  }
  return stays;
}

/** The same of a member of the crew. */
export function crewVisitsOf(visits: readonly FactRecord<"visits">[], member: string, asOf: number): CrewVisit[] {
  return staysOf(visits, asOf).map((stay) => {
    return { ...stay, pointer: ["crew", (stay.visit.facts.crew ?? []).indexOf(member)] };
  });
}

/**
 * Without the cleanings that have not been done yet.
 *
 * @param results those of all of their steps have been worked out
 */
export function cleaningsOf(
  records: readonly FactRecord<"cleanings">[],
  results: CleanDownResults,
  asOf: number,
): CarrierCleaning[] {
  const end = endOfDay(asOf);
  const cleanings: CarrierCleaning[] = [];
  for (let i = 0; i < records.length; i++) {
    const record = records[i]!;
    const at = record.began;
    if (at !== undefined && at < end) cleanings.push({ record, at, result: results.get(stepsOf(record))! });
  }
  return cleanings;
}

/**
 * What the steps of cleanings come to, worked out once for each list of steps: those that are written alike are one list, see
 * `records/written-alike.ts`.
 */
export class CleanDownResults {
  readonly #figures: CleaningFigures;
  readonly #known = new WeakMap<readonly StepRecord[], CleanDownResult>();

  constructor(figures: CleaningFigures) {
    this.#figures = figures;
  }

  workOut(cleanings: readonly FactRecord<"cleanings">[]): void {
    for (const steps of new Set(cleanings.map(stepsOf)))
      if (!this.#known.has(steps)) this.#known.set(steps, cleanDown(steps, this.#figures));
  }

  /** Undefined where it has not been worked out. */
  get(steps: readonly StepRecord[]): CleanDownResult | undefined {
    return this.#known.get(steps);
  }
}

function stepsOf({ facts }: FactRecord<"cleanings">): readonly StepRecord[] {
  return facts.steps ?? NO_STEPS;
}

const NO_STEPS: readonly StepRecord[] = [];

/** The format counts disinfected footwear as a full clean-down of the boots on the way in and again on the way out. */
export function bootCleaningsOf(stays: readonly CarrierStay[]): CarrierCleaning[] {
  const cleanings: CarrierCleaning[] = [];
  for (let i = 0; i < stays.length; i++) {
    const { visit, arrived, left } = stays[i]!;
    if (visit.facts.footwear !== "disinfected") continue;
    cleanings.push({ record: visit, at: arrived, result: FULL_CLEAN_DOWN });
    cleanings.push({ record: visit, at: left, result: FULL_CLEAN_DOWN });
  }
  return cleanings;
}

/** The first minute that is not of the day any more. */
function endOfDay(day: number): number {
  return (day + 1) * MINUTES_PER_DAY;
}

function parsedDay(text: string | undefined): number | undefined {
  return text === undefined ? undefined : parseDay(text);
}

/** The day a date names, when it is not later than the as-of day. */
function knownDay(text: string | undefined, asOf: number): number | undefined {
  const day = parsedDay(text);
  return day !== undefined && day <= asOf ? day : undefined;
}
