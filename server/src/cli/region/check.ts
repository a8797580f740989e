import { resolve } from "node:path";
import { RULES } from "../../../generated/rules.ts";
import { closest } from "../../base/closest.ts";
import { readPackFiles } from "../../host/read-packs.ts";
import { ANSI_COLOURS, NO_COLOURS } from "../../output/colours.ts";
import { withoutLogCommands } from "../../output/printable.ts";
import { regionCheckJson } from "../../output/region-check-json.ts";
import { regionCheckText } from "../../output/region-check-text.ts";
import { isSound, regionReport, type RegionReport } from "../../output/region-report.ts";
import { shippedRegionNames, shippedRegionText } from "../../schema/region.ts";
import type { Command, CommandContext } from "../command.ts";
import { CommandFailure, EXIT_CLEAN, EXIT_FINDINGS } from "../failure.ts";

const FORMATS: Readonly<Record<string, (report: RegionReport, context: CommandContext) => string>> = {
  text: (report, { console }) =>
    withoutLogCommands(regionCheckText(report, console.hasColour ? ANSI_COLOURS : NO_COLOURS)),
  json: regionCheckJson,
};

export const regionCheckCommand: Command = {
  name: "check",
  usage: "FILE",
  summary: "a pack's figures, sources, added keys, checks and examples",
  help:
    "Looks at one region pack, a *.region.yaml file or a shipped pack by its name: whether it is right by the format, every\n" +
    "figure has a source, its checks can be made, and its examples give what they say; and shows what it changes in its\n" +
    "parent.\n" +
    "Exit code 0: the pack can be used; 1: something in it is wrong; 2: the pack could not be read.",
  examples: ["spadework region check our-county.region.yaml", "spadework region check ca-ab --format json"],
  options: {
    format: { type: "string", value: "FORMAT", help: "how the answer is written", choices: Object.keys(FORMATS) },
  },
  async run(args, context) {
    const [asked, ...more] = args.positionals;
    if (asked === undefined || more.length > 0)
      throw new CommandFailure(
        "region check takes one pack: the path of a *.region.yaml file, or a shipped pack's name",
      );
    const { file, packs } = await packAsked(asked, context);
    const report = regionReport({ file, packs, rules: RULES, today: context.today });
    context.console.out(FORMATS[args.text("format") ?? "text"]!(report, context));
    return isSound(report) ? EXIT_CLEAN : EXIT_FINDINGS;
  },
};

async function packAsked(
  asked: string,
  { workingFolder }: CommandContext,
): Promise<{ readonly file: string; readonly packs: ReadonlyMap<string, string> }> {
  const shipped = shippedRegionText(asked);
  if (shipped !== undefined)
    return { file: `${asked}.region.yaml`, packs: new Map([[`${asked}.region.yaml`, shipped]]) };
  if (!asked.endsWith(".region.yaml")) {
    const meant = closest(asked, shippedRegionNames());
    throw new CommandFailure(
      `${asked} is no region pack: name a file that ends in .region.yaml, or one of ${shippedRegionNames().join(", ")}${meant === undefined ? "" : `; did you mean ${meant}?`}`,
    );
  }
  const { file, texts, trouble } = await readPackFiles(resolve(workingFolder, asked));
  if (trouble !== undefined) throw new CommandFailure(`${asked}: ${trouble}`);
  return { file, packs: texts };
}
