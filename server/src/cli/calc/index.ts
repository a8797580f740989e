import type { Command } from "../command.ts";
import { EXIT_FAILURE } from "../failure.ts";
import { commandOf, type Calculation } from "./calculation.ts";
import { degreeDays } from "./degree-days.ts";
import { detect } from "./detect.ts";
import { free } from "./free.ts";
import { interval } from "./interval.ts";
import { mix } from "./mix.ts";
import { plants } from "./plants.ts";
import { pool } from "./pool.ts";
import { severity } from "./severity.ts";
import { spores } from "./spores.ts";

export const CALCULATIONS: readonly Calculation[] = [
  plants,
  detect,
  severity,
  interval,
  mix,
  degreeDays,
  spores,
  free,
  pool,
];

export const calcCommand: Command = {
  name: "calc",
  usage: "NAME ...",
  summary: "one calculation by itself, with its formula and source",
  help:
    "Does one calculation and shows the formula with the numbers in it and where it comes from. Percentages are written 2% or\n" +
    "0.02. Figures that are not given come from a region pack (--region, base where none is named), with their sources.",
  examples: ["spadework calc plants --incidence 2% --confidence 95%", "spadework calc mix --stock 5.25% --litres 10"],
  options: {},
  subcommands: CALCULATIONS.map(commandOf),
  run: () => Promise.resolve(EXIT_FAILURE),
};
