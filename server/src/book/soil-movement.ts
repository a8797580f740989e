import { exposures, type Exposure, type Exposures, type InfestedField } from "../soil/exposure.ts";
import type { Carriage, ConfirmedField } from "../soil/soil-records.ts";
import { SoilTimeline } from "../soil/soil-timeline.ts";
import type { FactRecord } from "../records/record.ts";
import type { CarrierHistory } from "./carrier-history.ts";

/** Which soil may have gone where, by all records up to the as-of day. */
export interface SoilMovement {
  readonly timeline: SoilTimeline;
  /** What it was worked out from, by id: what a carriage says of a stay or a clean-down is its place in these. */
  readonly carriers: ReadonlyMap<string, CarrierHistory>;
  /** By field id. */
  readonly confirmed: ReadonlyMap<string, InfestedField>;
  /** By field id. */
  readonly exposed: ReadonlyMap<string, Exposure>;
}

/**
 * @param lookBackDays undefined where the region gives no figure: then nothing is taken to be exposed, rather than guessed
 */
export function exposuresByRegion(
  timeline: SoilTimeline,
  confirmed: readonly ConfirmedField[],
  lookBackDays: number | undefined,
): Exposures {
  return lookBackDays === undefined
    ? exposures(new SoilTimeline([]), confirmed, 0)
    : exposures(timeline, confirmed, lookBackDays);
}

/** @param lookBackDays see `exposuresByRegion` */
export function soilMovement(
  carriers: readonly CarrierHistory[],
  confirmed: readonly ConfirmedField[],
  lookBackDays: number | undefined,
): SoilMovement {
  const timeline = new SoilTimeline(carriers);
  const found = exposuresByRegion(timeline, confirmed, lookBackDays);
  return {
    timeline,
    carriers: new Map(carriers.map((carrier) => [carrier.id, carrier])),
    confirmed: new Map(found.confirmed.map((field) => [field.field, field])),
    exposed: new Map(found.exposed.map((exposure) => [exposure.field, exposure])),
  };
}

/**
 * The same movements with other records behind them: where the histories of carriers that changed tell of the same ways and
 * the same clean-downs as before, at the same times, no soil has gone elsewhere. Undefined where any does not.
 *
 * @param fresh the histories that changed, by carrier
 */
export function withOtherRecords(
  soil: SoilMovement,
  fresh: ReadonlyMap<string, CarrierHistory>,
): SoilMovement | undefined {
  for (const [id, history] of fresh) {
    const before = soil.carriers.get(id);
    if (before ? !saysTheSameOfSoil(before, history) : history.stays.length + history.cleanings.length > 0)
      return undefined;
  }
  const carriers = new Map(soil.carriers);
  for (const [id, history] of fresh) if (carriers.has(id)) carriers.set(id, history);
  return { ...soil, carriers };
}

/**
 * The records that another has taken the place of. What is linked from a chain is linked by its place in the history, so that
 * whoever speaks of one of these has to look again.
 */
export function replacedRecords(before: CarrierHistory | undefined, after: CarrierHistory): FactRecord[] {
  if (!before) return [];
  const stays = before.stays.filter(({ visit }, i) => visit !== after.stays[i]?.visit);
  const cleanings = before.cleanings.filter(({ record }, i) => record !== after.cleanings[i]?.record);
  return [...stays.map(({ visit }) => visit), ...cleanings.map(({ record }) => record)] as FactRecord[];
}

function saysTheSameOfSoil(a: CarrierHistory, b: CarrierHistory): boolean {
  if (a === b) return true;
  return (
    a.stays.length === b.stays.length &&
    a.cleanings.length === b.cleanings.length &&
    a.stays.every(({ field, arrived, left }, i) => {
      const other = b.stays[i]!;
      return other.field === field && other.arrived === arrived && other.left === left;
    }) &&
    a.cleanings.every(({ at, result }, i) => {
      const other = b.cleanings[i]!;
      return other.at === at && other.result.full === result.full && other.result.soilLeft === result.soilLeft;
    })
  );
}

/** Whether a field's exposure says the same in two movements, by the same records. */
export function sameExposure(field: string, a: SoilMovement, b: SoilMovement): boolean {
  const [before, after] = [a.exposed.get(field), b.exposed.get(field)];
  if (!before || !after) return before === after;
  const sameRecords = (one: Carriage, other: Carriage): boolean => {
    const [was, is] = [a.carriers.get(one.carrier), b.carriers.get(other.carrier)];
    return (
      was?.stays[one.visitLeft]?.visit === is?.stays[other.visitLeft]?.visit &&
      was?.stays[one.visitArrived]?.visit === is?.stays[other.visitArrived]?.visit &&
      one.cleanings.length === other.cleanings.length &&
      one.cleanings.every(({ cleaning, soilLeft }, i) => {
        const { cleaning: place, soilLeft: left } = other.cleanings[i]!;
        return soilLeft === left && was?.cleanings[cleaning]?.record === is?.cleanings[place]?.record;
      })
    );
  };
  const sameCarriage = (one: Carriage, other: Carriage): boolean =>
    one.from === other.from &&
    one.to === other.to &&
    one.carrier === other.carrier &&
    one.left === other.left &&
    one.arrived === other.arrived &&
    one.soilLeft === other.soilLeft &&
    (a.carriers.get(one.carrier) === b.carriers.get(one.carrier) || sameRecords(one, other));
  return (
    before.arrived === after.arrived &&
    before.soilLeft === after.soilLeft &&
    before.chain.length === after.chain.length &&
    before.chain.every((step, i) => sameCarriage(step, after.chain[i]!))
  );
}
