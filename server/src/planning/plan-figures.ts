import type { Book } from "../book/book.ts";
import type { PlanFigures as PackFigures } from "../schema/region-facts.ts";

/** The region's figures that a plan counts with, none of them missing. */
export type PlanFigures = { readonly [K in Exclude<keyof PackFigures, "note" | "starts">]-?: number } & {
  /** Minutes after midnight. */
  readonly startsMinute: number;
  /** Hands off while the disinfectant works; minutes. */
  readonly contactMinutes: number;
  readonly strengthPercent: number;
  readonly plantsPerStop: number;
  readonly stops: number;
  readonly entranceReach: number;
};

const COUNTED = [
  "hours_per_day",
  "plants_per_hour",
  "walking_km_per_hour",
  "drive_km_per_hour",
  "road_factor",
  "drive_km_unknown",
  "walk_m_unknown",
  "arrival_minutes",
  "clean_down_minutes",
  "lab_stop_minutes",
  "entrance_plants",
  "wet_rain_mm",
  "wet_days",
  "stock_percent",
  "mix_l",
  "rinse_water_l",
  "covers_per_visit",
  "root_bags_per_field",
] as const;

/** The figures, or the paths of those that the region does not give. */
export function planFigures({ region }: Book): PlanFigures | { readonly missing: readonly string[] } {
  const { plan = {}, cleaning = {}, scouting = {} } = region;
  const missing: string[] = [];
  const asked = (path: string, value: number | undefined): number => {
    if (value === undefined) missing.push(path);
    return value ?? 0;
  };
  const startsMinute = minuteOfDay(plan.starts);
  const counted = Object.fromEntries(COUNTED.map((key) => [key, asked(`plan.${key}`, plan[key])])) as {
    [K in (typeof COUNTED)[number]]: number;
  };
  const figures = {
    ...counted,
    startsMinute: asked("plan.starts", startsMinute),
    contactMinutes: asked("cleaning.contact_minutes", cleaning.contact_minutes),
    strengthPercent: asked("cleaning.strength_percent", cleaning.strength_percent),
    plantsPerStop: Math.max(1, asked("scouting.plants_per_stop", scouting.plants_per_stop)),
    stops: Math.max(1, asked("scouting.stops", scouting.stops)),
    entranceReach: asked("scouting.entrance_reach_m", scouting.entrance_reach_m),
  };
  return missing.length > 0 ? { missing } : figures;
}

/** Of `07:30`, minutes after midnight. */
function minuteOfDay(text: string | undefined): number | undefined {
  const parts = /^(\d\d):(\d\d)$/.exec(text ?? "");
  return parts ? Number(parts[1]) * MINUTES_PER_HOUR + Number(parts[2]) : undefined;
}

export const MINUTES_PER_HOUR = 60;
