import { LineIndex } from "../base/line-index.ts";
import type { Range, Span } from "../base/text.ts";
import { entryIndex } from "../book/book-index.ts";
import { byCodeUnits, type Book } from "../book/book.ts";
import type { OpenedBook } from "../book/open-book.ts";
import { fieldIdOfRecord } from "../book/references.ts";
import type { AcceptComment } from "../records/accept-comments.ts";
import type { Finding, Level, RecordName, RecordPlace, Suggestion } from "../records/finding.ts";
import { entryTree, type RecordFile } from "../records/record-file.ts";
import { spanOfPlace } from "../records/places.ts";
import type { FactRecord } from "../records/record.ts";
import { levelOf } from "./engine.ts";
import { placeName } from "./fingerprint.ts";
import type { Rule } from "./rule.ts";

/** A finding as every output shows it: with its range in its file's text. */
export interface PublishedFinding {
  readonly code: string;
  readonly level: Level;
  /** From the book's root, with forward slashes. */
  readonly file: string;
  readonly range: Range;
  readonly message: string;
  readonly record: RecordName;
  /** The place in the record by names, as in `digs/d1/ratings`: it stays when lines move. Empty for the record as a whole. */
  readonly place: string;
  readonly related: readonly PublishedRelated[];
  /** The id of the field that the record belongs to, where it has one. */
  readonly field?: string;
  readonly suggestion?: Suggestion;
}

export interface PublishedRelated {
  readonly file: string;
  readonly range: Range;
  readonly message: string;
}

/** The findings of a whole book: what reading its files brought up and what the rules found, by file, place and code. */
export function publish(opened: OpenedBook, findings: readonly Finding[], rules: readonly Rule[]): PublishedFinding[] {
  const publisher = new Publisher(opened, rules);
  const byFile = new Map<string, Finding[]>();
  for (const finding of findings) {
    const { file } = finding.place.record;
    const list = byFile.get(file);
    if (list) list.push(finding);
    else byFile.set(file, [finding]);
  }
  return opened.book.files.flatMap((file) => publisher.publishFile(file, byFile.get(file.path) ?? []));
}

/** Turns places into ranges, one file at a time, and lets accept comments have their say. */
export class Publisher {
  readonly #book: Book;
  readonly #regionProblems: OpenedBook["regionProblems"];
  readonly #rules: ReadonlyMap<string, Rule>;
  readonly #files: ReadonlyMap<string, RecordFile>;

  constructor(opened: OpenedBook, rules: readonly Rule[]) {
    this.#book = opened.book;
    this.#regionProblems = opened.regionProblems;
    this.#rules = new Map(rules.map((rule) => [rule.code, rule]));
    this.#files = new Map(opened.book.files.map((file) => [file.path, file]));
  }

  publishFile(file: RecordFile, findings: readonly Finding[]): PublishedFinding[] {
    const lines = linesOf(file);
    const published: Placed[] = [];
    const add = (
      code: string,
      span: Span,
      message: string,
      record: RecordName,
      entry: number,
      replacement?: string,
      place = "",
    ): void => {
      const rule = this.#rules.get(code);
      const level = rule ? levelOf(rule, this.#book) : "error";
      if (level === "off") return;
      const suggestion = replacement === undefined ? {} : { suggestion: { replacement } };
      const field = fieldOf(file.entries[entry]?.body.record);
      published.push({
        finding: {
          code,
          level,
          file: file.path,
          range: lines.range(span),
          message,
          record,
          place,
          related: [],
          ...field,
          ...suggestion,
        },
        entry,
      });
    };
    const fileRecord: RecordName = { kind: file.kind, id: "" };
    for (const problem of file.problems)
      add(problem.code, problem.span, problem.message, fileRecord, -1, problem.suggestion);
    file.entries.forEach((entry, i) => {
      const record = { kind: file.kind, id: entry.body.record.id };
      for (const { span, message } of entry.body.syntaxProblems)
        add("structure/syntax", shifted(span, entry.span.start), message, record, i);
      for (const { code, pointer, part, message, suggestion } of entry.body.problems) {
        const place = placeName(entry.body.record.facts, pointer);
        add(code, spanOfPlace(file, i, pointer, part), message, record, i, suggestion, place);
      }
    });
    for (const { file: path, pointer, part, message, suggestion } of this.#regionProblems) {
      if (path !== file.path) continue;
      const place = placeName(file.entries[0]?.body.record.facts, pointer);
      add("structure/schema", spanOfPlace(file, 0, pointer, part), message, fileRecord, 0, suggestion, place);
    }
    // In the order of the records, so that each record's text is read once for all of its places.
    const ordered = findings.map((finding) => ({ finding, entry: entryIndex(file, finding.place.record) }));
    ordered.sort((a, b) => a.entry - b.entry);
    for (const { finding, entry } of ordered) {
      const { code, level, message, suggestion } = finding;
      const { record: facts, pointer, part } = finding.place;
      const range = lines.range(spanOfPlace(file, entry, pointer, part));
      const related = finding.related.map((one) => ({ ...this.#locate(one.place), message: one.message }));
      const record = { kind: facts.kind, id: facts.id };
      const place = placeName(facts.facts, pointer);
      const extras = { ...fieldOf(facts), ...(suggestion && { suggestion }) };
      published.push({
        finding: { code, level, file: file.path, range, message, record, place, related, ...extras },
        entry,
      });
    }
    return this.#applyAccepts(file, published).sort(byPlace);
  }

  #locate(place: RecordPlace): { file: string; range: Range } {
    const file = this.#files.get(place.record.file);
    if (!file)
      return { file: place.record.file, range: { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } } };
    const span = spanOfPlace(file, entryIndex(file, place.record), place.pointer, place.part);
    return { file: file.path, range: linesOf(file).range(span) };
  }

  #applyAccepts(file: RecordFile, published: readonly Placed[]): PublishedFinding[] {
    const accepts = acceptsOf(file);
    if (accepts.length === 0) return published.map((one) => one.finding);
    const used = new Set<PlacedAccept>();
    const kept = published.filter(({ finding, entry }) => {
      const silencing = accepts.filter(
        (accept) =>
          accept.comment.code === finding.code &&
          accept.comment.reason !== "" &&
          (accept.line === finding.range.start.line - 1 || (accept.onFirstLine && accept.entry === entry)),
      );
      for (const accept of silencing) used.add(accept);
      return silencing.length === 0;
    });
    const result = kept.map((one) => one.finding);
    const rule = this.#rules.get("structure/accept-unused");
    const level = rule ? levelOf(rule, this.#book) : "off";
    if (level === "off") return result;
    for (const accept of accepts) {
      const message = used.has(accept) ? undefined : this.#whyUnused(file, accept);
      if (message === undefined) continue;
      const record = { kind: file.kind, id: file.entries[accept.entry]?.body.record.id ?? "" };
      result.push({
        code: "structure/accept-unused",
        level,
        file: file.path,
        range: accept.range,
        message,
        record,
        place: `accept ${accept.comment.code}`,
        related: [],
      });
    }
    return result;
  }

  #whyUnused(file: RecordFile, { comment, entry }: PlacedAccept): string | undefined {
    const { code, reason } = comment;
    const rule = this.#rules.get(code);
    if (!rule)
      return `there is no check called "${code}", so this comment accepts nothing; correct the name or take the comment away`;
    if (reason === "") return `this comment accepts nothing until it says why: "# accept ${code}: the reason"`;
    // A check that is not asked here says nothing of whether the comment is needed.
    if (levelOf(rule, this.#book) === "off") return undefined;
    const record = file.entries[entry]?.body.record;
    if (record && isSeasonal(code) && !this.#book.isInSight(record)) return undefined;
    return `nothing here is found by ${code} any more, so this comment accepts nothing; take it away`;
  }
}

interface Placed {
  readonly finding: PublishedFinding;
  readonly entry: number;
}

interface PlacedAccept {
  readonly comment: AcceptComment;
  readonly line: number;
  readonly range: Range;
  /** The index of the record it stands in, or -1. */
  readonly entry: number;
  readonly onFirstLine: boolean;
}

function acceptsOf(file: RecordFile): PlacedAccept[] {
  const lines = linesOf(file);
  const placed: PlacedAccept[] = [];
  for (const comment of file.accepts) {
    const range = lines.range(comment.span);
    // In a file that was read as one text the comments are the file's: find the record that holds each.
    const entry = file.entries.findIndex(
      ({ span }) => span.start <= comment.span.start && comment.span.start < span.end,
    );
    const first = entry < 0 ? -1 : firstLine(file, entry, lines);
    placed.push({ comment, line: range.start.line, range, entry, onFirstLine: first === range.start.line });
  }
  file.entries.forEach((entry, i) => {
    if (entry.body.accepts.length === 0) return;
    const first = firstLine(file, i, lines);
    for (const comment of entry.body.accepts) {
      const range = lines.range(shifted(comment.span, entry.span.start));
      placed.push({ comment, line: range.start.line, range, entry: i, onFirstLine: range.start.line === first });
    }
  });
  return placed;
}

/** The line on which a record begins, past comments above it. */
function firstLine(file: RecordFile, index: number, lines: LineIndex): number {
  const { node, offset } = entryTree(file, index);
  return lines.position((node?.span.start ?? 0) + offset).line;
}

function fieldOf(record: FactRecord | undefined): { field?: string } {
  const field = record && fieldIdOfRecord(record);
  return field ? { field } : {};
}

/** Whether a rule looks at the season's records alone. */
function isSeasonal(code: string): boolean {
  return /^(entry|cleaning|scouting|sample|rotation)\//.test(code);
}

function shifted(span: Span, by: number): Span {
  return { start: span.start + by, end: span.end + by };
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

const lineIndexes = new WeakMap<RecordFile, LineIndex>();

export function linesOf(file: RecordFile): LineIndex {
  let lines = lineIndexes.get(file);
  if (!lines) lineIndexes.set(file, (lines = new LineIndex(file.text)));
  return lines;
}
