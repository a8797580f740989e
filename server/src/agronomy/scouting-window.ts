/**
 * When to scout: the swathing day, recorded or forecast, and the window around it. How many days the window opens
 * before and closes after swathing is the region pack's figure, with its source.
 */
import { formatDay } from "../base/days.ts";
import { calculated, cannot, countProblem, firstProblem, type Calculated } from "./calculated.ts";
import { dayProblem, isDay } from "./degree-days.ts";

/** Longer than any season: a day count above it is a slip. */
const MOST_DAYS = 3660;

export interface SwathingDay {
  readonly day: number;
  /** Recorded; forecast from degree days; or so many days after seeding. */
  readonly basis: "recorded" | "forecast" | "days";
}

/**
 * The swathing day, from the best that is known: the recorded day, else the forecast, else seeding and the region's
 * days from seeding to swathing. Days are whole numbers, see `base/days.ts`. Errors: none of the three is known.
 */
export function swathingDay(known: {
  readonly recorded: number | undefined;
  /** Left undefined where too little weather is recorded. */
  readonly forecast: number | undefined;
  readonly seeded: number | undefined;
  readonly daysSeedToSwath: number | undefined;
}): Calculated<SwathingDay> {
  const { recorded, forecast, seeded, daysSeedToSwath } = known;
  if (recorded !== undefined && isDay(recorded)) return calculated({ day: recorded, basis: "recorded" });
  if (forecast !== undefined && isDay(forecast)) return calculated({ day: forecast, basis: "forecast" });
  if (seeded === undefined || !isDay(seeded)) {
    return cannot("Neither the day of swathing nor that of seeding is recorded, so it is not known when to scout.");
  }
  if (daysSeedToSwath === undefined || countProblem("days", daysSeedToSwath, 0, MOST_DAYS) !== undefined) {
    return cannot("The region does not say how many days pass from seeding to swathing.");
  }
  const day = seeded + daysSeedToSwath;
  return isDay(day) ? calculated({ day, basis: "days" }) : cannot("The day of seeding is not a day of the calendar.");
}

/** First and last day on which to scout, both counted. */
export interface ScoutingWindow {
  readonly opens: number;
  readonly closes: number;
}

/** Errors: counts of days that are not whole numbers of 0 or more. */
export function scoutingWindow(
  swathing: number,
  opensDaysBefore: number,
  closesDaysAfter: number,
): Calculated<ScoutingWindow> {
  const problem = firstProblem(
    dayProblem("day of swathing", swathing),
    countProblem("days the window opens before swathing", opensDaysBefore, 0, MOST_DAYS),
    countProblem("days the window closes after swathing", closesDaysAfter, 0, MOST_DAYS),
  );
  if (problem !== undefined) return cannot(problem);
  const [opens, closes] = [swathing - opensDaysBefore, swathing + closesDaysAfter];
  if (!isDay(opens) || !isDay(closes)) return cannot(`The window around ${formatDay(swathing)} leaves the calendar.`);
  return calculated({ opens, closes });
}

export interface WindowStanding {
  readonly state: "waiting" | "open" | "closed";
  /** While waiting: days until it opens, 1 or more. */
  readonly opensInDays: number | undefined;
  /** While waiting or open: days until the last day, which is day 0. */
  readonly daysLeft: number | undefined;
  /** When closed: days since the last day, 1 or more. */
  readonly closedDaysAgo: number | undefined;
}

/** Where a day stands against the window. Error: a day that is none. */
export function windowStanding(window: ScoutingWindow, asOf: number): Calculated<WindowStanding> {
  const problem = firstProblem(
    dayProblem("as-of day", asOf),
    dayProblem("day the window opens", window.opens),
    dayProblem("day the window closes", window.closes),
  );
  if (problem !== undefined) return cannot(problem);
  const waiting = asOf < window.opens;
  const closed = asOf > window.closes;
  return calculated({
    state: waiting ? "waiting" : closed ? "closed" : "open",
    opensInDays: waiting ? window.opens - asOf : undefined,
    daysLeft: closed ? undefined : window.closes - asOf,
    closedDaysAgo: closed ? asOf - window.closes : undefined,
  });
}
