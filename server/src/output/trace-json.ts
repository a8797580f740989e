import { formatDay, formatMinute } from "../base/days.ts";
import { byCodeUnits } from "../base/code-units.ts";
import type { Exposure, InfestedField } from "../soil/exposure.ts";

export interface TraceReport {
  readonly asOf: string;
  readonly confirmed: readonly InfestedField[];
  readonly exposed: readonly Exposure[];
}

export function traceJson({ asOf, confirmed, exposed }: TraceReport): string {
  const value = {
    as_of: asOf,
    confirmed: [...confirmed]
      .sort((a, b) => byCodeUnits(a.field, b.field))
      .map(({ field, confirmedOn }) => ({ field, since: formatDay(confirmedOn) })),
    exposed: [...exposed].sort((a, b) => byCodeUnits(a.field, b.field)).map(exposureJson),
  };
  return `${JSON.stringify(value, null, 2)}\n`;
}

export function exposureJson({ field, arrived, carriages, soilLeft, chain }: Exposure): object {
  return {
    field,
    arrived: formatMinute(arrived),
    carriages,
    soil_left: soilLeft,
    chain: chain.map((step) => ({
      from: step.from,
      to: step.to,
      carrier: step.carrier,
      left: formatMinute(step.left),
      arrived: formatMinute(step.arrived),
      soil_left: step.soilLeft,
    })),
  };
}
