import type { Range } from "../base/text.ts";
import { entryIndex } from "../book/book-index.ts";
import type { Book } from "../book/book.ts";
import type { OpenedBook } from "../book/open-book.ts";
import { fieldIdOfRecord } from "../book/references.ts";
import type { Finding, RecordName, RecordPlace } from "../records/finding.ts";
import { linesOf } from "../records/lines.ts";
import { rangeInEntry, rangeOfPlace } from "../records/places.ts";
import type { RecordEntry, RecordFile } from "../records/record-file.ts";
import type { FactRecord } from "../records/record.ts";
import { applyAccepts, hasAccepts, type FindingInEntry } from "./accepts.ts";
import { levelOf } from "./engine.ts";
import { placeName } from "./fingerprint.ts";
import { byPlaceAndRelated, inOrderOfPlace } from "./finding-order.ts";
import { futureWeather } from "./future-weather.ts";
import type { PublishedFinding } from "./published-finding.ts";
import { withRegionRules } from "./region-rules.ts";
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
  readonly #files = new Map<string, PublishedFile>();
  /** Since the last round of publishing: records that stand elsewhere or read otherwise, and those with other findings. */
  readonly #moved = new Set<FactRecord>();
  readonly #touched = new Set<FactRecord>();

  constructor(opened: OpenedBook, rules: readonly Rule[]) {
    this.#book = opened.book;
    this.#regionProblems = opened.regionProblems;
    this.#rules = new Map(withRegionRules(rules, opened.book).map((rule) => [rule.code, rule]));
  }

  fileChanged(before: RecordFile | undefined, after: RecordFile | undefined): void {
    const { front, back } = sameEnds(before, after);
    for (const entries of [before?.entries ?? [], after?.entries ?? []])
      for (let i = front; i < entries.length - back; i++) this.#moved.add(entries[i]!.body.record);
  }

  findingsChanged(record: FactRecord): void {
    this.#touched.add(record);
  }

  /** Every file with findings whose related places may lie in one of these. */
  filesRestingOn(paths: ReadonlySet<string>): string[] {
    return [...this.#files].filter(([, { restsOn }]) => restsOn.some((path) => paths.has(path))).map(([path]) => path);
  }

  /** Every file that has to be was published; what changes from now on belongs to the next round. */
  endRound(): void {
    this.#moved.clear();
    this.#touched.clear();
  }

  /** In order of place; the same list as the last time where nothing in it has changed. */
  publishFile(file: RecordFile, findings: FindingsOfFile): readonly PublishedFinding[] {
    const before = this.#files.get(file.path);
    const { front, back } = sameEnds(before?.file, file);
    const behind = (before?.parts.length ?? 0) - file.entries.length;
    const restsOn = new Set(before?.restsOn);
    let isSame = before?.parts.length === file.entries.length;
    const parts = file.entries.map((entry, i) => {
      const isKept = i < front || i >= file.entries.length - back;
      const known = isKept ? before?.parts[i < front ? i : i + behind] : undefined;
      if (isKept && !this.#isStale(entry.body.record, known)) return known;
      const part = this.#placedPart(file, i, findings.get(entry.body.record) ?? NONE);
      isSame &&= before?.parts[i] === part;
      for (const { file: path } of part?.related ?? []) if (path !== file.path) restsOn.add(path);
      return part;
    });
    const problems = this.#problemsOfFile(file);
    const isPlain = problems.length === 0 && !hasAccepts(file);
    if (before?.isPlain && isPlain && isSame) {
      this.#files.set(file.path, { ...before, file });
      return before.published;
    }
    let published = this.#inOrder(file, problems, parts);
    if (before && isSameList(before.published, published)) published = before.published;
    this.#files.set(file.path, { file, parts, isPlain, restsOn: [...restsOn], published });
    return published;
  }

  forgetFile(path: string): void {
    this.#files.delete(path);
  }

  #isStale(record: FactRecord, part: PublishedPart | undefined): boolean {
    return this.#touched.has(record) || (part?.related.some((other) => this.#moved.has(other)) ?? false);
  }

  #inOrder(
    file: RecordFile,
    problems: readonly PublishedFinding[],
    parts: readonly (PublishedPart | undefined)[],
  ): readonly PublishedFinding[] {
    let all = [...problems];
    if (hasAccepts(file)) {
      const found: FindingInEntry[] = problems.map((finding) => ({ finding, entry: -1 }));
      parts.forEach((part, entry) => {
        for (const finding of part?.findings ?? []) found.push({ finding, entry });
      });
      all = applyAccepts(file, found, this.#book, this.#rules);
    } else for (const part of parts) if (part) all.push(...part.findings);
    return inOrderOfPlace(all);
  }

  #problemsOfFile(file: RecordFile): PublishedFinding[] {
    const future = file.kind === "weather" ? futureWeather(file, this.#book) : [];
    const problems = [...file.problems, ...future];
    const lines = problems.length > 0 ? linesOf(file) : undefined;
    const record: RecordName = { kind: file.kind, id: "" };
    const found = problems.flatMap(({ code, span, message, suggestion }) =>
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

  #placedPart(file: RecordFile, index: number, findings: readonly Finding[]): PublishedPart | undefined {
    const entry = file.entries[index]!;
    const { record, problems, syntaxProblems } = entry.body;
    if (findings.length + problems.length + syntaxProblems.length === 0) return undefined;
    const published = [
      ...this.#problemsOfEntry(file, entry, index),
      ...this.#toldOnce(file, findings).map((finding) => this.#placeFinding(file, index, finding)),
    ].sort(byPlaceAndRelated);
    const related = findings.flatMap((finding) => finding.related.map(({ place }) => place.record));
    return { findings: published, related: related.filter((other) => other !== record) };
  }

  /**
   * A check of the region that cannot be made is told by every record at which that shows: in the pack it is told once, with
   * the first of them.
   */
  #toldOnce({ kind }: RecordFile, findings: readonly Finding[]): readonly Finding[] {
    if (kind !== "region" && kind !== "season") return findings;
    const told = new Map<string, Finding>();
    for (const finding of findings) {
      const { code, message, place } = finding;
      const name = JSON.stringify([code, message, place.pointer, place.part]);
      const before = told.get(name);
      if (!before || this.#firstRelated(finding, before)) told.set(name, finding);
    }
    return [...told.values()];
  }

  #firstRelated(finding: Finding, before: Finding): boolean {
    const [a, b] = [finding.related[0]?.place.record, before.related[0]?.place.record];
    return a !== undefined && b !== undefined && this.#book.writtenBefore(a, b) < 0;
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

interface PublishedFile {
  readonly file: RecordFile;
  /** One for each of its records; undefined where nothing is found. */
  readonly parts: readonly (PublishedPart | undefined)[];
  /** Nothing but its records' findings is published: no problems of the file as a whole, and no accept comments. */
  readonly isPlain: boolean;
  /** Other files that related places lie in, or did. */
  readonly restsOn: readonly string[];
  readonly published: readonly PublishedFinding[];
}

/** The findings of one record, and the other records that their related places lie in. */
interface PublishedPart {
  readonly findings: readonly PublishedFinding[];
  readonly related: readonly FactRecord[];
}

/** How many records two versions of a file have in common at either end, with the same text on the same lines. */
function sameEnds(
  before: RecordFile | undefined,
  after: RecordFile | undefined,
): { readonly front: number; readonly back: number } {
  const [old, fresh] = [before?.entries ?? [], after?.entries ?? []];
  if (before === after) return { front: old.length, back: 0 };
  const most = before?.isSliced && after?.isSliced ? Math.min(old.length, fresh.length) : 0;
  const isSame = (a: RecordEntry, b: RecordEntry): boolean => a.body === b.body && a.span.line === b.span.line;
  let front = 0;
  while (front < most && isSame(old[front]!, fresh[front]!)) front++;
  let back = 0;
  while (back < most - front && isSame(old[old.length - 1 - back]!, fresh[fresh.length - 1 - back]!)) back++;
  return { front, back };
}

function isSameList(a: readonly PublishedFinding[], b: readonly PublishedFinding[]): boolean {
  return a.length === b.length && a.every((finding, i) => finding === b[i]);
}

const NOWHERE: Range = { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };

function fieldOf(record: FactRecord | undefined): { field?: string } {
  const field = record && fieldIdOfRecord(record);
  return field ? { field } : {};
}
