import { formatDay } from "../../base/days.ts";
import type { PlannedDay } from "../../planning/season-plan.ts";

const LONGEST = 60;

/**
 * `2026-08-20-mo-1-long-meadow.html`: sheets lie in the order in which they are needed. Ids may hold slashes, and a broken book
 * anything: only letters, digits and hyphens go into the name of a file.
 *
 * @param index of the field in the day's walk, from 0
 */
export function sheetName({ day, walker }: PlannedDay, index: number, field: string): string {
  const plain = (id: string): string => id.replace(/[^A-Za-z0-9]+/g, "-").slice(0, LONGEST);
  return `${formatDay(day)}-${plain(walker.id)}-${index + 1}-${plain(field)}.html`;
}
