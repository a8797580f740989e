import { resolve } from "node:path";
import { closest } from "../../base/closest.ts";
import { civilDate } from "../../base/days.ts";
import { writeNewTextFile } from "../../host/text-files.ts";
import { starterPack } from "../../output/region-starter.ts";
import { shippedRegionNames } from "../../schema/region.ts";
import type { Command } from "../command.ts";
import { CommandFailure, EXIT_CLEAN } from "../failure.ts";

export const regionNewCommand: Command = {
  name: "new",
  usage: "ID [FILE]",
  summary: "a commented pack to begin with",
  help:
    "Writes a region pack to begin with, right as it stands, into FILE (ID.region.yaml in the current folder when there is\n" +
    "none). A file that is there already is left alone.",
  examples: ["spadework region new our-county --extends ca-prairies"],
  options: {
    extends: { type: "string", value: "PACK", help: "the pack it rests on: a shipped one, or a path from FILE (base)" },
  },
  async run(args, { console, workingFolder, today }) {
    const [id, file = `${id ?? ""}.region.yaml`, ...more] = args.positionals;
    if (id === undefined || more.length > 0)
      throw new CommandFailure("region new takes the new region's name, such as our-county");
    if (!/^[a-z0-9][a-z0-9._-]*$/.test(id))
      throw new CommandFailure(
        `a region's name has small letters, digits and . _ - only, such as our-county; "${id}" is none`,
      );
    const names = shippedRegionNames();
    if (names.includes(id)) throw new CommandFailure(`a shipped pack is called ${id} already; choose another name`);
    if (!file.endsWith(".region.yaml"))
      throw new CommandFailure(`the name of a region pack's file ends in .region.yaml; "${file}" does not`);
    const parent = args.text("extends") ?? "base";
    if (!names.includes(parent) && !/^[\w./-]+\.region\.yaml$/.test(parent)) {
      const meant = closest(parent, names);
      throw new CommandFailure(
        `no region pack is called "${parent}"; ${meant === undefined ? `there are ${names.join(", ")}` : `did you mean ${meant}?`}`,
      );
    }
    await writeNewTextFile(resolve(workingFolder, file), file, starterPack(id, parent, civilDate(today).year));
    console.out(`${file} is written; look at it with: spadework region check ${file}\n`);
    return EXIT_CLEAN;
  },
};
