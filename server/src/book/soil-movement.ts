import { exposures, type Exposure, type Exposures, type InfestedField } from "../soil/exposure.ts";
import type { Carriage, CleanDown, ConfirmedField, Stay } from "../soil/soil-records.ts";
import { SoilTimeline } from "../soil/soil-timeline.ts";
import type { FactRecord } from "../records/record.ts";
import type { CarrierHistory } from "./carrier-history.ts";

/** Which soil may have gone where, by all records up to the as-of day. */
export interface SoilMovement {
  readonly timeline: SoilTimeline;
  /** What it was worked out from: in this order stand the stays and clean-downs that the handles stand for. */
  readonly carriers: readonly CarrierHistory[];
  /** What the timeline's handles stand for: a visit for each stay of a carrier, a clean-down for each carrier cleaned. */
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
export function exposuresByRegion(
  timeline: SoilTimeline,
  confirmed: readonly ConfirmedField[],
  lookBackDays: number | undefined,
): Exposures {
  return lookBackDays === undefined
    ? exposures(new SoilTimeline([], []), confirmed, 0)
    : exposures(timeline, confirmed, lookBackDays);
}

/** @param lookBackDays see `exposuresByRegion` */
export function soilMovement(
  carriers: readonly CarrierHistory[],
  confirmed: readonly ConfirmedField[],
  lookBackDays: number | undefined,
): SoilMovement {
  const visits: FactRecord<"visits">[] = [];
  const cleanings: (FactRecord<"cleanings"> | FactRecord<"visits">)[] = [];
  const stays: Stay[] = [];
  const cleanDowns: CleanDown[] = [];
  for (const carrier of carriers) {
    for (const { visit, field, arrived, left } of carrier.stays) {
      stays.push({ field, carrier: carrier.id, arrived, left, visit: visits.length });
      visits.push(visit);
    }
    for (const { record, at, result } of carrier.cleanings) {
      const { full, soilLeft } = result;
      cleanDowns.push({ carrier: carrier.id, at, full, soilLeft, cleaning: cleanings.length });
      cleanings.push(record);
    }
  }
  const timeline = new SoilTimeline(stays, cleanDowns);
  const found = exposuresByRegion(timeline, confirmed, lookBackDays);
  return {
    timeline,
    carriers,
    visits,
    cleanings,
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
  const known = new Set(soil.carriers.map(({ id }) => id));
  for (const [id, { stays, cleanings }] of fresh)
    if (!known.has(id) && stays.length + cleanings.length > 0) return undefined;
  if (!soil.carriers.every((history) => saysTheSameOfSoil(history, fresh.get(history.id) ?? history))) return undefined;
  const carriers = soil.carriers.map((history) => fresh.get(history.id) ?? history);
  const visits = [...soil.visits];
  const cleanings = [...soil.cleanings];
  let [firstVisit, firstCleaning] = [0, 0];
  for (const history of carriers) {
    if (fresh.has(history.id)) {
      history.stays.forEach(({ visit }, i) => (visits[firstVisit + i] = visit));
      history.cleanings.forEach(({ record }, i) => (cleanings[firstCleaning + i] = record));
    }
    firstVisit += history.stays.length;
    firstCleaning += history.cleanings.length;
  }
  return { ...soil, carriers, visits, cleanings };
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
