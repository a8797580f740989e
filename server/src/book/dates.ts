import { MINUTES_PER_DAY, parseDayOf } from "../base/days.ts";
import type { Pointer } from "../records/finding.ts";
import { isKind, type FactRecord } from "../records/record.ts";

export interface DatedValue {
  readonly pointer: Pointer;
  readonly text: string;
}

/** Every date or time a record holds, with its place. */
export function datesOf(record: FactRecord): DatedValue[] {
  const found: DatedValue[] = [];
  const add = (text: string | undefined, ...pointer: (string | number)[]): void => {
    if (text) found.push({ pointer, text });
  };
  if (isKind(record, "fields")) {
    add(record.facts.clubroot?.found_on, "clubroot", "found_on");
    record.facts.notices?.forEach((notice, i) => add(notice.on, "notices", i, "on"));
  } else if (isKind(record, "equipment")) add(record.facts.acquired?.on, "acquired", "on");
  else if (isKind(record, "rotations")) {
    record.facts.crops?.forEach((crop, i) => {
      add(crop.seeded, "crops", i, "seeded");
      add(crop.emerged, "crops", i, "emerged");
      add(crop.swathed, "crops", i, "swathed");
    });
  } else if (isKind(record, "visits")) {
    add(record.facts.arrived, "arrived");
    add(record.facts.left, "left");
  } else if (isKind(record, "cleanings")) add(record.facts.at, "at");
  else if (isKind(record, "samples")) {
    add(record.facts.taken, "taken");
    add(record.facts.sent, "sent");
    add(record.facts.received, "received");
    add(record.facts.result?.reported, "result", "reported");
  }
  return found;
}

/** The day a record belongs to, which also says to which season: undefined for records that have none. */
export function dayOfRecord(record: FactRecord): number | undefined {
  if (record.began !== undefined) return Math.floor(record.began / MINUTES_PER_DAY);
  if (isKind(record, "visits")) return day(record.facts.arrived);
  if (isKind(record, "cleanings")) return day(record.facts.at);
  if (isKind(record, "samples")) return day(record.facts.taken ?? record.facts.sent);
  if (isKind(record, "equipment")) return day(record.facts.acquired?.on);
  return undefined;
}

function day(text: string | undefined): number | undefined {
  return text === undefined ? undefined : parseDayOf(text);
}
