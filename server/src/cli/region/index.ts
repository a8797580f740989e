import type { Command } from "../command.ts";
import { EXIT_FAILURE } from "../failure.ts";
import { regionCheckCommand } from "./check.ts";
import { regionNewCommand } from "./new.ts";

export const regionCommand: Command = {
  name: "region",
  usage: "check | new ...",
  summary: "a region pack: look at one, or begin one",
  help:
    "Region packs hold the figures, duties, added keys and checks of one region, each with its source, in a *.region.yaml file.\n" +
    "check looks at one, new begins one.",
  examples: ["spadework region check our-county.region.yaml", "spadework region new our-county --extends ca-prairies"],
  options: {},
  subcommands: [regionCheckCommand, regionNewCommand],
  run: () => Promise.resolve(EXIT_FAILURE),
};
