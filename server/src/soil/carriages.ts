import { byCodeUnits } from "../base/code-units.ts";
import type { Carriage } from "./soil-records.ts";
import type { DirectedTimeline, SoilTimeline } from "./soil-timeline.ts";

/**
 * The single carriages out of a field: for each other field and each carrier the first arrival, from the latest departure
 * before it; by time of arrival, then field and carrier id. One pass over the departures and arrivals.
 *
 * @param from only departures at or after this minute
 */
export function carriagesFrom(timeline: SoilTimeline, field: string, from = -Infinity): Carriage[] {
  const pairs = steps(timeline, timeline.forward, field, from);
  return pairs.map(([leaving, reaching]) => timeline.carriage(leaving, reaching)).sort(byArrival);
}

/**
 * The single carriages into a field: for each other field and each carrier the last departure, to the earliest arrival after
 * it; by time of departure from the latest on, then field and carrier id. One pass over the departures and arrivals.
 *
 * @param upTo only arrivals at or before this minute
 */
export function carriagesTo(timeline: SoilTimeline, field: string, upTo = Infinity): Carriage[] {
  const pairs = steps(timeline, timeline.backward, field, -upTo);
  return pairs.map(([reaching, leaving]) => timeline.carriage(leaving, reaching)).sort(byDeparture);
}

/** For each other field and carrier, the stays of the first arrival and of the latest departure from `field` before it. */
function steps(timeline: SoilTimeline, directed: DirectedTimeline, id: string, since: number): [number, number][] {
  const field = timeline.fieldNumber(id);
  if (field === undefined) return [];
  const count = timeline.stayCount;
  const carrierCount = timeline.carrierIds.length;
  const lastDeparture = new Map<number, number>();
  const found = new Map<number, [number, number]>();
  for (const event of directed.events) {
    const stay = event < count ? event : event - count;
    const here = timeline.fieldOf[stay] === field;
    if (event < count) {
      const time = directed.departure[stay]!;
      if (!here || time < since) continue;
      const stretch = directed.departureStretch[stay]!;
      const last = lastDeparture.get(stretch);
      if (last === undefined || directed.departure[last]! < time || stay < last) {
        lastDeparture.set(stretch, stay);
      }
    } else if (!here) {
      const leaving = lastDeparture.get(directed.arrivalStretch[stay]!);
      if (leaving === undefined) continue;
      const key = timeline.fieldOf[stay]! * carrierCount + timeline.carrierOf[stay]!;
      const known = found.get(key);
      const sameTime = known && directed.arrival[known[1]] === directed.arrival[stay];
      if (!known || (sameTime && stay < known[1])) found.set(key, [leaving, stay]);
    }
  }
  return [...found.values()];
}

function byArrival(a: Carriage, b: Carriage): number {
  return a.arrived - b.arrived || byCodeUnits(a.to, b.to) || byCodeUnits(a.carrier, b.carrier);
}

function byDeparture(a: Carriage, b: Carriage): number {
  return b.left - a.left || byCodeUnits(a.from, b.from) || byCodeUnits(a.carrier, b.carrier);
}
