/** Ids are compared by their characters alone, so that no locale changes the order of a report. */
export function byCodeUnits(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
