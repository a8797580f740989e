import { ensure } from "../book/book-index.ts";
import type { Book, BookOptions, Cell } from "../book/book.ts";
import { newerFormat } from "../book/newer-format.ts";
import { bookOf, openBook, readSourceFile, type OpenedBook, type SourceFile } from "../book/open-book.ts";
import type { Finding, Level } from "../records/finding.ts";
import type { RecordFile } from "../records/record-file.ts";
import type { FactRecord } from "../records/record.ts";

import { hasAccepts } from "./accepts.ts";
import { levelOf, partsOf, reporter } from "./engine.ts";
import { foundAgain } from "./found-again.ts";
import { Publisher, type PublishedFinding } from "./publish.ts";
import { withRegionRules } from "./region-rules.ts";
import type { Report, Rule, RulePart } from "./rule.ts";

/** Something a rule is asked of: one record, or everything known of a field, a carrier or a member of the crew. */
interface Subject {
  readonly ask: (part: RulePart, report: (report: Report) => void) => void;
  findings: readonly Finding[];
  reads: readonly Readers[];
}

/**
 * Who has asked for one thing: kept once for all of them, since a book has far more questions than things. Most things are
 * asked for by one subject alone, which needs no set.
 */
interface Readers {
  readonly cell: Cell;
  subjects: Subject | Set<Subject>;
}

const NO_READS: readonly Readers[] = [];
const NO_CELLS: ReadonlySet<Cell> = new Set();

/**
 * A book that is being edited, with its findings always as a fresh check would give them. An edit reads again the records
 * it touches; only what rests on facts that changed is asked again; only files whose findings or text moved are published.
 */
export class LiveBook {
  readonly #rules: readonly Rule[];
  readonly #files = new Map<string, RecordFile>();
  #options: BookOptions;
  #opened: OpenedBook;
  #parts: readonly { readonly rule: Rule; readonly level: Level; readonly part: RulePart }[] = [];
  readonly #records = new Map<FactRecord, Subject>();
  readonly #named = new Map<string, Subject>();
  readonly #readers = new Map<Cell, Readers>();
  /** By file and record; a list is never changed, but put in the place of another. */
  readonly #findings = new Map<string, Map<FactRecord, readonly Finding[]>>();
  #publisher: Publisher;
  readonly #published = new Map<string, readonly PublishedFinding[]>();

  constructor(sources: readonly SourceFile[], options: BookOptions, rules: readonly Rule[]) {
    this.#rules = rules;
    this.#options = options;
    this.#opened = openBook(sources, options);
    for (const file of this.book.files) this.#files.set(file.path, file);
    this.#publisher = new Publisher(this.#opened, rules);
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
      this.#publisher.fileChanged(before, after);
      const kind = (after ?? before)!.kind;
      if (kind === "weather") isAnotherBook ||= before?.text !== after?.text;
      else if (kind === "season" || kind === "region")
        isAnotherBook ||=
          before?.entries[0]?.body.record !== after?.entries[0]?.body.record ||
          !before ||
          !after ||
          newerFormat(after) !== undefined;
    }
    // Nothing of a book in a newer format is looked at, until its season says otherwise.
    if (isAnotherBook || this.#opened.newerFormat) return this.#becomeAnotherBook(fresh);
    const dirty = new Set(fresh.keys());
    const { cells, added, removed } = this.book.update(fresh);
    for (const record of removed) this.#dropRecord(record, dirty);
    for (const record of added) this.#addRecord(record);
    const affected = new Set<Subject>();
    for (const record of added) affected.add(this.#records.get(record)!);
    for (const cell of cells) for (const subject of subjectsOf(this.#readers.get(cell))) affected.add(subject);
    this.#refreshNamed(cells, affected, dirty);
    for (const subject of affected) this.#ask(subject, dirty);
    // A field's crops may say to which season its visits belong, and an unused accept comment is told in a season in sight only.
    if ([...added, ...removed].some((record) => record.kind === "rotations"))
      for (const [path, file] of this.#files) if (hasAccepts(file)) dirty.add(path);
    const published = this.#publish(dirty);
    for (const path of fresh.keys()) published.add(path);
    return published;
  }

  /** Takes another day, or another choice of seasons. */
  setOptions(options: BookOptions): ReadonlySet<string> {
    this.#options = options;
    return this.#becomeAnotherBook(new Map());
  }

  #read(source: SourceFile): RecordFile | undefined {
    const file = readSourceFile(source, this.#files.get(source.path), this.book.formats);
    if (file) this.#files.set(source.path, file);
    return file;
  }

  #becomeAnotherBook(fresh: ReadonlyMap<string, RecordFile | undefined>): ReadonlySet<string> {
    const gone = [...fresh].filter(([, file]) => !file).map(([path]) => path);
    this.#opened = bookOf([...this.#files.values()], this.#options);
    // Another region may add other keys to the records, which are read again for them.
    for (const file of this.book.files) this.#files.set(file.path, file);
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
    this.#publisher = new Publisher(this.#opened, this.#rules);
    this.#parts = withRegionRules(this.#rules, book).flatMap((rule) => {
      const level = levelOf(rule, book);
      return level === "off" ? [] : partsOf(rule).map((part) => ({ rule, level, part }));
    });
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
      reads: NO_READS,
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
      reads: NO_READS,
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
    const found: Finding[] = [];
    const { reads } = this.book.withReads(() => {
      for (const { rule, part, level } of this.#parts) {
        subject.ask(
          part,
          reporter(rule.code, level, this.book, (finding) => found.push(finding)),
        );
      }
    });
    this.#putFindings(subject, found, dirty);
    this.#putReads(subject, reads);
  }

  /** What is found again is left where it is, so that it need not be published again. */
  #putFindings(subject: Subject, found: Finding[], dirty: Set<string>): void {
    const { findings, gone, fresh } = foundAgain(subject.findings, found);
    subject.findings = findings;
    for (const finding of gone) this.#replaceFindings(finding, dirty, (list) => list.filter((one) => one !== finding));
    for (const finding of fresh) this.#replaceFindings(finding, dirty, (list) => [...list, finding]);
  }

  #replaceFindings(
    { place: { record } }: Finding,
    dirty: Set<string>,
    change: (list: readonly Finding[]) => readonly Finding[],
  ): void {
    dirty.add(record.file);
    this.#publisher.findingsChanged(record);
    const ofFile = ensure(this.#findings, record.file, () => new Map<FactRecord, readonly Finding[]>());
    const after = change(ofFile.get(record) ?? []);
    if (after.length > 0) ofFile.set(record, after);
    else ofFile.delete(record);
  }

  #putReads(subject: Subject, cells: ReadonlySet<Cell>): void {
    for (const readers of subject.reads) {
      const { cell, subjects } = readers;
      if (cells.has(cell)) continue;
      if (subjects instanceof Set) subjects.delete(subject);
      if (subjects === subject || (subjects instanceof Set && subjects.size === 0)) this.#readers.delete(cell);
    }
    const reads = new Array<Readers>(cells.size);
    let count = 0;
    for (const cell of cells) {
      const readers = ensure(this.#readers, cell, (): Readers => ({ cell, subjects: subject }));
      if (readers.subjects instanceof Set) readers.subjects.add(subject);
      else if (readers.subjects !== subject) readers.subjects = new Set([readers.subjects, subject]);
      reads[count++] = readers;
    }
    subject.reads = reads;
  }

  #clear(subject: Subject, dirty: Set<string>): void {
    this.#putFindings(subject, [], dirty);
    this.#putReads(subject, NO_CELLS);
  }

  /** @returns the files whose findings have changed, and those that are gone */
  #publish(dirty: ReadonlySet<string>): Set<string> {
    const changed = new Set<string>();
    for (const path of new Set([...dirty, ...this.#publisher.filesRestingOn(dirty)])) {
      const file = this.#files.get(path);
      if (!file) {
        this.#published.delete(path);
        this.#publisher.forgetFile(path);
        changed.add(path);
        continue;
      }
      const published = this.#publisher.publishFile(file, this.#findings.get(path) ?? new Map());
      if (published === this.#published.get(path)) continue;
      changed.add(path);
      this.#published.set(path, published);
    }
    this.#publisher.endRound();
    return changed;
  }
}

function subjectsOf(readers: Readers | undefined): Iterable<Subject> {
  if (!readers) return [];
  return readers.subjects instanceof Set ? readers.subjects : [readers.subjects];
}
