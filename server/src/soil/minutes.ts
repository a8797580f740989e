/**
 * Minutes as typed arrays of 32-bit numbers hold them, which is enough for some four thousand years before and after 1970. Wider
 * ones are put into memory of their own each time they are looked at, which takes longer than all that is worked out from them.
 */

/** Stands for a time that is none: before all others, and the same when time runs the other way. */
export const NEVER = -(2 ** 31);
/** After all others. */
export const LATEST = 2 ** 31 - 1;

/** A time as it is kept: one further off counts as the furthest, so that a slip in a year loses nothing of the visit. */
export function keptMinute(time: number): number {
  return Math.max(1 - LATEST, Math.min(time, LATEST - 1));
}
