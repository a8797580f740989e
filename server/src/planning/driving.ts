import { greatCircleMetres } from "../base/great-circle.ts";
import type { LonLat } from "../schema/facts.ts";
import { MINUTES_PER_HOUR, type PlanFigures } from "./plan-figures.ts";
import type { Leg } from "./walk-problem.ts";

const METRES_PER_KM = 1000;
export const NO_WAY: Leg = { metres: 0, minutes: 0 };

/**
 * The way by road between two places: the great circle times the region's road factor, at its speed. Where a place is not known,
 * the region's figure for that.
 */
export function legBetween(a: LonLat | undefined, b: LonLat | undefined, figures: PlanFigures): Leg {
  const metres = a && b ? greatCircleMetres(a, b) * figures.road_factor : figures.drive_km_unknown * METRES_PER_KM;
  const minutes = Math.ceil((metres / METRES_PER_KM / figures.drive_km_per_hour) * MINUTES_PER_HOUR);
  return { metres: Math.round(metres), minutes };
}

export function joined(a: Leg, b: Leg, minutesBetween: number): Leg {
  return { metres: a.metres + b.metres, minutes: a.minutes + b.minutes + minutesBetween };
}
