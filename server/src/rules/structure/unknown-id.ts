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
      const choices = choicesFor(reference, record, book);
      if (!choices || choices.has(reference.id) || mayBeUnread(reference, book)) continue;
      const meant = closest(reference.id, choices.ids());
      report({
        place: { record, pointer: reference.pointer, part: "value" },
        message: `no ${describe(reference, book)}; ${meant ? `did you mean "${meant}"?` : adviceFor(reference, book)}`,
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

function adviceFor({ kind, id, within }: Reference, book: Book): string {
  if (kind === "equipment" && id.startsWith(BOOTS_PREFIX)) {
    return "boots are no equipment of a visit: write how they were kept under footwear, and take them out here";
  }
  if (kind === "patch" && within && !book.record("visits", within)) {
    return `there is no visit "${within}"; correct the id before the #`;
  }
  return WHERE_DEFINED[kind];
}

/** What a reference may name; undefined where that cannot be told, because what should hold it is unknown itself. */
function choicesFor({ kind, within }: Reference, record: FactRecord, book: Book): Choices | undefined {
  const { season } = book;
  switch (kind) {
    case "field":
      return recordsOf(book, "fields");
    case "equipment":
      return recordsOf(book, "equipment");
    case "visit":
      return recordsOf(book, "visits");
    case "carrier": {
      const boots = itemsOf(season.crew, BOOTS_PREFIX);
      const machines = recordsOf(book, "equipment");
      return { has: (id) => boots.has(id) || machines.has(id), ids: () => [...machines.ids(), ...boots.ids()] };
    }
    case "crew":
      return itemsOf(season.crew);
    case "grower":
      return itemsOf(season.growers);
    case "lab":
      return itemsOf(season.labs);
    case "entrance": {
      const field = book.record("fields", within ?? "");
      return field && itemsOf(field.facts.entrances);
    }
    case "dig": {
      const visit = book.record("visits", within ?? "");
      return visit && itemsOf(visit.facts.digs);
    }
    case "patch": {
      const visit = within === "" ? record : book.record("visits", within ?? "");
      // A patch of a visit that does not exist is as unknown as the visit.
      return itemsOf(visit && isKind(visit, "visits") ? visit.facts.patches : []);
    }
  }
}

/** What a file that cannot be read would define is not told as missing: it is told of that file that it cannot be read. */
function mayBeUnread({ kind, within }: Reference, book: Book): boolean {
  const { season } = book;
  switch (kind) {
    case "field":
      return book.isUnread("fields");
    case "equipment":
      return book.isUnread("equipment");
    case "visit":
      return book.isUnread("visits");
    case "patch":
      return within !== "" && book.isUnread("visits");
    case "carrier":
      return book.isUnread("equipment") || (season.crew === undefined && book.isUnread("season"));
    case "crew":
      return season.crew === undefined && book.isUnread("season");
    case "grower":
      return season.growers === undefined && book.isUnread("season");
    case "lab":
      return season.labs === undefined && book.isUnread("season");
    case "entrance":
    case "dig":
      return false;
  }
}

interface Choices {
  has(id: string): boolean;
  ids(): Iterable<string>;
}

function recordsOf(book: Book, kind: "fields" | "equipment" | "visits"): Choices {
  return { has: (id) => book.record(kind, id) !== undefined, ids: () => book.ids(kind) };
}

function itemsOf(list: readonly { readonly id?: string }[] | undefined, prefix = ""): Choices {
  if (!list) return { has: () => false, ids: () => [] };
  return {
    has: (id) => id.startsWith(prefix) && idsOf(list).has(id.slice(prefix.length)),
    ids: () => [...idsOf(list)].map((id) => prefix + id),
  };
}

/** The crew and the growers are asked for by every record: their ids are gathered once. */
const gathered = new WeakMap<object, ReadonlySet<string>>();

function idsOf(list: readonly { readonly id?: string }[]): ReadonlySet<string> {
  let ids = gathered.get(list);
  if (!ids) gathered.set(list, (ids = new Set(list.flatMap(({ id }) => (id ? [id] : [])))));
  return ids;
}

function describe({ kind, id, within }: Reference, book: Book): string {
  if (kind === "entrance") return `entrance "${id}" in ${book.fieldName(within ?? "")}`;
  if (kind === "dig") return `dig "${id}" in visit ${within ?? ""}`;
  if (kind === "patch")
    return within === "" ? `patch "${id}" in this visit` : `patch "${id}" in a visit "${within ?? ""}"`;
  if (kind === "crew") return `crew member "${id}"`;
  if (kind === "carrier") return `equipment "${id}"`;
  return `${kind} "${id}"`;
}

function replacement({ kind, within }: Reference, meant: string): string {
  return kind === "patch" && within ? `${within}#${meant}` : meant;
}
