import { MINUTES_PER_DAY } from "../base/days.ts";
import type { Book } from "../book/book.ts";
import { riskStatus } from "../book/field-status.ts";
import type { LonLat } from "../schema/facts.ts";
import { daylight } from "./daylight.ts";
import { rankOf } from "./field-work.ts";
import { localTime } from "./local-clock.ts";
import { MINUTES_PER_HOUR, type PlanFigures } from "./plan-figures.ts";

/** When a day's work may begin and must end; minutes of the book's local clock. */
export interface WorkDay {
  readonly begins: number;
  readonly ends: number;
  /** Undefined where the time zone or the place is not known: then the region's hours alone count. */
  readonly sunrise: number | undefined;
  readonly sunset: number | undefined;
}

/** @param place where the sun is asked of: the start of the day, else the middle of the fields */
export function workDay(
  day: number,
  figures: PlanFigures,
  zone: string | undefined,
  place: LonLat | undefined,
): WorkDay {
  const sun = zone !== undefined && place ? daylight(day, place) : undefined;
  const sunrise = sun && localTime(zone!, sun.sunrise);
  const sunset = sun && localTime(zone!, sun.sunset);
  const begins = Math.max(day * MINUTES_PER_DAY + figures.startsMinute, sunrise ?? -Infinity);
  const long = begins + Math.floor(figures.hours_per_day * MINUTES_PER_HOUR);
  const ends = Math.min(long, sunset ?? Infinity, (day + 1) * MINUTES_PER_DAY - 1);
  return { begins, ends, sunrise, sunset };
}

/** Who walks where the book names no crew. */
const UNNAMED = "one-person";

/** A member of the crew who walks, with what they take along. */
export interface Walker {
  readonly id: string;
  readonly name: string;
  /** The equipment of their last scouting visit that the book still has and that touches the soil. */
  readonly kit: readonly string[];
}

export function walker(id: string, book: Book): Walker {
  const last = book.crewHistory(id).visits.findLast(({ visit }) => visit.facts.purpose === "scouting");
  const kit = (last?.visit.facts.equipment ?? []).filter(
    (one) => book.record("equipment", one) && book.touchesSoil(one),
  );
  return { id, name: id === UNNAMED ? "one person" : book.crewName(id), kit };
}

/** Who scouts: those who have this season, else everyone the book names, else one person without a name. */
export function usualWalkers(book: Book): string[] {
  const members = (book.season.crew ?? []).flatMap(({ id }) => (id ? [id] : []));
  const scouted = members.filter((id) =>
    book.crewHistory(id).visits.some(({ visit }) => visit.facts.purpose === "scouting" && book.isInSight(visit)),
  );
  if (members.length === 0) return [UNNAMED];
  return scouted.length > 0 ? scouted : members;
}

/** What a walker and their kit did earlier on a day: when that ended, and the rank of the riskiest field they were on. */
export function earlierThatDay({ id, kit }: Walker, day: number, book: Book): { ended: number; rank: number } {
  let [ended, rank] = [-Infinity, 0];
  const stays = [...book.crewVisitsOn(id, day), ...kit.flatMap((one) => book.carrierStaysOn(one, day))];
  for (const { field, left } of stays) {
    ended = Math.max(ended, left);
    rank = Math.max(rank, rankOf(riskStatus(book.fieldHistory(field), book)));
  }
  return { ended, rank };
}
