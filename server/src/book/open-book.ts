import { readRecordFile, type FileProblem, type RecordFile } from "../records/record-file.ts";
import { isKind, type FactRecord } from "../records/record.ts";
import type { RegionPack, SeasonRecord } from "../schema/facts.ts";
import { fileKind } from "../schema/kinds.ts";
import { resolveRegion, type RegionProblem } from "../schema/region.ts";
import { readWeatherFile } from "../records/weather-file.ts";
import { Book, byCodeUnits, type BookOptions } from "./book.ts";

/** A file of a book as the host found it. Paths are from the book's root, with forward slashes. */
export interface SourceFile {
  readonly path: string;
  readonly text: string;
  /** Why the file could not be read, or not wholly, in words for its keeper. */
  readonly trouble?: {
    readonly message: string;
    /** Offset in the text. */
    readonly at: number;
    /** The file is not there any more. */
    readonly isGone?: boolean;
  };
}

/** A book with what was wrong with its region pack. */
export interface OpenedBook {
  readonly book: Book;
  readonly regionProblems: readonly RegionProblem[];
}

/** Reads every file of a book. Files whose names are none of the format's are passed over. */
export function openBook(
  sources: readonly SourceFile[],
  options: BookOptions,
  previous?: ReadonlyMap<string, RecordFile>,
): OpenedBook {
  const files: RecordFile[] = [];
  for (const source of sources) {
    const file = readSourceFile(source, previous?.get(source.path));
    if (file) files.push(file);
  }
  return bookOf(files, options);
}

export function readSourceFile(source: SourceFile, previous?: RecordFile): RecordFile | undefined {
  const kind = fileKind(source.path);
  if (!kind) return undefined;
  const file =
    kind === "weather"
      ? readWeatherFile(source.path, source.text)
      : readRecordFile(source.path, kind, source.text, previous);
  if (!source.trouble) return file;
  const { message, at } = source.trouble;
  const problem: FileProblem = { code: "structure/syntax", span: { start: at, end: at + 1 }, message };
  return { ...file, problems: [problem, ...file.problems] };
}

/** Puts files that were read into one book, in the order of their paths, with the region they ask for. */
export function bookOf(files: readonly RecordFile[], options: BookOptions): OpenedBook {
  const sorted = [...files].sort((a, b) => byCodeUnits(a.path, b.path));
  const season = seasonOf(sorted);
  const texts = new Map(sorted.filter((file) => file.kind === "region").map((file) => [file.path, file.text]));
  const { pack, problems } =
    season.region === undefined
      ? { pack: withoutRegion(), problems: [] }
      : resolveRegion(season.region, (path) => texts.get(path));
  return { book: new Book(sorted, season, pack, options), regionProblems: problems };
}

function withoutRegion(): RegionPack {
  return resolveRegion("base", () => undefined).pack;
}

function seasonOf(files: readonly RecordFile[]): SeasonRecord {
  const file = files.find((candidate) => candidate.kind === "season");
  const record: FactRecord | undefined = file?.entries[0]?.body.record;
  return record && isKind(record, "season") ? record.facts : {};
}
