import { samePointer, type Pointer } from "../../base/pointer.ts";
import type { Book } from "../../book/book.ts";
import type { ReferredKind } from "../../book/references.ts";
import type { FactRecord } from "../../records/record.ts";
import type { Brief } from "./brief.ts";
import { digBrief, entranceBrief, patchBrief, visitBrief } from "./brief-visits.ts";
import { cleaningBrief, sampleBrief } from "./brief-cleanings.ts";
import { crewBrief, growerBrief, labBrief } from "./brief-people.ts";
import { carrierBrief, fieldBrief } from "./brief-fields.ts";
import { figureMarkdown } from "./figure.ts";
import { markdownText } from "../safe-text.ts";
import { givenIds } from "../written-ids.ts";

/** What an id names. `within`: for an entrance the field's id, for a dig or patch the visit's. */
export interface NamedThing {
  readonly kind: ReferredKind | "cleaning" | "sample";
  readonly id: string;
  readonly within?: string | undefined;
}

/** The record that an id names, in Markdown; undefined where the book has none. */
export function inBrief(thing: NamedThing, book: Book): string | undefined {
  const brief = briefOf(thing, book);
  if (!brief) return undefined;
  const lines = brief.lines
    .filter((line) => line !== undefined && line !== "")
    .map((line) => `- ${markdownText(line!)}`);
  const parts = [`**${markdownText(brief.title)}**`];
  if (lines.length > 0) parts.push(lines.join("\n"));
  if (brief.figure) parts.push("---", figureMarkdown(brief.figure));
  return parts.join("\n\n");
}

function briefOf({ kind, id, within = "" }: NamedThing, book: Book): Brief | undefined {
  switch (kind) {
    case "field":
      return fieldBrief(id, book);
    case "entrance":
      return entranceBrief(within, id, book);
    case "equipment":
    case "carrier":
      return carrierBrief(id, book);
    case "crew":
      return crewBrief(id, book);
    case "grower":
      return growerBrief(id, book);
    case "lab":
      return labBrief(id, book);
    case "visit":
      return visitBrief(id, book);
    case "dig":
      return digBrief(within, id, book);
    case "patch":
      return patchBrief(within, id, book);
    case "cleaning":
      return cleaningBrief(id, book);
    case "sample":
      return sampleBrief(id, book);
  }
}

/** What the id at a pointer gives its name to, where the pointer is that of an id: the record's own, or one of its parts. */
export function definedIdAt(record: FactRecord, pointer: Pointer): NamedThing | undefined {
  const given = givenIds(record).find((one) => samePointer(one.pointer, pointer));
  return given && { kind: given.kind, id: given.id, within: record.id };
}
