import { readRecordFile, type FileProblem, type RecordFile } from "../records/record-file.ts";
import { isKind, type FactRecord } from "../records/record.ts";
import type { SeasonRecord } from "../schema/facts.ts";
import { fileKind } from "../schema/kinds.ts";
import type { RecordFormats } from "../schema/record-format.ts";
import { resolveRegion, type RegionProblem, type ResolvedRegion } from "../schema/region.ts";
import { readWeatherFile } from "../records/weather-file.ts";
import { byCodeUnits } from "../base/code-units.ts";
import { Book, type BookOptions } from "./book.ts";
import { newerFormat, unreadFile, type NewerFormat } from "./newer-format.ts";

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
  /** The book is written in a format that this program does not know, and nothing in it was looked at. */
  readonly newerFormat?: NewerFormat;
}

/** Reads every file of a book. Files whose names are none of the format's are passed over. */
export function openBook(
  sources: readonly SourceFile[],
  options: BookOptions,
  previous?: ReadonlyMap<string, RecordFile>,
): OpenedBook {
  // The season says which region holds, and the region which keys its records may have.
  const asksForRegion = sources.filter(({ path }) => ["season", "region"].includes(fileKind(path) ?? ""));
  const settings = readAll(asksForRegion, previous);
  const resolved = regionOf(settings);
  const others = sources.filter((source) => !asksForRegion.includes(source));
  return assemble([...settings, ...readAll(others, previous, resolved.formats)], resolved, options);
}

function readAll(
  sources: readonly SourceFile[],
  previous?: ReadonlyMap<string, RecordFile>,
  formats?: RecordFormats,
): RecordFile[] {
  return sources.flatMap((source) => readSourceFile(source, previous?.get(source.path), formats) ?? []);
}

/** @param formats what the records of the book may hold; without them, as the kinds are shipped */
export function readSourceFile(
  source: SourceFile,
  previous?: RecordFile,
  formats?: RecordFormats,
): RecordFile | undefined {
  const kind = fileKind(source.path);
  if (!kind) return undefined;
  const file =
    kind === "weather"
      ? readWeatherFile(source.path, source.text)
      : readRecordFile(source.path, kind, source.text, previous, formats);
  if (!source.trouble) return file;
  const { message, at } = source.trouble;
  const trouble: FileProblem = { code: "structure/syntax", span: { start: at, end: at + 1 }, message };
  return withTrouble(file, trouble);
}

/** The file as another region's keys make it, or from before it was set aside. */
function readAgain(file: RecordFile, formats?: RecordFormats): RecordFile {
  const again =
    file.kind === "weather"
      ? readWeatherFile(file.path, file.text)
      : readRecordFile(file.path, file.kind, file.text, file, formats);
  return file.trouble ? withTrouble(again, file.trouble) : again;
}

/** Of a file that could not be read at all nothing else is told: it is not known to be empty. */
function withTrouble(file: RecordFile, trouble: FileProblem): RecordFile {
  const isUnread = file.text === "";
  const entries = isUnread
    ? file.entries.map((entry) => ({ ...entry, body: { ...entry.body, problems: [] } }))
    : file.entries;
  return { ...file, entries, trouble, problems: isUnread ? [trouble] : [trouble, ...file.problems] };
}

/** Puts files that were read into one book, in the order of their paths, with the region they ask for. */
export function bookOf(read: readonly RecordFile[], options: BookOptions): OpenedBook {
  const files = read.map((file) => (file.isUnread ? readAgain(file) : file));
  const resolved = regionOf(files);
  const { formats } = resolved;
  const ofRegion = files.map((file) =>
    file.format && file.format !== formats[file.format.kind] ? readAgain(file, formats) : file,
  );
  return assemble(ofRegion, resolved, options);
}

function assemble(files: readonly RecordFile[], region: ResolvedRegion, options: BookOptions): OpenedBook {
  const sorted = [...files].sort((a, b) => byCodeUnits(a.path, b.path));
  const newer = newerFormat(sorted.find(({ kind }) => kind === "season"));
  if (newer) {
    const unread = sorted.map((file) => unreadFile(file, newer));
    return { book: new Book(unread, {}, region, options), regionProblems: [], newerFormat: newer };
  }
  const regionProblems = [...region.problems, ...problemsOfOtherPacks(sorted, region)];
  return { book: new Book(sorted, seasonOf(sorted), region, options), regionProblems };
}

/** What is wrong with the packs of the book that its region does not rest on. */
function problemsOfOtherPacks(files: readonly RecordFile[], { chain }: ResolvedRegion): RegionProblem[] {
  const packs = new Map(files.filter(({ kind }) => kind === "region").map((file) => [file.path, file.text]));
  const looked = new Set(chain.map(({ name }) => name));
  const found: RegionProblem[] = [];
  for (const path of packs.keys()) {
    if (looked.has(path)) continue;
    const other = resolveRegion(path, (name) => packs.get(name));
    found.push(...other.problems.filter(({ file }) => file !== "season.yaml" && !looked.has(file)));
    for (const { name } of other.chain) looked.add(name);
  }
  return found;
}

/** The region that the files of a book ask for. */
function regionOf(files: readonly RecordFile[]): ResolvedRegion {
  const texts = new Map(files.filter((file) => file.kind === "region").map((file) => [file.path, file.text]));
  return resolveRegion(seasonOf(files).region ?? "base", (path) => texts.get(path));
}

function seasonOf(files: readonly RecordFile[]): SeasonRecord {
  const file = files.find((candidate) => candidate.kind === "season");
  const record: FactRecord | undefined = file?.entries[0]?.body.record;
  return record && isKind(record, "season") ? record.facts : {};
}
