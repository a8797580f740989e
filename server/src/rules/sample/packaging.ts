import { labOf } from "../../book/labs.ts";
import type { Packaging, SampleRecord } from "../../schema/facts.ts";
import { recordRule } from "../rule.ts";

export default recordRule({
  code: "sample/packaging",
  level: "warning",
  figures: ["sample.packaging"],
  kinds: ["samples"],
  check(record, book, report) {
    const { material, packed, lab: labId, result } = record.facts;
    if (material !== "roots" || packed === undefined || !book.hasHappened(record) || !book.isInSight(record)) return;
    const lab = labOf(book, labId);
    const byLab = known(lab?.accepts);
    const accepted = byLab.length > 0 ? byLab : known(book.region.sample?.packaging);
    if (accepted.length === 0 || accepted.includes(packed)) return;
    const wanted = accepted.map(inWords).join(" or ");
    const reason =
      byLab.length > 0
        ? `${lab?.name ?? labId ?? "the lab"} takes roots in ${wanted}, and these are in ${inWords(packed)}`
        : `roots belong in ${wanted}, and these are in ${inWords(packed)}${packed === "plastic bag" ? ", where they soon rot" : ""}`;
    report({
      place: { record, pointer: ["packed"], part: "value" },
      message: `${reason}; ${result?.finding ? `use ${wanted} the next time` : whatNext(record.facts, wanted)}`,
    });
  },
});

function whatNext({ sent }: SampleRecord, wanted: string): string {
  return sent === undefined
    ? `repack them in ${wanted} before they go`
    : "ask the lab whether they arrived fit to test";
}

function known(packaging: readonly (Packaging | "")[] = []): Packaging[] {
  return packaging.filter((one) => one !== "");
}

function inWords(packaging: Packaging): string {
  return packaging === "other" ? "another packaging" : `a ${packaging}`;
}
