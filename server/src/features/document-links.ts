import type { Span } from "../base/text.ts";
import { pathInBook } from "../book/path-in-book.ts";
import { isKind, type FactRecord } from "../records/record.ts";
import { spanOfPlace } from "../records/places.ts";
import type { Pointer } from "../records/finding.ts";
import type { FeatureContext } from "./context.ts";
import { fileOf } from "./places.ts";

export interface DocumentLink {
  /** The value that names the file, in the text. */
  readonly span: Span;
  /** The file's path from the book's root, always within the book. */
  readonly path: string;
}

/**
 * The files that a file of the book names: the outline of a field (`*.geojson`, from the folder of the file that names it) and region
 * packs of the book itself. What would lead out of the book is no link.
 */
export function documentLinks(context: FeatureContext): DocumentLink[] {
  const { file, book } = context;
  const folder = file.path.slice(0, file.path.lastIndexOf("/") + 1);
  return file.entries.flatMap((entry, index) =>
    namedFiles(entry.body.record).flatMap(({ asked, pointer }) => {
      const path = pathInBook(folder, asked);
      if (path === undefined || !(path.endsWith(".geojson") || fileOf(book, path))) return [];
      return { span: spanOfPlace(file, index, pointer, "value"), path };
    }),
  );
}

function namedFiles(record: FactRecord): { asked: string; pointer: Pointer }[] {
  const named: { asked: string; pointer: Pointer }[] = [];
  if (isKind(record, "fields")) {
    const { boundary } = record.facts;
    if (typeof boundary === "string" && boundary.endsWith(".geojson"))
      named.push({ asked: boundary, pointer: ["boundary"] });
  } else {
    const key = record.kind === "season" ? "region" : record.kind === "region" ? "extends" : undefined;
    const asked = key && (record.facts as Readonly<Record<string, unknown>>)[key];
    if (key && typeof asked === "string" && asked.endsWith(".region.yaml")) named.push({ asked, pointer: [key] });
  }
  return named;
}
