import { byCodeUnits } from "../base/code-units.ts";
import type { Carriage } from "../soil/soil-records.ts";
import type { DirectedTimeline, SoilTimeline } from "../soil/soil-timeline.ts";

/** A carrier's first arrival on each field with soil of another, from its latest departure before it; by time of arrival. */
export function carriagesOnto(timeline: SoilTimeline, carrier: string): Carriage[] {
  return pairs(timeline, timeline.forward, carrier)
    .map(([leaving, reaching]) => timeline.carriage(leaving, reaching))
    .sort((a, b) => a.arrived - b.arrived || byCodeUnits(a.to, b.to));
}

/** A carrier's last departure from each field that took soil to another, to the earliest arrival after it; the latest first. */
export function carriagesOff(timeline: SoilTimeline, carrier: string): Carriage[] {
  return pairs(timeline, timeline.backward, carrier)
    .map(([reaching, leaving]) => timeline.carriage(leaving, reaching))
    .sort((a, b) => b.left - a.left || byCodeUnits(a.from, b.from));
}

/** For each field a carrier arrives on, the stays of the latest departure from another field and of the first arrival after it. */
function pairs(timeline: SoilTimeline, directed: DirectedTimeline, id: string): [number, number][] {
  const carrier = timeline.carrierIds.indexOf(id);
  const count = timeline.stayCount;
  /** By stretch between two full clean-downs, the latest departures from two different fields, the latest one first. */
  const latest = new Map<number, readonly number[]>();
  const found = new Map<number, [number, number]>();
  for (const event of directed.events) {
    const stay = event < count ? event : event - count;
    if (timeline.carrierOf[stay] !== carrier) continue;
    const field = timeline.fieldOf[stay]!;
    if (event < count) {
      const stretch = directed.departureStretch[stay]!;
      const other = latest.get(stretch)?.find((one) => timeline.fieldOf[one] !== field);
      latest.set(stretch, other === undefined ? [stay] : [stay, other]);
    } else if (!found.has(field)) {
      const departures = latest.get(directed.arrivalStretch[stay]!) ?? [];
      const leaving = departures.find((one) => timeline.fieldOf[one] !== field);
      if (leaving !== undefined) found.set(field, [leaving, stay]);
    }
  }
  return [...found.values()];
}
