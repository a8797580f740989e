import { closest } from "../../base/closest.ts";
import type { Book } from "../../book/book.ts";
import { BOOTS_PREFIX, referencesOf, type Reference } from "../../book/references.ts";
import type { FactRecord } from "../../records/record.ts";
import { isKind } from "../../records/record.ts";
import { recordRule } from "../rule.ts";

export default recordRule({
  code: "structure/unknown-id",
  level: "error",
  kinds: ["fields", "rotations", "visits", "cleanings", "samples"],
  check(record, book, report) {
    for (const reference of referencesOf(record)) {
      const known = knownIds(reference, record, book);
      if (known === undefined || has(known, reference.id)) continue;
      const meant = closest(reference.id, known);
      report({
        place: { record, pointer: reference.pointer, part: "value" },
        message: `no ${describe(reference, book)}; ${meant ? `did you mean "${meant}"?` : WHERE_DEFINED[reference.kind]}`,
        ...(meant !== undefined && { suggestion: { replacement: replacement(reference, meant) } }),
      });
    }
  },
});

const WHERE_DEFINED: Readonly<Record<Reference["kind"], string>> = {
  field: "add it to a *.fields.yaml file, or correct the name",
  entrance: "add it to the field's entrances, or correct the name",
  equipment: "add it to a *.equipment.yaml file, or correct the name",
  carrier: "add it to a *.equipment.yaml file, or write boots/<crew id> for a person's boots",
  crew: "add the person to the crew in season.yaml, or correct the name",
  grower: "add the grower to season.yaml, or correct the name",
  lab: "add the lab to season.yaml, or correct the name",
  visit: "correct the id to that of a recorded visit",
  dig: "correct the id to that of a dig of the visit",
  patch: 'add it to the visit\'s patches; a patch of an earlier visit is written "visit-id#patch-id"',
};

/** The ids a reference may name; undefined where that cannot be told, because what should hold them is unknown itself. */
function knownIds({ kind, within }: Reference, record: FactRecord, book: Book): Iterable<string> | undefined {
  const { season } = book;
  switch (kind) {
    case "field":
      return book.ids("fields");
    case "equipment":
      return book.ids("equipment");
    case "carrier":
      return [...book.ids("equipment"), ...defined(season.crew).map((id) => BOOTS_PREFIX + id)];
    case "crew":
      return defined(season.crew);
    case "grower":
      return defined(season.growers);
    case "lab":
      return defined(season.labs);
    case "visit":
      return book.ids("visits");
    case "entrance": {
      const field = book.record("fields", within ?? "");
      return field && defined(field.facts.entrances);
    }
    case "dig": {
      const visit = book.record("visits", within ?? "");
      return visit && defined(visit.facts.digs);
    }
    case "patch": {
      const visit = within === "" ? record : book.record("visits", within ?? "");
      // A patch of a visit that does not exist is as unknown as the visit.
      return visit && isKind(visit, "visits") ? defined(visit.facts.patches) : [];
    }
  }
}

function defined(list: readonly { readonly id?: string }[] | undefined): string[] {
  return (list ?? []).flatMap(({ id }) => (id ? [id] : []));
}

function has(ids: Iterable<string>, id: string): boolean {
  for (const known of ids) if (known === id) return true;
  return false;
}

function describe({ kind, id, within }: Reference, book: Book): string {
  if (kind === "entrance") return `entrance "${id}" in ${book.fieldName(within ?? "")}`;
  if (kind === "dig") return `dig "${id}" in visit ${within ?? ""}`;
  if (kind === "patch") return within === "" ? `patch "${id}" in this visit` : `patch "${id}" in a visit "${within ?? ""}"`;
  if (kind === "crew") return `crew member "${id}"`;
  if (kind === "carrier") return `equipment "${id}"`;
  return `${kind} "${id}"`;
}

function replacement({ kind, within }: Reference, meant: string): string {
  return kind === "patch" && within ? `${within}#${meant}` : meant;
}
