import type { Book, BookOptions, Cell } from "../book/book.ts";
import { bookOf, readSourceFile, type OpenedBook, type SourceFile } from "../book/open-book.ts";
import type { Finding } from "../records/finding.ts";
import type { RecordFile } from "../records/record-file.ts";
import type { FactRecord } from "../records/record.ts";
import { levelOf, partsOf } from "./engine.ts";
import { Publisher, type PublishedFinding } from "./publish.ts";
import type { Report, Rule, RulePart } from "./rule.ts";

/** Something a rule is asked of: one record, or everything known of a field, a carrier or a member of the crew. */
interface Subject {
  readonly ask: (part: RulePart, report: (report: Report) => void) => void;
  readonly findings: Finding[];
  reads: ReadonlySet<Cell>;
}

/**
 * A book that is being edited, with its findings always as a fresh check would give them. An edit reads again the records
 * it touches; only what rests on facts that changed is asked again; only files whose findings or text moved are published.
 */
export class LiveBook {
  readonly #rules: readonly Rule[];
  readonly #files = new Map<string, RecordFile>();
  #options: BookOptions;
  #opened: OpenedBook;
  #parts: readonly { readonly rule: Rule; readonly part: RulePart }[] = [];
  readonly #records = new Map<FactRecord, Subject>();
  readonly #named = new Map<string, Subject>();
  readonly #readers = new Map<Cell, Set<Subject>>();
  readonly #findings = new Map<string, Set<Finding>>();
  readonly #published = new Map<string, readonly PublishedFinding[]>();
  /** By file: the files that its findings' related places lie in. */
  readonly #relatedFiles = new Map<string, ReadonlySet<string>>();

  constructor(sources: readonly SourceFile[], options: BookOptions, rules: readonly Rule[]) {
    this.#rules = rules;
    this.#options = options;
    for (const source of sources) this.#read(source);
    this.#opened = bookOf([...this.#files.values()], options);
    this.#startAgain();
  }

  get opened(): OpenedBook {
    return this.#opened;
  }

  get book(): Book {
    return this.#opened.book;
  }

  /** The findings of a file, in order of place; empty for a file the book does not have. */
  findings(path: string): readonly PublishedFinding[] {
    return this.#published.get(path) ?? [];
  }

  /** Every file of the book with its findings, in the order of paths. */
  *allFindings(): Iterable<readonly [string, readonly PublishedFinding[]]> {
    for (const file of this.book.files) yield [file.path, this.findings(file.path)];
  }

  /**
   * Takes in changes of files (undefined: the file is gone).
   *
   * @returns the files whose findings may have changed, those that are gone included
   */
  update(changes: ReadonlyMap<string, SourceFile | undefined>): ReadonlySet<string> {
    const fresh = new Map<string, RecordFile | undefined>();
    let isAnotherBook = false;
    for (const [path, source] of changes) {
      const before = this.#files.get(path);
      const after = source && this.#read(source);
      if (!source) this.#files.delete(path);
      if (!before && !after) continue;
      fresh.set(path, after);
      const kind = (after ?? before)!.kind;
      if (kind === "weather") isAnotherBook ||= before?.text !== after?.text;
      else if (kind === "season" || kind === "region")
        isAnotherBook ||= before?.entries[0]?.body.record !== after?.entries[0]?.body.record || !before || !after;
    }
    if (isAnotherBook) return this.#becomeAnotherBook(fresh);
    const dirty = new Set(fresh.keys());
    const { cells, added, removed } = this.book.update(fresh);
    for (const record of removed) this.#dropRecord(record, dirty);
    for (const record of added) this.#addRecord(record);
    const affected = new Set<Subject>();
    for (const record of added) affected.add(this.#records.get(record)!);
    for (const cell of cells) for (const subject of this.#readers.get(cell) ?? []) affected.add(subject);
    this.#refreshNamed(cells, affected, dirty);
    for (const subject of affected) this.#ask(subject, dirty);
    return this.#publish(dirty);
  }

  /** Takes another day, or another choice of seasons. */
  setOptions(options: BookOptions): ReadonlySet<string> {
    this.#options = options;
    return this.#becomeAnotherBook(new Map());
  }

  #read(source: SourceFile): RecordFile | undefined {
    const file = readSourceFile(source, this.#files.get(source.path));
    if (file) this.#files.set(source.path, file);
    return file;
  }

  #becomeAnotherBook(fresh: ReadonlyMap<string, RecordFile | undefined>): ReadonlySet<string> {
    const gone = [...fresh].filter(([, file]) => !file).map(([path]) => path);
    this.#opened = bookOf([...this.#files.values()], this.#options);
    this.#startAgain();
    return new Set([...this.#files.keys(), ...gone]);
  }

  #startAgain(): void {
    const { book } = this;
    this.#records.clear();
    this.#named.clear();
    this.#readers.clear();
    this.#findings.clear();
    this.#published.clear();
    this.#relatedFiles.clear();
    this.#parts = this.#rules.flatMap((rule) =>
      levelOf(rule, book) === "off" ? [] : partsOf(rule).map((part) => ({ rule, part })),
    );
    const ignored = new Set<string>();
    for (const file of book.files)
      for (const entry of file.entries) this.#ask(this.#addRecord(entry.body.record), ignored);
    for (const id of book.fieldIds()) this.#ask(this.#addNamed(`field ${id}`), ignored);
    for (const id of book.carrierIds()) this.#ask(this.#addNamed(`carrier ${id}`), ignored);
    for (const id of book.crewIds()) this.#ask(this.#addNamed(`crew ${id}`), ignored);
    this.#publish(new Set(book.files.map((file) => file.path)));
  }

  #addRecord(record: FactRecord): Subject {
    const subject: Subject = {
      ask: (part, report) => {
        if (part.scope === "record" && part.kinds.includes(record.kind)) part.check(record, this.book, report);
      },
      findings: [],
      reads: new Set(),
    };
    this.#records.set(record, subject);
    return subject;
  }

  #dropRecord(record: FactRecord, dirty: Set<string>): void {
    const subject = this.#records.get(record);
    if (subject) this.#clear(subject, dirty);
    this.#records.delete(record);
  }

  /** @param name `field`, `carrier` or `crew` and an id, as the cells of a book are called */
  #addNamed(name: string): Subject {
    const space = name.indexOf(" ");
    const [scope, id] = [name.slice(0, space), name.slice(space + 1)];
    const subject: Subject = {
      ask: (part, report) => {
        if (part.scope !== scope) return;
        if (part.scope === "field") part.check(this.book.fieldHistory(id), this.book, report);
        else if (part.scope === "carrier") part.check(this.book.carrierHistory(id), this.book, report);
        else if (part.scope === "crew") part.check(this.book.crewHistory(id), this.book, report);
      },
      findings: [],
      reads: new Set(),
    };
    this.#named.set(name, subject);
    return subject;
  }

  /** Fields, carriers and people that a change brought in, or took out. */
  #refreshNamed(cells: ReadonlySet<Cell>, affected: Set<Subject>, dirty: Set<string>): void {
    for (const cell of cells) {
      if (!/^(field|carrier|crew) /.test(cell)) continue;
      const known = this.#named.get(cell);
      const exists = this.book.has(cell);
      if (exists && !known) affected.add(this.#addNamed(cell));
      if (!exists && known) {
        this.#clear(known, dirty);
        affected.delete(known);
        this.#named.delete(cell);
      }
    }
  }

  #ask(subject: Subject, dirty: Set<string>): void {
    this.#clear(subject, dirty);
    const { reads } = this.book.withReads(() => {
      for (const { rule, part } of this.#parts) {
        subject.ask(part, ({ place, message, related = [], suggestion }) => {
          const level = levelOf(rule, this.book);
          if (level === "off") return;
          const finding: Finding = {
            code: rule.code,
            level,
            place,
            message,
            related,
            ...(suggestion && { suggestion }),
          };
          subject.findings.push(finding);
          const { file } = place.record;
          dirty.add(file);
          let findings = this.#findings.get(file);
          if (!findings) this.#findings.set(file, (findings = new Set()));
          findings.add(finding);
        });
      }
    });
    subject.reads = reads;
    for (const cell of reads) {
      let readers = this.#readers.get(cell);
      if (!readers) this.#readers.set(cell, (readers = new Set()));
      readers.add(subject);
    }
  }

  #clear(subject: Subject, dirty: Set<string>): void {
    for (const finding of subject.findings) {
      const { file } = finding.place.record;
      dirty.add(file);
      this.#findings.get(file)?.delete(finding);
    }
    subject.findings.length = 0;
    for (const cell of subject.reads) {
      const readers = this.#readers.get(cell);
      readers?.delete(subject);
      if (readers?.size === 0) this.#readers.delete(cell);
    }
    subject.reads = new Set();
  }

  #publish(dirty: ReadonlySet<string>): ReadonlySet<string> {
    const all = new Set(dirty);
    for (const [file, related] of this.#relatedFiles) if ([...dirty].some((path) => related.has(path))) all.add(file);
    const publisher = new Publisher(this.#opened, this.#rules);
    for (const path of all) {
      const file = this.#files.get(path);
      if (!file) {
        this.#published.delete(path);
        this.#relatedFiles.delete(path);
        continue;
      }
      const published = publisher.publishFile(file, [...(this.#findings.get(path) ?? [])]);
      this.#published.set(path, published);
      this.#relatedFiles.set(path, new Set(published.flatMap(({ related }) => related.map((one) => one.file))));
    }
    return all;
  }
}
