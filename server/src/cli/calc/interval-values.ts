import type { Interval } from "../../agronomy/interval.ts";

/** Both intervals by the names of the command line's JSON. */
export function intervalValues(found: { readonly clopperPearson: Interval; readonly wilson: Interval }): {
  readonly clopper_pearson: Interval;
  readonly wilson: Interval;
} {
  const plain = ({ lower, upper }: Interval): Interval => ({ lower, upper });
  return { clopper_pearson: plain(found.clopperPearson), wilson: plain(found.wilson) };
}
