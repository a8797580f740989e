import { soilLoss } from "./carrier-cleanings.ts";
import type { Carriage } from "./soil-records.ts";
import type { SoilTimeline } from "./soil-timeline.ts";

/** A field whose soil may hold the disease. */
export interface InfestedGround {
  /** The minute from which it may. */
  readonly since: number;
  /** How much of its soil is that of a confirmed field, 0 to 1: 1 for a confirmed field itself. */
  readonly share: number;
}

/** A carrier that came onto a field with soil of infested ground on it. */
export interface InfestedArrival {
  readonly carriage: Carriage;
  /** The share of infested soil left on arrival, 0 to 1: the carriage's, times that of the ground it left. */
  readonly soilLeft: number;
}

/**
 * Every arrival of a carrier on a field with soil of other, infested ground on it, by field and in order of time. A carrier
 * that has been on several such fields since its last full clean-down counts once for each arrival, with the most soil left.
 *
 * One pass over the departures and arrivals. A stretch (a carrier's time between two full clean-downs) keeps its two heaviest
 * loads, from two different fields: of two, at most one is the arrival's own field, and what is cleaned off later is taken
 * off both alike.
 */
export function infestedArrivals(
  timeline: SoilTimeline,
  infested: ReadonlyMap<string, InfestedGround>,
): ReadonlyMap<string, readonly InfestedArrival[]> {
  const ground = timeline.fieldIds.map((id) => infested.get(id));
  const { forward, fieldOf, left, stayCount } = timeline;
  const loads = new Map<number, readonly Load[]>();
  const arrivals = new Map<string, InfestedArrival[]>();
  for (const event of forward.events) {
    const stay = event < stayCount ? event : event - stayCount;
    const field = fieldOf[stay]!;
    if (event < stayCount) {
      const source = ground[field];
      if (!source || left[stay]! < source.since) continue;
      const stretch = forward.departureStretch[stay]!;
      const loss = soilLoss(source.share) - forward.departureLoss[stay]!;
      loads.set(stretch, heaviest({ field, stay, loss, share: source.share }, loads.get(stretch) ?? []));
    } else {
      const load = loads.get(forward.arrivalStretch[stay]!)?.find((one) => one.field !== field);
      if (!load) continue;
      const carriage = timeline.carriage(load.stay, stay);
      const soilLeft = load.share * carriage.soilLeft;
      if (soilLeft === 0) continue;
      const known = arrivals.get(carriage.to);
      if (known) known.push({ carriage, soilLeft });
      else arrivals.set(carriage.to, [{ carriage, soilLeft }]);
    }
  }
  return arrivals;
}

/** Soil on board; `loss` compares loads of one stretch, less is more soil. */
interface Load {
  readonly field: number;
  readonly stay: number;
  readonly loss: number;
  readonly share: number;
}

/** The two heaviest of different fields, the heaviest first; of equal ones the latest to come on board. */
function heaviest(fresh: Load, loads: readonly Load[]): readonly Load[] {
  const same = loads.find((load) => load.field === fresh.field);
  if (same && same.loss < fresh.loss) return loads;
  const others = loads.filter((load) => load.field !== fresh.field);
  const at = others.findIndex((load) => load.loss >= fresh.loss);
  return others.toSpliced(at < 0 ? others.length : at, 0, fresh).slice(0, 2);
}
