import type { Book } from "../../book/book.ts";
import type { Pointer } from "../../records/finding.ts";
import { isKind, type FactRecord } from "../../records/record.ts";
import { recordRule, type Reporter } from "../rule.ts";

export default recordRule({
  code: "structure/duplicate-id",
  level: "error",
  kinds: ["season", "fields", "equipment", "visits", "cleanings", "samples"],
  check(record, book, report) {
    if (isKind(record, "season")) {
      withinRecord(record, "growers", "grower", record.facts.growers, report);
      withinRecord(record, "crew", "crew member", record.facts.crew, report);
      withinRecord(record, "labs", "lab", record.facts.labs, report);
      return;
    }
    inTheBook(record, book, report);
    if (isKind(record, "fields")) withinRecord(record, "entrances", "entrance", record.facts.entrances, report);
    if (isKind(record, "visits")) {
      withinRecord(record, "patches", "patch", record.facts.patches, report);
      withinRecord(record, "digs", "dig", record.facts.digs, report);
    }
  },
});

const SINGULAR: Readonly<Record<string, string>> = {
  fields: "field",
  equipment: "piece of equipment",
  visits: "visit",
  cleanings: "cleaning",
  samples: "sample",
};

function inTheBook(record: FactRecord, book: Book, report: Reporter): void {
  if (record.id === "" || record.kind === "season" || record.kind === "region" || record.kind === "weather") return;
  const first: FactRecord | undefined = book.record(record.kind, record.id);
  if (!first || first === record) return;
  report({
    place: { record, pointer: ["id"], part: "value" },
    message: `"${record.id}" is already the id of another ${SINGULAR[record.kind]!}, in ${first.file}; give this one an id of its own`,
    related: [{ place: { record: first, pointer: ["id"], part: "value" }, message: `the first "${record.id}"` }],
  });
}

function withinRecord(
  record: FactRecord,
  list: string,
  singular: string,
  items: readonly { readonly id?: string }[] | undefined,
  report: Reporter,
): void {
  const first = new Map<string, Pointer>();
  items?.forEach(({ id }, i) => {
    if (!id) return;
    const pointer = [list, i, "id"];
    const before = first.get(id);
    if (before === undefined) {
      first.set(id, pointer);
      return;
    }
    report({
      place: { record, pointer, part: "value" },
      message: `"${id}" is already the id of another ${singular} here; give this one an id of its own`,
      related: [{ place: { record, pointer: before, part: "value" }, message: `the first "${id}"` }],
    });
  });
}
