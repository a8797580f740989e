import { RULE_CODES } from "../../../generated/rule-codes.ts";
import { closest } from "../../base/closest.ts";
import { isKind } from "../../records/record.ts";
import { combinedRule, recordRule } from "../rule.ts";

/** Keys of records are told while they are read; here, checks that `rules` names and nobody knows. */
const unknownChecks = recordRule({
  code: "structure/unknown-key",
  level: "error",
  kinds: ["season", "region"],
  check(record, book, report) {
    const known = new Set(RULE_CODES);
    for (const code of book.resolvedRegion.checkCodes) known.add(code);
    // A pack may set levels of its own checks, whether or not the book asks for it.
    if (isKind(record, "region")) for (const { code } of record.facts.checks ?? []) if (code) known.add(code);
    for (const code of Object.keys(record.facts.rules ?? {})) {
      if (known.has(code)) continue;
      const meant = closest(code, known);
      report({
        place: { record, pointer: ["rules", code], part: "key" },
        message: `there is no check called "${code}"; ${meant ? `did you mean "${meant}"?` : "spadework explain lists them all"}`,
        ...(meant !== undefined && { suggestion: { replacement: meant } }),
      });
    }
  },
});

export default combinedRule({ code: "structure/unknown-key", level: "error", parts: [unknownChecks] });
