import type { ShownFormula } from "../agronomy/calculated.ts";
import { degreeDayFormula, forecastFormula } from "../agronomy/timing-formula.ts";
import { stageReached } from "../agronomy/timing.ts";
import { stageMeaning } from "../agronomy/bbch.ts";
import { dayInWords, figure, listed, plural } from "../base/words.ts";
import type { Book } from "./book.ts";
import type { CropWarmth } from "./weather.ts";

const RUNS_NAMED = 3;

/** What a hover says of a crop's warmth. */
export interface WarmthInWords {
  /** `1,467 of 1,500 degree days by 20 Aug; stage 80 by them`, then what is missing, then why it is not relied on. */
  readonly says: readonly string[];
  readonly formulas: readonly ShownFormula[];
  /** The figures of the region it rests on, by their paths. */
  readonly figures: readonly string[];
}

export function warmthInWords(warmth: CropWarmth, book: Book): WarmthInWords {
  const { soFar, forecast, seeded, wanted, record, swathing, station } = warmth;
  const upTo = seeded + soFar.days - 1;
  const { rule } = record;
  const stage = stageOf(soFar.degreeDays, book);
  const says = [
    `${figure(soFar.degreeDays, 0)} of ${figure(wanted, 0)} degree days above ${figure(rule.baseC)} °C from seeding to ` +
      `${dayInWords(upTo, book.seasonYear)}, by ${station}${stage}`,
  ];
  if (soFar.daysMissing > 0) says.push(`${missingInWords(warmth, book)}, so the true sum is higher`);
  if (swathing === undefined) says.push(whyNot(warmth, book));
  const formulas = [degreeDayFormula(seeded, upTo, rule, soFar)];
  if (forecast) formulas.push(forecastFormula(wanted, seeded, rule, forecast));
  const figures = ["base_c", "method", "degree_days_to_swath", "weather_days_needed_percent"];
  return { says, formulas, figures: figures.map((name) => `growth.${name}`) };
}

function stageOf(degreeDays: number, book: Book): string {
  const stage = stageReached(degreeDays, book.region.growth?.degree_days ?? {});
  if (!stage.ok || stage.value === undefined) return "";
  const meaning = stageMeaning(stage.value);
  return `; BBCH ${String(stage.value).padStart(2, "0")} by them${meaning === undefined ? "" : ` (${meaning})`}`;
}

/** `7 days have no weather: 3 Jun to 8 Jun and 2 Jul` */
function missingInWords({ soFar }: CropWarmth, book: Book): string {
  const day = (at: number): string => dayInWords(at, book.seasonYear);
  const runs = soFar.missing
    .slice(0, RUNS_NAMED)
    .map(({ from, to }) => (from === to ? day(from) : `${day(from)} to ${day(to)}`));
  const more = soFar.missing.length - runs.length;
  const named = more > 0 ? `${runs.join(", ")} and ${plural(more, "more gap")}` : listed(runs);
  const have = soFar.daysMissing === 1 ? "has" : "have";
  return `${plural(soFar.daysMissing, "day")} ${have} no weather: ${named}`;
}

function whyNot({ forecast, soFar, record }: CropWarmth, book: Book): string {
  const days = book.region.growth?.days_seed_to_swath;
  const instead = days === undefined ? "" : `, so swathing is counted as ${plural(days, "day")} from seeding`;
  if (!forecast) return `the weather recorded does not reach to swathing, in this year or another${instead}`;
  const share = soFar.enough ? forecast.shareKnown : soFar.shareRecorded;
  const percent = (value: number): string => `${figure(value * 100, 1)} %`;
  return (
    `only ${percent(share)} of the days are recorded, fewer than the ${percent(record.rule.leastShareRecorded)} it takes ` +
    `to rely on them${instead}`
  );
}
