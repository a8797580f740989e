import { basename, dirname, join } from "node:path";
import type { BookOptions } from "../book/book.ts";
import type { SourceFile } from "../book/open-book.ts";
import { findBooks } from "../host/find-books.ts";
import { gatherBooks, PASSED_OVER, SEASON_FILE, type BookPaths } from "../host/gather-books.ts";
import { readSourceFileFrom } from "../host/read-files.ts";
import { fileKind, meantFileName } from "../schema/kinds.ts";
import { LiveBook } from "../rules/live-book.ts";
import type { Rule } from "../rules/rule.ts";
import { pathWithin } from "./paths.ts";

/** A book of the workspace. */
export interface WorkspaceBook {
  /** Absolute path of the folder that holds `season.yaml`. */
  readonly root: string;
  readonly live: LiveBook;
}

export interface LocatedFile {
  readonly book: WorkspaceBook;
  /** From the book's root, with forward slashes. */
  readonly path: string;
}

/** A file that is passed over for letters in upper case in its name or for `.yml`. */
export interface MisnamedFile {
  /** Absolute. */
  readonly path: string;
  /** From the open folder, with forward slashes. */
  readonly inFolder: string;
}

export interface WorkspaceOptions {
  readonly rules: readonly Rule[];
  /** The options of a book by its root: folders may differ in their settings. */
  readonly optionsOf: (root: string) => BookOptions;
  /** Told while the books are read for the first time: how many of how many files. */
  readonly onProgress?: (read: number, all: number) => void;
}

const READ_AT_ONCE = 32;

/**
 * The books of the open folders, with what stands unsaved in the editor laid over the files. Every change answers with the
 * absolute paths of the files whose findings may have changed.
 */
export class Workspace {
  readonly #options: WorkspaceOptions;
  #folders: readonly string[] = [];
  /** Deepest roots first, so that a nested book wins over the one around it. */
  #books: WorkspaceBook[] = [];
  /** By absolute path. */
  readonly #misnamed = new Map<string, MisnamedFile>();
  /** Texts of open editors, by absolute path. */
  readonly #open = new Map<string, string>();

  constructor(options: WorkspaceOptions) {
    this.#options = options;
  }

  get books(): readonly WorkspaceBook[] {
    return this.#books;
  }

  /** Files that would be part of a book, or begin one, were it not for their names. */
  get misnamed(): readonly MisnamedFile[] {
    return [...this.#misnamed.values()];
  }

  /** Whether a file is part of a book, by absolute path. */
  holds(path: string): boolean {
    const located = this.locate(path);
    return located !== undefined && located.book.live.book.files.some((file) => file.path === located.path);
  }

  /** Reads every book of these folders anew. */
  async setFolders(folders: readonly string[]): Promise<ReadonlySet<string>> {
    this.#folders = folders;
    return this.reload();
  }

  /** Looks for books again, and reads all their files: after a `season.yaml` came or went. */
  async reload(): Promise<ReadonlySet<string>> {
    const before = this.#allPaths();
    const found = new Map<string, readonly string[]>();
    const misnamed: MisnamedFile[] = [];
    for (const folder of this.#folders) {
      const lying = await this.#booksIn(folder);
      for (const { prefix, files } of lying.books) found.set(join(folder, prefix), files);
      for (const inFolder of lying.misnamed) misnamed.push({ path: join(folder, inFolder), inFolder });
    }
    this.#misnamed.clear();
    for (const file of misnamed) if (isMissed(file.path, [...found.keys()])) this.#misnamed.set(file.path, file);
    const all = [...found.values()].reduce((sum, files) => sum + files.length, 0);
    let read = 0;
    const books: WorkspaceBook[] = [];
    for (const [root, files] of found) {
      const sources = new Map<string, SourceFile>();
      for (let i = 0; i < files.length; i += READ_AT_ONCE) {
        const some = files.slice(i, i + READ_AT_ONCE);
        for (const source of await Promise.all(some.map((path) => this.#source(root, path))))
          sources.set(source.path, source);
        this.#options.onProgress?.((read += some.length), all);
      }
      books.push({ root, live: new LiveBook([], this.#options.optionsOf(root), this.#options.rules) });
      const roots = [...found.keys()];
      for (const [path, text] of this.#open) {
        const inside = pathWithin(root, path);
        if (inside && fileKind(inside) && ownerOf(path, roots) === root) sources.set(inside, { path: inside, text });
      }
      books.at(-1)!.live.update(sources);
    }
    this.#books = books.sort((a, b) => b.root.length - a.root.length);
    return new Set([...before, ...this.#allPaths()]);
  }

  /** A `season.yaml` that is not saved yet begins a book too, and takes its files out of the book around it. */
  async #booksIn(folder: string): Promise<{ books: readonly BookPaths[]; misnamed: readonly string[] }> {
    // A folder that is gone or may not be read holds no books; the editor shows as much.
    const nothing = { books: [], strays: [], misnamed: [] };
    const { books, strays, misnamed } = await findBooks(folder).catch(() => nothing);
    const roots = new Set(books.map(({ prefix }) => prefix));
    for (const path of this.#open.keys()) {
      const root = rootOfSeason(path);
      const inside = root === undefined ? undefined : pathWithin(folder, root);
      if (inside !== undefined) roots.add(inside);
    }
    const files = books.flatMap(({ prefix, files }) =>
      files.map((file) => (prefix === "" ? file : `${prefix}/${file}`)),
    );
    return { books: gatherBooks([...roots], [...files, ...strays]).books, misnamed };
  }

  /** The file of a book by absolute path; undefined for what belongs to none. */
  locate(path: string): LocatedFile | undefined {
    for (const book of this.#books) {
      const inside = pathWithin(book.root, path);
      if (inside !== undefined) return fileKind(inside) ? { book, path: inside } : undefined;
    }
    return undefined;
  }

  /** The editor shows these texts now (undefined: it has closed the file, and what is on disk counts again). */
  async setOpen(changes: ReadonlyMap<string, string | undefined>): Promise<ReadonlySet<string>> {
    let needsReload = false;
    for (const [path, text] of changes) {
      if (text === undefined) this.#open.delete(path);
      else this.#open.set(path, text);
      const root = rootOfSeason(path);
      if (root === undefined || !this.#isInFolders(root)) continue;
      const isBook = this.#books.some((book) => book.root === root);
      // One that was closed without ever being saved makes no book any more.
      needsReload ||= text !== undefined ? !isBook : isBook && !(await this.#sourceOnDisk(root, SEASON_FILE));
    }
    return needsReload ? this.reload() : this.#update(changes.keys());
  }

  /** Files that were made, changed or deleted on disk, folders included. */
  async filesChanged(paths: readonly string[]): Promise<ReadonlySet<string>> {
    const files = new Set<string>();
    for (const path of paths) {
      const name = path.split(/[/\\]/).at(-1) ?? "";
      if (name === SEASON_FILE || this.#books.some(({ root }) => pathWithin(path, root) !== undefined))
        return this.reload();
      if (fileKind(name)) files.add(path);
      else if (meantFileName(name)) await this.#misnamedChanged(path);
      else for (const known of this.#allPaths()) if (pathWithin(path, known)) files.add(known);
    }
    return this.#update(files);
  }

  async #misnamedChanged(path: string): Promise<void> {
    this.#misnamed.delete(path);
    const folder = this.#folders.find((one) => pathWithin(one, path) !== undefined);
    const inFolder = folder && pathWithin(folder, path);
    if (!folder || !inFolder || inFolder.split("/").some((part) => PASSED_OVER.has(part))) return;
    const roots = this.#books.map(({ root }) => root);
    if (isMissed(path, roots) && (await this.#sourceOnDisk(folder, inFolder)))
      this.#misnamed.set(path, { path, inFolder });
  }

  /** Settings or the day have changed: every book takes its options anew. */
  refreshOptions(): ReadonlySet<string> {
    const changed = new Set<string>();
    for (const { root, live } of this.#books) {
      const { asOf, today, allSeasons } = this.#options.optionsOf(root);
      const now = live.book.options;
      if (now.asOf === asOf && now.today === today && now.allSeasons === allSeasons) continue;
      for (const path of live.setOptions({ asOf, today, allSeasons })) changed.add(join(root, path));
    }
    return changed;
  }

  async #update(paths: Iterable<string>): Promise<ReadonlySet<string>> {
    const byBook = new Map<WorkspaceBook, Map<string, SourceFile | undefined>>();
    for (const path of paths) {
      const located = this.locate(path);
      if (!located) continue;
      const changes = byBook.get(located.book) ?? new Map<string, SourceFile | undefined>();
      byBook.set(located.book, changes);
      const text = this.#open.get(path);
      changes.set(
        located.path,
        text !== undefined ? { path: located.path, text } : await this.#sourceOnDisk(located.book.root, located.path),
      );
    }
    const changed = new Set<string>();
    for (const [{ root, live }, changes] of byBook)
      for (const path of live.update(changes)) changed.add(join(root, path));
    return changed;
  }

  async #source(root: string, path: string): Promise<SourceFile> {
    const text = this.#open.get(join(root, path));
    return text !== undefined ? { path, text } : readSourceFileFrom(root, path);
  }

  /** Undefined for a file that is not there any more. */
  async #sourceOnDisk(root: string, path: string): Promise<SourceFile | undefined> {
    const source = await readSourceFileFrom(root, path);
    return source.trouble?.isGone ? undefined : source;
  }

  #isInFolders(path: string): boolean {
    return this.#folders.some((folder) => pathWithin(folder, path) !== undefined);
  }

  #allPaths(): string[] {
    return this.#books.flatMap(({ root, live }) => live.book.files.map((file) => join(root, file.path)));
  }
}

/** Whether a misnamed file would be part of a book with one of these roots, or begin one. */
function isMissed(path: string, roots: readonly string[]): boolean {
  return meantFileName(basename(path)) === SEASON_FILE || roots.some((root) => pathWithin(root, path) !== undefined);
}

/** The folder of a `season.yaml`, by absolute paths. */
function rootOfSeason(path: string): string | undefined {
  return basename(path) === SEASON_FILE ? dirname(path) : undefined;
}

function ownerOf(path: string, roots: readonly string[]): string | undefined {
  const owners = roots.filter((root) => pathWithin(root, path) !== undefined);
  return owners.sort((a, b) => b.length - a.length)[0];
}
