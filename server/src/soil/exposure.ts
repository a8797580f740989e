import { MINUTES_PER_DAY } from "../base/days.ts";
import type { ChainEnd } from "./chain-order.ts";
import { ChainReport } from "./chain-report.ts";
import type { Carriage, ConfirmedField } from "./soil-records.ts";
import type { SoilTimeline } from "./soil-timeline.ts";
import { spread } from "./spread.ts";

export interface Exposure {
  readonly field: string;
  /** The earliest arrival by any chain; minutes. The chain below may arrive later. */
  readonly arrived: number;
  /** The fewest carriages of any chain: the length of the chain below. */
  readonly carriages: number;
  /** The share of soil left at the end of the chain below, 0 to 1. */
  readonly soilLeft: number;
  /** Written out when it is first looked at. */
  readonly chain: readonly Carriage[];
}

export interface InfestedField {
  readonly field: string;
  readonly confirmedOn: number;
  /** The minute from which its soil is taken to have been infested. */
  readonly infestedFrom: number;
}

export interface Exposures {
  /** The confirmed fields by id, each from its earliest confirmation. */
  readonly confirmed: readonly InfestedField[];
  /** The other fields that a chain of carriages leads to from a confirmed one, by id. */
  readonly exposed: readonly Exposure[];
}

/**
 * Which fields the soil of the confirmed ones may have reached. To ask what one more find would mean, add it to `confirmed`.
 *
 * The chain given for a field has the fewest carriages; of those, the earliest arrival; then the field ids in order, from
 * the source on; then the most soil left. Where that still leaves several, carriages are compared from the last one back:
 * by carrier id, by the earlier arrival, by the later departure, and by the places of the two stays. Ids compare by UTF-16
 * code units. Amounts of soil are compared to about a millionth, and a cleaning that is said to leave nothing counts as one
 * that leaves a part in 10^1000.
 *
 * @param lookBackDays days before its confirmation from which a field's soil is taken to have been infested
 */
export function exposures(
  timeline: SoilTimeline,
  confirmed: readonly ConfirmedField[],
  lookBackDays: number,
): Exposures {
  const infested = infestedFields(confirmed, lookBackDays);
  const sources = infested.flatMap(({ field, infestedFrom }) => {
    const number = timeline.fieldNumber(field);
    return number === undefined ? [] : [{ field: number, since: infestedFrom }];
  });
  const { firstArrival, fewestCarriages } = spread(timeline, timeline.forward, sources);
  const sourceFields = new Set(sources.map((source) => source.field));
  const report = new ChainReport(timeline, "forward");
  const exposed = fewestCarriages.flatMap((end, field) => {
    if (!end || sourceFields.has(field)) return [];
    return new TimelineExposure(timeline.fieldIds[field]!, firstArrival[field]!, end, report);
  });
  return { confirmed: infested, exposed };
}

class TimelineExposure implements Exposure {
  readonly carriages: number;
  readonly soilLeft: number;
  readonly #end: ChainEnd;
  readonly #report: ChainReport;
  #chain: readonly Carriage[] | undefined;

  constructor(
    readonly field: string,
    readonly arrived: number,
    end: ChainEnd,
    report: ChainReport,
  ) {
    this.carriages = end.carriages;
    this.soilLeft = report.summary(end).soilLeft;
    this.#end = end;
    this.#report = report;
  }

  get chain(): readonly Carriage[] {
    return (this.#chain ??= this.#report.chain(this.#end));
  }
}

function infestedFields(confirmed: readonly ConfirmedField[], lookBackDays: number): InfestedField[] {
  const first = new Map<string, number>();
  for (const { field, confirmedOn } of confirmed)
    first.set(field, Math.min(confirmedOn, first.get(field) ?? confirmedOn));
  return [...first]
    .map(([field, confirmedOn]) => ({
      field,
      confirmedOn,
      infestedFrom: (confirmedOn - lookBackDays) * MINUTES_PER_DAY,
    }))
    .sort((a, b) => (a.field < b.field ? -1 : 1));
}
