import { stat } from "node:fs/promises";
import { basename, dirname, resolve } from "node:path";
import { degreeDayRecord, degreeDaySum, type DegreeDaySum } from "../../agronomy/degree-days.ts";
import { countText, numberText, percentText } from "../../agronomy/calculated.ts";
import { degreeDayFormula } from "../../agronomy/timing-formula.ts";
import { formatDay } from "../../base/days.ts";
import { readSourceFileFrom } from "../../host/read-files.ts";
import { readWeather } from "../../records/weather-file.ts";
import { dayOption } from "../arguments.ts";
import { CommandFailure } from "../failure.ts";
import type { Calculation } from "./calculation.ts";
import { valueOf, type CalcInput } from "./input.ts";
import type { RegionFigures } from "./region-figures.ts";

export const degreeDays: Calculation = {
  name: "degree-days",
  usage: "FILE.weather.csv [--from DATE] [--to DATE]",
  summary: "degree days over a stretch of recorded weather",
  help:
    "Sums degree days over the days from --from to --to, both counted (the file's first and last where they are left out).\n" +
    "Method 1: the day's mean less the base, never below 0. Method 2: minimum and maximum are raised to the base first.",
  examples: [
    "spadework calc degree-days sample-workspace/weather/home-yard.weather.csv --from 2026-05-15 --to 2026-08-31",
    "spadework calc degree-days sample-workspace/weather/home-yard.weather.csv --from 2026-05-15 --to 2026-08-31 --base 5 --method 2",
  ],
  options: {
    from: { type: "string", value: "DATE", help: "the first day" },
    to: { type: "string", value: "DATE", help: "the last day" },
    base: { type: "string", value: "CELSIUS", help: "the base temperature" },
    method: { type: "string", value: "N", help: "how the day's degree days are reckoned", choices: ["1", "2"] },
  },
  async answer(input, region, context) {
    const [path, ...more] = input.positionals;
    if (path === undefined || more.length > 0) {
      throw new CommandFailure(
        "calc degree-days takes one weather file, such as sample-workspace/weather/home-yard.weather.csv",
      );
    }
    const full = resolve(context.workingFolder, path);
    if (await isFolder(full)) throw new CommandFailure(`${path} is a folder; name a weather file`);
    const { text, trouble } = await readSourceFileFrom(dirname(full), basename(full));
    if (trouble) throw new CommandFailure(trouble.isGone ? `there is no file ${path}` : `${path}: ${trouble.message}`);
    const { days, problems } = readWeather(text);
    const [first, last] = [days[0], days[days.length - 1]];
    if (!first || !last)
      throw new CommandFailure(`${path}: ${problems[0]?.message ?? "there is no weather in this file"}`);
    const from = dayOption("from", input.text("from"), context.today) ?? first.day;
    const to = dayOption("to", input.text("to"), context.today) ?? last.day;
    if (to < from) throw new CommandFailure(outOfOrder(from, to, input));
    const rule = ruleOf(input, region);
    const rows = days.map(({ day, minimum, maximum }) => ({ day, tminC: minimum, tmaxC: maximum }));
    const sum = valueOf(degreeDaySum(valueOf(degreeDayRecord(rows, to, rule)), from, to));
    return {
      says: [
        `${numberText(sum.degreeDays, 6)} degree days above ${numberText(rule.baseC)} °C from ${formatDay(from)} to ${formatDay(to)}.`,
        ...missingWords(sum, rule.leastShareRecorded),
      ],
      formulas: [degreeDayFormula(from, to, rule, sum)],
      notes: problems.map(({ message }) => `${path}: ${message}`),
      values: {
        degree_days: sum.degreeDays,
        days: sum.days,
        days_recorded: sum.daysRecorded,
        days_missing: sum.daysMissing,
        missing: sum.missing.map((run) => ({ from: formatDay(run.from), to: formatDay(run.to) })),
        share_recorded: sum.shareRecorded,
        enough: sum.enough,
        inputs: { from: formatDay(from), to: formatDay(to), base_c: rule.baseC, method: rule.method },
      },
    };
  },
};

function outOfOrder(from: number, to: number, input: CalcInput): string {
  const [first, last] = [formatDay(from), formatDay(to)];
  if (input.text("to") === undefined) return `the weather ends on ${last}, before --from ${first}`;
  if (input.text("from") === undefined) return `the weather begins on ${first}, after --to ${last}`;
  return `--to ${last} is before --from ${first}`;
}

async function isFolder(path: string): Promise<boolean> {
  return stat(path).then(
    (found) => found.isDirectory(),
    () => false,
  );
}

function ruleOf(input: CalcInput, region: RegionFigures) {
  const asked = input.number("method") ?? region.need("growth.method", "method", (pack) => pack.growth?.method);
  if (asked !== 1 && asked !== 2) throw new CommandFailure("there are degree day methods 1 and 2; give --method");
  const needed = region.find("growth.weather_days_needed_percent", (pack) => pack.growth?.weather_days_needed_percent);
  return {
    baseC: input.number("base") ?? region.need("growth.base_c", "base", (pack) => pack.growth?.base_c),
    method: asked,
    leastShareRecorded: (needed ?? 0) / 100,
  } as const;
}

const RUNS_NAMED = 5;

function missingWords(sum: DegreeDaySum, leastShare: number): string[] {
  if (sum.daysMissing === 0) return [];
  const runs = sum.missing
    .slice(0, RUNS_NAMED)
    .map(({ from, to }) => (from === to ? formatDay(from) : `${formatDay(from)} to ${formatDay(to)}`));
  const more = sum.missing.length > RUNS_NAMED ? ` and ${sum.missing.length - RUNS_NAMED} more gaps` : "";
  const missing = `${numberText(sum.daysMissing)} of ${countText(sum.days, "day")} ${sum.daysMissing === 1 ? "is" : "are"} missing (${runs.join(", ")}${more}), so the true sum is higher.`;
  if (sum.enough) return [missing];
  return [
    missing,
    `With ${percentText(sum.shareRecorded, 3)} of the days recorded, fewer than ${percentText(leastShare)}, do not rely on it.`,
  ];
}
