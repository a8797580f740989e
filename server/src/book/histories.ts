import { parseDay, parseMinute, MINUTES_PER_DAY } from "../base/days.ts";
import type { Pointer } from "../records/finding.ts";
import type { FactRecord } from "../records/record.ts";
import type { CropRecord, RegionPack } from "../schema/facts.ts";
import { cleanDown, FULL_CLEAN_DOWN } from "../soil/clean-down.ts";
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
  const arrived = knownMinute(record.facts.arrived, asOf);
  if (arrived === undefined) return undefined;
  const left = departure(record, arrived);
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

/** Undefined for a visit that has not happened yet, or does not say where it went. */
export function stayOf(
  visit: FactRecord<"visits">,
  carrier: string,
  isBoots: boolean,
  asOf: number,
): CarrierStay | undefined {
  const { field, equipment } = visit.facts;
  const arrived = knownMinute(visit.facts.arrived, asOf);
  if (!field || arrived === undefined) return undefined;
  const pointer = isBoots ? FOOTWEAR : equipmentPointer(equipment?.indexOf(carrier) ?? 0);
  return { visit, field, arrived, left: departure(visit, arrived), pointer };
}

const FOOTWEAR: Pointer = ["footwear"];
/** One for all visits, of which there are tens of thousands. */
const equipmentPointers: Pointer[] = [];

function equipmentPointer(index: number): Pointer {
  return (equipmentPointers[index] ??= ["equipment", index]);
}

/** The same of a member of the crew. */
export function crewVisitOf(visit: FactRecord<"visits">, member: string, asOf: number): CrewVisit | undefined {
  const { field, crew } = visit.facts;
  const arrived = knownMinute(visit.facts.arrived, asOf);
  if (!field || arrived === undefined) return undefined;
  return { visit, field, arrived, left: departure(visit, arrived), pointer: ["crew", (crew ?? []).indexOf(member)] };
}

/** Undefined for a cleaning that has not been done yet. */
export function cleaningOf(
  record: FactRecord<"cleanings">,
  region: RegionPack,
  asOf: number,
): CarrierCleaning | undefined {
  const at = knownMinute(record.facts.at, asOf);
  return at === undefined
    ? undefined
    : { record, at, result: cleanDown(record.facts.steps ?? [], region.cleaning ?? {}) };
}

/** The format counts disinfected footwear as a full clean-down of the boots on the way in and again on the way out. */
export function bootCleaningsOf(stays: readonly CarrierStay[]): CarrierCleaning[] {
  return stays
    .filter(({ visit }) => visit.facts.footwear === "disinfected")
    .flatMap(({ visit, arrived, left }) =>
      [arrived, left].map((at) => ({ record: visit, at, result: FULL_CLEAN_DOWN })),
    );
}

/** Only asked of visits whose `arrived` is a time. */
export function timesOf(record: FactRecord<"visits">): { arrived: number; left: number } {
  const arrived = parseMinute(record.facts.arrived ?? "") ?? 0;
  return { arrived, left: departure(record, arrived) };
}

/** `arrived` where none is recorded, or one before the arrival, which is a mistake told elsewhere. */
function departure({ facts: { left } }: FactRecord<"visits">, arrived: number): number {
  return left === undefined ? arrived : Math.max(arrived, parseMinute(left) ?? arrived);
}

/** The minute a time names, when it is not later than the as-of day. */
function knownMinute(text: string | undefined, asOf: number): number | undefined {
  const minute = text === undefined ? undefined : parseMinute(text);
  return minute !== undefined && minute < (asOf + 1) * MINUTES_PER_DAY ? minute : undefined;
}

function parsedDay(text: string | undefined): number | undefined {
  return text === undefined ? undefined : parseDay(text);
}

/** The day a date names, when it is not later than the as-of day. */
function knownDay(text: string | undefined, asOf: number): number | undefined {
  const day = parsedDay(text);
  return day !== undefined && day <= asOf ? day : undefined;
}
