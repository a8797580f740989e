import type { Book } from "../../book/book.ts";
import { isKind, type FactRecord } from "../../records/record.ts";
import type { Pointer } from "../../syntax/tree-queries.ts";
import { figureMarkdown, type Figure } from "./figure.ts";
import { cleanDownFigure, contactFigure, strengthFigure } from "./figures-of-cleanings.ts";
import { entranceFigure, findFigure, noticeFigure, packagingFigure, sendingFigure } from "./figures-of-duties.ts";
import { breakFigure, goalFigure, regionFigure, windowFigure } from "./figures-of-seasons.ts";
import { acidityFigure } from "./figures-of-soil.ts";
import { sporesFigure } from "./figures-of-samples.ts";
import { digsFigure, severityFigure } from "./figures-of-severity.ts";
import { lookAlikes, plantsFigure, reEntryFigure, stageFigure } from "./figures-of-visits.ts";

/** How the figure at a pointer comes about, in Markdown: its formula with its numbers, and the sources. */
export function figureAt(record: FactRecord, pointer: Pointer, part: "key" | "value", book: Book): string | undefined {
  const figure = figureOf(record, pointer, part, book);
  return figure && figureMarkdown(figure);
}

function figureOf(record: FactRecord, pointer: Pointer, part: "key" | "value", book: Book): Figure | undefined {
  const [list, index, key] = pointer;
  if (isKind(record, "visits")) {
    if (list === "stage") return stageFigure(record.facts.stage, book);
    if (list === "re_entry_hours") return reEntryFigure(record.facts);
    if (list === "digs" && pointer.length === 1 && part === "key") return digsFigure(record.facts.digs ?? [], book);
    const dig = list === "digs" && typeof index === "number" ? record.facts.digs?.[index] : undefined;
    if (!dig) return undefined;
    if (key === "ratings") return severityFigure(dig, book);
    if (key === "plants") return plantsFigure(dig.plants, book);
    // A word's own meaning goes before what the region says of it.
    if ((key === "metres_in" || key === "place") && part === "key") return entranceFigure(book);
    return key === "look_alikes" ? lookAlikes(book) : undefined;
  }
  if (isKind(record, "cleanings") && list === "steps") {
    if (pointer.length === 1) return part === "key" ? cleanDownFigure(record.facts.steps ?? [], book) : undefined;
    const step = record.facts.steps?.[Number(index)];
    if (!step || pointer.length !== 3) return undefined;
    if (key === "contact_minutes") return contactFigure(step, book);
    const isStrength = key === "strength_percent" || key === "stock_percent" || key === "stock_l" || key === "water_l";
    return isStrength ? strengthFigure(step, book) : undefined;
  }
  if (isKind(record, "rotations") && list === "crops" && typeof index === "number") {
    if (key === "seeded" || key === "swathed") return windowFigure(record, index, book);
    return key === "crop" ? breakFigure(record, index, book) : undefined;
  }
  if (isKind(record, "samples") && pointer.length === 1) {
    if (list === "packed" && part === "key") return packagingFigure(record.facts, book);
    return list === "taken" ? sendingFigure(record.facts, book) : undefined;
  }
  if (isKind(record, "samples") && list === "result" && index === "spores_per_g") {
    return sporesFigure(record.facts.result?.spores_per_g, book);
  }
  if (isKind(record, "fields")) {
    if (list === "soil" && index === "ph") return acidityFigure(record.facts.soil?.ph, book);
    if (list === "clubroot" && index === "found_on") return findFigure(record.facts, book);
    return list === "notices" && pointer.length === 1 && part === "key" ? noticeFigure(book) : undefined;
  }
  if (isKind(record, "season") && list === "sampling") return goalFigure(book);
  return isKind(record, "region") ? regionFigure(record.facts, pointer) : undefined;
}
