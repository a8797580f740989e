import { applyEdits } from "../base/text.ts";
import type { Book } from "../book/book.ts";
import type { FieldWork, Stop } from "../planning/field-work.ts";
import { figure, plural } from "../base/words.ts";
import type { BookEdit } from "./context.ts";
import { newVisitEdit, type NewVisitEdit } from "./new-visit.ts";
import { oneLine } from "./safe-text.ts";

/** A visit that is to be made, its record as far as it is known. */
export interface PlannedVisit {
  readonly field: string;
  /** Minutes since 1970-01-01T00:00 of the book's local clock. */
  readonly arrived: number;
  readonly crew: readonly string[] | undefined;
  /** What is left to do on the field; left out, only the record's head is written. */
  readonly work: FieldWork | undefined;
}

/**
 * The record of a visit with what is known filled in, and what is still to be filled in below it as comments: they take nothing
 * for done that is not, and the record stands as it is meanwhile.
 *
 * @returns undefined where the visits are written in so unusual a way that nothing can be added.
 */
export function plannedVisitEdit(book: Book, { field, arrived, crew, work }: PlannedVisit): NewVisitEdit | undefined {
  const visit = newVisitEdit(book, field, arrived, undefined, crew);
  const edits = visit?.edit.get(visit.path);
  const [first, ...rest] = edits ?? [];
  if (!visit || !first) return undefined;
  const lines = linesToFillIn(work);
  const newText = withLinesBelow(first.newText, lines);
  const edit: BookEdit = new Map([[visit.path, [{ ...first, newText }, ...rest]]]);
  const before = book.file(visit.path)?.text ?? "";
  const end = visit.span.end + newText.trimEnd().length - first.newText.trimEnd().length;
  return { ...visit, edit, text: applyEdits(before, edit.get(visit.path)!), span: { start: visit.span.start, end } };
}

/** Comments at the record's own indentation, so that they stay with it. */
function withLinesBelow(newText: string, lines: readonly string[]): string {
  const dash = /(^|\n)( *)- (?=id:)/.exec(newText);
  if (!dash) return newText;
  const margin = `${dash[2]!}  `;
  const lineEnding = newText.includes("\r\n") ? "\r\n" : "\n";
  const body = newText.trimEnd();
  return body + lines.map((line) => `${lineEnding}${margin}# ${line}`).join("") + newText.slice(body.length);
}

function linesToFillIn(work: FieldWork | undefined): string[] {
  const lines = [
    "still to fill in:",
    "left: YYYY-MM-DDTHH:MM",
    "footwear: disposable | disinfected | unprotected",
    "ground: dry | moist | wet",
  ];
  if (!work) return lines;
  const toDig = `digs: # ${plural(work.plants, "plant")} to dig; ratings are plants rated 0, 1, 2, 3, and add up to the plants`;
  return [...lines, toDig, ...work.stops.map((stop) => `  - ${digText(stop)}`)];
}

function digText({ number, place, plants, patch, position, entrance }: Stop): string {
  const parts = [`id: d${number}`, `place: ${place}`];
  if (patch !== undefined) parts.push(`patch: "${patch}"`);
  // How far in the digging began is seen there; the gate's own place would say that it was at the gate.
  if (place === "entrance") parts.push("metres_in: ");
  parts.push(`plants: ${plants}`, "ratings: [ , , , ]");
  if (position && place !== "entrance") parts.push(`position: [${position.map((part) => figure(part, 5)).join(", ")}]`);
  const name = entrance?.name ?? entrance?.id;
  const where = place === "entrance" && name ? ` # at ${oneLine(name)}` : "";
  return `{ ${parts.join(", ")} }${where}`;
}
