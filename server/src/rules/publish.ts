import type { Range } from "../base/text.ts";
import { entryIndex } from "../book/book-index.ts";
import { byCodeUnits, type Book } from "../book/book.ts";
import type { OpenedBook } from "../book/open-book.ts";
import { fieldIdOfRecord } from "../book/references.ts";
import type { Finding, RecordName, RecordPlace } from "../records/finding.ts";
import { linesOf } from "../records/lines.ts";
import { rangeInEntry, rangeOfPlace } from "../records/places.ts";
import type { EntryBody, RecordEntry, RecordFile } from "../records/record-file.ts";
import type { FactRecord } from "../records/record.ts";
import { applyAccepts, hasAccepts, type FindingInEntry } from "./accepts.ts";
import { levelOf } from "./engine.ts";
import { placeName } from "./fingerprint.ts";
import type { PublishedFinding } from "./published-finding.ts";
import type { Rule } from "./rule.ts";

export { linesOf } from "../records/lines.ts";
export type { PublishedFinding, PublishedRelated } from "./published-finding.ts";

/** The findings of the rules on one file, by the record that each is placed on. */
export type FindingsOfFile = ReadonlyMap<FactRecord, readonly Finding[]>;

const NO_FINDINGS: FindingsOfFile = new Map();
const NONE: readonly Finding[] = [];

/** The findings of a whole book: what reading its files brought up and what the rules found, by file, place and code. */
export function publish(opened: OpenedBook, findings: readonly Finding[], rules: readonly Rule[]): PublishedFinding[] {
  const publisher = new Publisher(opened, rules);
  const byFile = new Map<string, Map<FactRecord, Finding[]>>();
  for (const finding of findings) {
    const { record } = finding.place;
    let ofFile = byFile.get(record.file);
    if (!ofFile) byFile.set(record.file, (ofFile = new Map()));
    const ofRecord = ofFile.get(record);
    if (ofRecord) ofRecord.push(finding);
    else ofFile.set(record, [finding]);
  }
  return opened.book.files.flatMap((file) => publisher.publishFile(file, byFile.get(file.path) ?? NO_FINDINGS));
}

/**
 * Turns places into ranges, one file at a time, and lets accept comments have their say. What is published again is the same
 * object as before for as long as it says the same, so that an edit costs what it moves.
 */
export class Publisher {
  readonly #book: Book;
  readonly #regionProblems: OpenedBook["regionProblems"];
  readonly #rules: ReadonlyMap<string, Rule>;
  readonly #placed = new Map<FactRecord, PlacedEntry>();
  readonly #published = new Map<string, readonly PublishedFinding[]>();

  constructor(opened: OpenedBook, rules: readonly Rule[]) {
    this.#book = opened.book;
    this.#regionProblems = opened.regionProblems;
    this.#rules = new Map(rules.map((rule) => [rule.code, rule]));
  }

  /** In order of place; the same list as the last time where nothing in it has changed. */
  publishFile(file: RecordFile, findings: FindingsOfFile): readonly PublishedFinding[] {
    const found: FindingInEntry[] = [];
    for (const finding of this.#problemsOfFile(file)) found.push({ finding, entry: -1 });
    file.entries.forEach((entry, i) => {
      const ofRecord = findings.get(entry.body.record) ?? NONE;
      const { problems, syntaxProblems } = entry.body;
      if (ofRecord.length + problems.length + syntaxProblems.length === 0) return;
      for (const finding of this.#placedEntry(file, i, ofRecord)) found.push({ finding, entry: i });
    });
    const kept = hasAccepts(file)
      ? applyAccepts(file, found, this.#book, this.#rules)
      : found.map(({ finding }) => finding);
    // Records come in order, and so do the findings of most: sorting is for what reaches over a record's ends.
    if (!isInOrder(kept)) kept.sort(byPlace);
    const before = this.#published.get(file.path);
    if (before?.length === kept.length && kept.every((finding, i) => finding === before[i])) return before;
    this.#published.set(file.path, kept);
    return kept;
  }

  /** The record is no longer in the book. */
  forget(record: FactRecord): void {
    this.#placed.delete(record);
  }

  forgetFile(path: string): void {
    this.#published.delete(path);
  }

  #problemsOfFile(file: RecordFile): PublishedFinding[] {
    const lines = file.problems.length > 0 ? linesOf(file) : undefined;
    const record: RecordName = { kind: file.kind, id: "" };
    const found = file.problems.flatMap(({ code, span, message, suggestion }) =>
      this.#problem(file, code, lines!.range(span), message, record, undefined, "", suggestion),
    );
    for (const { file: path, pointer, part, message, suggestion } of this.#regionProblems) {
      if (path !== file.path) continue;
      const { record: facts } = file.entries[0]?.body ?? {};
      const place = placeName(facts?.facts, pointer);
      const range = rangeOfPlace(file, 0, pointer, part);
      found.push(...this.#problem(file, "structure/schema", range, message, record, facts, place, suggestion));
    }
    return found;
  }

  #placedEntry(file: RecordFile, index: number, findings: readonly Finding[]): readonly PublishedFinding[] {
    const entry = file.entries[index]!;
    const { record } = entry.body;
    const before = this.#placed.get(record);
    if (before?.findings === findings && isAsBefore(before.self, file, entry) && this.#areAsBefore(before.related))
      return before.published;
    const published = [
      ...this.#problemsOfEntry(file, entry, index),
      ...findings.map((finding) => this.#placeFinding(file, index, finding)),
    ].sort(byPlace);
    const related = findings.flatMap((finding) =>
      finding.related.flatMap(({ place }) => this.#landmark(place, record)),
    );
    this.#placed.set(record, { findings, self: landmark(file, record, entry), related, published });
    return published;
  }

  #landmark({ record }: RecordPlace, own: FactRecord): Landmark[] {
    if (record === own) return [];
    const file = this.#book.file(record.file);
    return [landmark(file, record, file?.entries[entryIndex(file, record)])];
  }

  #areAsBefore(landmarks: readonly Landmark[]): boolean {
    return landmarks.every((mark) => {
      const file = this.#book.file(mark.record.file);
      return isAsBefore(mark, file, file?.entries[entryIndex(file, mark.record)]);
    });
  }

  #problemsOfEntry(file: RecordFile, entry: RecordEntry, index: number): PublishedFinding[] {
    const { record, syntaxProblems, problems } = entry.body;
    const name: RecordName = { kind: file.kind, id: record.id };
    return [
      ...syntaxProblems.flatMap(({ span, message }) =>
        this.#problem(file, "structure/syntax", rangeInEntry(file, entry, span), message, name, record, ""),
      ),
      ...problems.flatMap(({ code, pointer, part, message, suggestion }) => {
        const range = rangeOfPlace(file, index, pointer, part);
        return this.#problem(file, code, range, message, name, record, placeName(record.facts, pointer), suggestion);
      }),
    ];
  }

  /** Something that reading brought up; none where the book has turned its check off. */
  #problem(
    file: RecordFile,
    code: string,
    range: Range,
    message: string,
    record: RecordName,
    facts: FactRecord | undefined,
    place: string,
    replacement?: string,
  ): PublishedFinding[] {
    const rule = this.#rules.get(code);
    const level = rule ? levelOf(rule, this.#book) : "error";
    if (level === "off") return [];
    const suggestion = replacement === undefined ? {} : { suggestion: { replacement } };
    return [
      { code, level, file: file.path, range, message, record, place, related: [], ...fieldOf(facts), ...suggestion },
    ];
  }

  #placeFinding(file: RecordFile, index: number, finding: Finding): PublishedFinding {
    const { code, level, message, suggestion } = finding;
    const { record: facts, pointer, part } = finding.place;
    return {
      code,
      level,
      file: file.path,
      range: rangeOfPlace(file, index, pointer, part),
      message,
      record: { kind: facts.kind, id: facts.id },
      place: placeName(facts.facts, pointer),
      related: finding.related.map((one) => ({ ...this.#locate(one.place), message: one.message })),
      ...fieldOf(facts),
      ...(suggestion && { suggestion }),
    };
  }

  #locate({ record, pointer, part }: RecordPlace): { file: string; range: Range } {
    const file = this.#book.file(record.file);
    if (!file) return { file: record.file, range: NOWHERE };
    return { file: file.path, range: rangeOfPlace(file, entryIndex(file, record), pointer, part) };
  }
}

/** The findings of one record as they were last published, and the records that their ranges rest on. */
interface PlacedEntry {
  readonly findings: readonly Finding[];
  readonly self: Landmark;
  readonly related: readonly Landmark[];
  readonly published: readonly PublishedFinding[];
}

/** Where a record stood, and with which text. */
interface Landmark {
  readonly record: FactRecord;
  readonly body: EntryBody | undefined;
  readonly line: number | undefined;
  /** Of a file that is not cut into records any edit may have moved any of them; null for one that is. */
  readonly whole: RecordFile | undefined | null;
}

function landmark(file: RecordFile | undefined, record: FactRecord, entry: RecordEntry | undefined): Landmark {
  return { record, body: entry?.body, line: entry?.span.line, whole: file?.isSliced ? null : file };
}

function isAsBefore(mark: Landmark, file: RecordFile | undefined, entry: RecordEntry | undefined): boolean {
  if (mark.whole !== null) return mark.whole === file;
  return file?.isSliced === true && entry?.body === mark.body && entry?.span.line === mark.line;
}

const NOWHERE: Range = { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };

function fieldOf(record: FactRecord | undefined): { field?: string } {
  const field = record && fieldIdOfRecord(record);
  return field ? { field } : {};
}

function isInOrder(findings: readonly PublishedFinding[]): boolean {
  for (let i = 1; i < findings.length; i++) if (byPlace(findings[i - 1]!, findings[i]!) > 0) return false;
  return true;
}

function byPlace(a: PublishedFinding, b: PublishedFinding): number {
  return (
    a.range.start.line - b.range.start.line ||
    a.range.start.character - b.range.start.character ||
    a.range.end.line - b.range.end.line ||
    a.range.end.character - b.range.end.character ||
    byCodeUnits(a.code, b.code) ||
    byCodeUnits(a.message, b.message)
  );
}
