import type { ShownFormula } from "../agronomy/calculated.ts";
import { degreeDayFormula, forecastFormula } from "../agronomy/timing-formula.ts";
import { stageForecast, stageReached, type ForecastDay } from "../agronomy/timing.ts";
import { stageMeaning } from "../agronomy/bbch.ts";
import { yearOfDay } from "../base/days.ts";
import { dayInWords, figure, listed, plural } from "../base/words.ts";
import type { Book } from "./book.ts";
import type { CropWarmth } from "./weather.ts";

const RUNS_NAMED = 3;
const YEARS_NAMED = 4;
const STAGES_NAMED = 3;

/** What a hover says of a crop's warmth. */
export interface WarmthInWords {
  /**
   * `1467 of 1500 degree days by 20 Aug; BBCH 80 by them`, then what is missing, the day forecast with its range, the stages
   * to come, and why it is not relied on.
   */
  readonly says: readonly string[];
  readonly formulas: readonly ShownFormula[];
  /** The figures of the region it rests on, by their paths. */
  readonly figures: readonly string[];
}

/** @param isSwathed the day of swathing is recorded, and hangs on no forecast */
export function warmthInWords(warmth: CropWarmth, book: Book, isSwathed = false): WarmthInWords {
  const { soFar, forecast, seeded, wanted, record, swathing, station } = warmth;
  const upTo = seeded + soFar.days - 1;
  const { rule } = record;
  const reached = stageAt(soFar.degreeDays, book);
  const stage = reached === undefined ? "" : `; by them at ${stageInWords(reached)}`;
  const says = [
    `${figure(soFar.degreeDays, 0)} of ${figure(wanted, 0)} degree days above ${figure(rule.baseC)} °C from seeding to ` +
      `${dayInWords(upTo, book.seasonYear)}, by ${station}${stage}`,
  ];
  if (soFar.daysMissing > 0) says.push(`${missingInWords(warmth, book)}, so the true sum is higher`);
  if (forecast) says.push(forecastInWords(forecast, warmth, book));
  if (!isSwathed) says.push(...stagesInWords(warmth, book));
  if (swathing === undefined && !isSwathed) says.push(whyNot(warmth, book));
  const formulas = [degreeDayFormula(seeded, upTo, rule, soFar)];
  if (forecast) formulas.push(forecastFormula(wanted, seeded, rule, forecast));
  const figures = ["base_c", "method", "degree_days_to_swath", "weather_days_needed_percent"];
  if (reached !== undefined) figures.push(`degree_days.${twoDigits(reached)}`);
  return { says, formulas, figures: figures.map((name) => `growth.${name}`) };
}

/** `swathing, at 1500, is forecast for 14 Aug; 9 Aug to 21 Aug, were the days to come as in 2023, 2024 and 2025` */
function forecastInWords({ day, range }: ForecastDay, { wanted, seeded }: CropWarmth, book: Book): string {
  const words = (at: number): string => dayInWords(at, book.seasonYear);
  const isPast = day <= book.asOf;
  const on = `swathing, at ${figure(wanted, 0)}, ${isPast ? "was due by them on" : "is forecast for"} ${words(day)}`;
  if (isPast || !range) return on;
  const { earliest, latest } = range;
  // A season has the year of its harvest.
  const years = range.years.map((year) => year + book.seasonOfDay(seeded) - yearOfDay(seeded));
  const between = earliest === latest ? words(earliest) : `${words(earliest)} to ${words(latest)}`;
  const named =
    years.length <= YEARS_NAMED
      ? listed(years.map(String))
      : `the ${years.length} years recorded from ${years[0]!} to ${years[years.length - 1]!}`;
  return `${on}; ${between}, were the days to come as in ${named}`;
}

/** `expected: BBCH 60 (first flowers open) 2 Jul, …`: the region's stages still to come. */
function stagesInWords({ seeded, record, forecast }: CropWarmth, book: Book): string[] {
  const stages = stageForecast({ seeded, weather: record }, book.region.growth?.degree_days ?? {});
  if (!stages.ok || !forecast?.enough) return [];
  const toCome = stages.value.flatMap(({ stage, forecast: at }) =>
    at && at.day > book.asOf ? [`${stageInWords(stage)} ${dayInWords(at.day, book.seasonYear)}`] : [],
  );
  return toCome.length === 0 ? [] : [`to come by them: ${toCome.slice(0, STAGES_NAMED).join(", ")}`];
}

function stageInWords(stage: number): string {
  const meaning = stageMeaning(stage);
  return `BBCH ${twoDigits(stage)}${meaning === undefined ? "" : ` (${meaning})`}`;
}

function stageAt(degreeDays: number, book: Book): number | undefined {
  const stage = stageReached(degreeDays, book.region.growth?.degree_days ?? {});
  return stage.ok ? stage.value : undefined;
}

function twoDigits(stage: number): string {
  return String(stage).padStart(2, "0");
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
