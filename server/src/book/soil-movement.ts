import { exposures, type Exposure, type InfestedField } from "../soil/exposure.ts";
import type { Carriage, CleanDown, ConfirmedField, Stay } from "../soil/soil-records.ts";
import { SoilTimeline } from "../soil/soil-timeline.ts";
import type { FactRecord } from "../records/record.ts";
import type { CarrierHistory } from "./carrier-history.ts";

/** Which soil may have gone where, by all records up to the as-of day. */
export interface SoilMovement {
  readonly timeline: SoilTimeline;
  /** The visits and clean-downs that the timeline's handles stand for. */
  readonly visits: readonly FactRecord<"visits">[];
  readonly cleanings: readonly (FactRecord<"cleanings"> | FactRecord<"visits">)[];
  /** By field id. */
  readonly confirmed: ReadonlyMap<string, InfestedField>;
  /** By field id. */
  readonly exposed: ReadonlyMap<string, Exposure>;
}

/**
 * @param lookBackDays undefined where the region gives no figure: then nothing is taken to be exposed, rather than guessed
 */
export function soilMovement(
  carriers: readonly CarrierHistory[],
  confirmed: readonly ConfirmedField[],
  lookBackDays: number | undefined,
): SoilMovement {
  const visits: FactRecord<"visits">[] = [];
  const cleanings: (FactRecord<"cleanings"> | FactRecord<"visits">)[] = [];
  const visitNumbers = new Map<FactRecord, number>();
  const cleaningNumbers = new Map<FactRecord, number>();
  const stays: Stay[] = [];
  const cleanDowns: CleanDown[] = [];
  for (const carrier of carriers) {
    for (const { visit, field, arrived, left } of carrier.stays) {
      stays.push({ field, carrier: carrier.id, arrived, left, visit: numberOf(visit, visits, visitNumbers) });
    }
    for (const { record, at, result } of carrier.cleanings) {
      const cleaning = numberOf(record, cleanings, cleaningNumbers);
      cleanDowns.push({ carrier: carrier.id, at, full: result.full, soilLeft: result.soilLeft, cleaning });
    }
  }
  const timeline = new SoilTimeline(stays, cleanDowns);
  const found = exposures(timeline, lookBackDays === undefined ? [] : confirmed, lookBackDays ?? 0);
  return {
    timeline,
    visits,
    cleanings,
    confirmed: new Map(found.confirmed.map((field) => [field.field, field])),
    exposed: new Map(found.exposed.map((exposure) => [exposure.field, exposure])),
  };
}

function numberOf<R extends FactRecord>(record: R, list: R[], numbers: Map<FactRecord, number>): number {
  let number = numbers.get(record);
  if (number === undefined) {
    number = list.length;
    list.push(record);
    numbers.set(record, number);
  }
  return number;
}

/** Whether two exposures say the same, their records apart. */
export function sameExposure(a: Exposure | undefined, b: Exposure | undefined): boolean {
  if (!a || !b) return a === b;
  return (
    a.arrived === b.arrived &&
    a.soilLeft === b.soilLeft &&
    a.chain.length === b.chain.length &&
    a.chain.every((step, i) => sameCarriage(step, b.chain[i]!))
  );
}

function sameCarriage(a: Carriage, b: Carriage): boolean {
  return (
    a.from === b.from &&
    a.to === b.to &&
    a.carrier === b.carrier &&
    a.left === b.left &&
    a.arrived === b.arrived &&
    a.soilLeft === b.soilLeft
  );
}
