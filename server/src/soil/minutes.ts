/**
 * Minutes as typed arrays of 32-bit numbers hold them: those of some four thousand years before and after 1970. Wider ones are
 * put into memory of their own each time they are looked at, which takes longer than all that is worked out from them.
 */

/** Stands for a time that is none: before all others, and the same when time runs the other way. */
export const NEVER = -(2 ** 31);
/** After all others. */
export const LATEST = 2 ** 31 - 1;

/** Whether a time is a whole minute that 32 bits hold. */
export function isMinute(time: number): boolean {
  return (time | 0) === time && time !== NEVER;
}
