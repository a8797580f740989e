import { dayInWords, figure } from "../../base/words.ts";
import { undugPatches } from "../../book/patches.ts";
import type { PatchRecord } from "../../schema/facts.ts";
import { fieldRule } from "../rule.ts";

export default fieldRule({
  code: "scouting/patch-not-dug",
  level: "warning",
  check(field, book, report) {
    for (const { seen, patch, index } of undugPatches(field)) {
      if (!book.isInSight(seen.record)) continue;
      report({
        place: { record: seen.record, pointer: ["patches", index, "id"], part: "value" },
        message:
          `patch ${patch.id!}${sizeOf(patch)}, seen on ${field.name} on ${dayInWords(seen.day, book.seasonYear)}, was not ` +
          "dug; dig plants in it and look at the roots, for above ground clubroot looks like other diseases",
      });
    }
  },
});

function sizeOf(patch: PatchRecord): string {
  return patch.area_m2 === undefined ? "" : ` (${figure(patch.area_m2)} m²)`;
}
