import type { Span } from "../base/text.ts";
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

/**
 * The path from the book's root that a path written in a file of `folder` (empty, or ending in a slash) means; undefined
 * where it leads out of the book, or is none that every system understands the same way.
 */
export function pathInBook(folder: string, asked: string): string | undefined {
  // A drive, a scheme, a home folder, control characters: nothing that a file of a book is named by.
  // eslint-disable-next-line no-control-regex
  if (asked === "" || /^[/~]|[\\:\u0000-\u001f]/.test(asked)) return undefined;
  const steps = folder.split("/").filter((step) => step !== "");
  for (const step of asked.split("/")) {
    if (step === "" || step === ".") continue;
    if (step !== "..") steps.push(step);
    else if (steps.pop() === undefined) return undefined;
  }
  return steps.length > 0 ? steps.join("/") : undefined;
}
