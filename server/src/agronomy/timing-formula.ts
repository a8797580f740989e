/** The formulas of `degree-days.ts` and `timing.ts` with the numbers in them. */
import { formatDay } from "../base/days.ts";
import { numberText, percentText, type ShownFormula } from "./calculated.ts";
import type { DegreeDayRule, DegreeDaySum } from "./degree-days.ts";
import type { ForecastDay } from "./timing.ts";

const SOURCES = ["McMaster & Wilhelm 1997, Agric. For. Meteorol. 87:291"];

export function degreeDayFormula(from: number, to: number, rule: DegreeDayRule, sum: DegreeDaySum): ShownFormula {
  const base = numberText(rule.baseC);
  const ofDay =
    rule.method === 1 ? `max(0, (Tmax + Tmin)/2 − ${base})` : `(max(Tmax, ${base}) + max(Tmin, ${base}))/2 − ${base}`;
  const missing =
    sum.daysMissing === 0 ? "" : `; ${numberText(sum.daysMissing)} days missing, so the true sum is higher`;
  return {
    formula:
      `Σ ${ofDay} over ${numberText(sum.daysRecorded)} of ${numberText(sum.days)} days, ${formatDay(from)} to ` +
      `${formatDay(to)} = ${numberText(sum.degreeDays, 6)} °C·d (method ${rule.method})${missing}${recordedNote(sum, rule)}`,
    sources: SOURCES,
  };
}

export function forecastFormula(wanted: number, seeded: number, rule: DegreeDayRule, found: ForecastDay): ShownFormula {
  const range =
    found.range === undefined
      ? ""
      : `; as in the years recorded, ${formatDay(found.range.earliest)} to ${formatDay(found.range.latest)}`;
  const bridged = found.daysBridged === 0 ? "" : `, ${numberText(found.daysBridged)} on a straight line`;
  return {
    formula:
      `first day with ${numberText(wanted)} °C·d above ${numberText(rule.baseC)} °C since ${formatDay(seeded)}: ` +
      `${formatDay(found.day)} (${numberText(found.daysRecorded)} days recorded, ` +
      `${numberText(found.daysFromMean)} from the mean of other years${bridged})${range}` +
      recordedNote({ enough: found.enough, shareRecorded: found.shareKnown }, rule),
    sources: SOURCES,
  };
}

function recordedNote(recorded: { enough: boolean; shareRecorded: number }, rule: DegreeDayRule): string {
  if (recorded.enough) return "";
  return (
    `; only ${percentText(recorded.shareRecorded, 3)} of the days are recorded, ` +
    `less than the ${percentText(rule.leastShareRecorded)} it takes to rely on it`
  );
}
