import { LineIndex } from "../base/line-index.ts";
import type { Range, Span } from "../base/text.ts";
import type { ChangeReport } from "./change-report.ts";
import { acceptRow, fieldHead, findingHead, nowRow, placeInWords } from "./change-text.ts";
import { NO_COLOURS } from "./colours.ts";

/** A stretch of the text that names a place in the files as they are now. */
export interface ToldPlace {
  readonly span: Span;
  /** From the folder that the report tells of. */
  readonly file: string;
  readonly range: Range;
}

interface NamedPlace extends Omit<ToldPlace, "span"> {
  /** How the row names it. */
  readonly words: string;
}

/** Begins what is told of the files as they were, whose places are gone. */
const OF_BEFORE = "Gone: ";

/**
 * Which stretches of a report's text lead to a place in the files: rows are found by their whole text, so that nothing that a
 * record says is taken for one.
 *
 * @param text as `changeText` writes it without colours
 */
export function changeTextPlaces(text: string, report: ChangeReport): ToldPlace[] {
  const rows = rowsWithPlaces(report);
  const lines = new LineIndex(text);
  const places: ToldPlace[] = [];
  for (let line = 0; line < lines.lineCount; line++) {
    const start = lines.lineStart(line);
    const row = text.slice(start, lines.lineStart(line + 1)).replace(/\n$/, "");
    // Rows of a part are indented, its title is not.
    if (row.startsWith(OF_BEFORE)) break;
    const named = rows.get(row);
    if (!named) continue;
    const { words, file, range } = named;
    const at = start + (row.startsWith(`  ${words} `) ? 2 : row.length - words.length);
    places.push({ span: { start: at, end: at + words.length }, file, range });
  }
  return places;
}

function rowsWithPlaces({ fields, accepts, gained }: ChangeReport): ReadonlyMap<string, NamedPlace> {
  const rows = new Map<string, NamedPlace>();
  for (const field of fields) {
    const { after, place } = field;
    if (!after) continue;
    rows.set(fieldHead(field, NO_COLOURS), lineOf(place));
    if (after.cause) rows.set(nowRow(after, NO_COLOURS), lineOf(after.cause));
  }
  for (const accept of accepts) rows.set(acceptRow(accept, NO_COLOURS), lineOf(accept));
  for (const finding of gained) {
    const { file, range } = finding;
    rows.set(findingHead(finding, NO_COLOURS), { words: placeInWords({ file, ...range.start }), file, range });
  }
  return rows;
}

function lineOf({ file, line }: { readonly file: string; readonly line: number }): NamedPlace {
  const start = { line, character: 0 };
  return { words: placeInWords({ file, line }), file, range: { start, end: start } };
}
