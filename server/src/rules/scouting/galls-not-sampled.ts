import { plural } from "../../base/words.ts";
import { plantsWithGalls, type FieldHistory } from "../../book/field-history.ts";
import type { DigRecord } from "../../schema/facts.ts";
import { fieldRule } from "../rule.ts";

export default fieldRule({
  code: "scouting/galls-not-sampled",
  level: "warning",
  check(field, book, report) {
    if (field.confirmed) return;
    const sampled = digsWithRootSample(field);
    for (const visit of field.visits) {
      if (!book.isInSight(visit.record)) continue;
      visit.digs.forEach((dig, index) => {
        const seen = swellingsSeen(dig);
        if (seen === undefined || (dig.id && sampled.has(`${visit.record.id}#${dig.id}`))) return;
        report({
          place: { record: visit.record, pointer: ["digs", index, "id"], part: "value" },
          message:
            `${dig.id ? `dig ${dig.id}` : "a dig"} on ${field.name} had ${seen}, and none of its roots went to a lab; ` +
            "send some, so that a test settles whether it is clubroot",
        });
      });
    }
  },
});

/** Keys `visit#dig`. */
function digsWithRootSample(field: FieldHistory): ReadonlySet<string> {
  const sampled = new Set<string>();
  for (const { record } of field.samples) {
    const { material, visit, dig } = record.facts;
    if (material === "roots" && visit && dig) sampled.add(`${visit}#${dig}`);
  }
  return sampled;
}

/** `2 plants with galls and 1 with a look-alike`; undefined where neither was seen. */
function swellingsSeen(dig: DigRecord): string | undefined {
  const galls = plantsWithGalls(dig);
  const lookAlikes = dig.look_alikes ?? 0;
  if (galls > 0 && lookAlikes > 0)
    return `${plural(galls, "plant")} with galls and ${lookAlikes} with swellings that may be look-alikes`;
  if (galls > 0) return `${plural(galls, "plant")} with galls`;
  return lookAlikes > 0 ? `${plural(lookAlikes, "plant")} with swellings that may be look-alikes` : undefined;
}
