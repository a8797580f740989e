import { LineIndex } from "../base/line-index.ts";
import { formatDay, formatMinute } from "../base/days.ts";
import type { Span } from "../base/text.ts";
import type { Book } from "../book/book.ts";
import { carrierDoes } from "../book/exposure-words.ts";
import { traceSoil } from "../book/trace.ts";
import type { FilePlace } from "../features/context.ts";
import { filePlaceOf } from "../features/places.ts";
import { oneLine } from "../features/safe-text.ts";
import { NO_COLOURS } from "../output/colours.ts";
import { printable } from "../output/printable.ts";
import { traceText } from "../output/trace-text.ts";

/** Where a field's soil may have come from and gone to, to be read in the editor. */
export interface SoilStory {
  readonly title: string;
  readonly text: string;
  /** Stretches of the text that speak of a visit, and where its record stands. */
  readonly links: readonly { readonly span: Span; readonly place: FilePlace }[];
}

export function soilStory(book: Book, field: string): SoilStory {
  const place = { field };
  const answer = traceSoil(book, { place, from: undefined, direction: "both", assumed: [] });
  const asOf = formatDay(book.asOf);
  const name = oneLine(book.fieldName(field));
  const story = traceText({ book, answer, place, from: undefined, assumed: new Set(), asOf }, NO_COLOURS);
  const text = `Soil movement of ${name} (${oneLine(field)}), as of ${asOf}\n\n${story}`;
  return { title: `Soil movement of ${name}`, text, links: linksIn(text, book) };
}

/** The story tells of a visit in a line of its own, with its minute: that line leads back to the visit. */
function linksIn(text: string, book: Book): SoilStory["links"] {
  const visits = visitsByLine(book);
  const lines = new LineIndex(text);
  const links: { span: Span; place: FilePlace }[] = [];
  for (let line = 0; line < lines.lineCount; line++) {
    const start = lines.lineStart(line);
    const words = text.slice(start, lines.lineStart(line + 1)).trimEnd();
    const indent = words.length - words.trimStart().length;
    const place = visits.get(words.trimStart());
    if (place) links.push({ span: { start: start + indent, end: start + words.length }, place });
  }
  return links;
}

/** Every line by which a story could tell of a carrier that arrives on a field or leaves it. */
function visitsByLine(book: Book): ReadonlyMap<string, FilePlace> {
  const places = new Map<string, FilePlace>();
  for (const id of book.carrierIds()) {
    for (const { visit, field, arrived, left } of book.carrierHistory(id).stays) {
      const name = book.fieldName(field);
      const leaving = visit.facts.left === undefined ? "arrived" : "left";
      for (const [minute, verb, key] of [
        [arrived, "arrive on", "arrived"],
        [left, "leave", leaving],
      ] as const) {
        const place = filePlaceOf(book, { record: visit, pointer: [key], part: "value" });
        const time = formatMinute(minute).replace("T", " ");
        if (place) places.set(`${time}  ${printable(`${carrierDoes(id, verb)} ${name}`)}`, place);
      }
    }
  }
  return places;
}
