import { readdir, realpath, stat } from "node:fs/promises";
import { join, relative, sep } from "node:path";
import { fileKind, meantFileName } from "../schema/kinds.ts";
import { gatherBooks, PASSED_OVER, SEASON_FILE } from "./gather-books.ts";

/** A record book on disk. */
export interface BookFolder {
  /** Absolute path of the folder that holds `season.yaml`. */
  readonly root: string;
  /** The root from the folder that was searched, with forward slashes; empty when it is that folder. */
  readonly prefix: string;
  /** The book's files from its root, with forward slashes, sorted. */
  readonly files: readonly string[];
}

export interface FoundBooks {
  readonly books: readonly BookFolder[];
  /** Files with a name of the format that lie in no book, from the folder searched. */
  readonly strays: readonly string[];
  /** Files that are passed over for letters in upper case in their names or for `.yml`, from the folder searched. */
  readonly misnamed: readonly string[];
}

/**
 * Finds every record book at or below a folder, which is given by its absolute path. A nested `season.yaml` starts a book of
 * its own.
 * Links are followed only to what lies inside the folder, so that nothing from outside comes in by a name.
 *
 * @throws the file system's error when the folder itself cannot be listed
 */
export async function findBooks(folder: string): Promise<FoundBooks> {
  const top = await realpath(folder);
  const roots: string[] = [];
  const files: string[] = [];
  const misnamed: string[] = [];
  const seen = new Set<string>();
  const fromTop = (path: string): string => withSlashes(relative(top, path));

  const walk = async (path: string, isTop: boolean): Promise<void> => {
    const real = await realpath(path);
    if (seen.has(real)) return;
    seen.add(real);
    let entries;
    try {
      entries = await readdir(path, { withFileTypes: true });
    } catch (error) {
      if (isTop) throw error;
      return;
    }
    if (entries.some((entry) => entry.name === SEASON_FILE && !entry.isDirectory())) roots.push(fromTop(path));
    for (const entry of entries.sort((a, b) => (a.name < b.name ? -1 : 1))) {
      const full = join(path, entry.name);
      const kind = entry.isSymbolicLink()
        ? await linkedKind(full, top)
        : entry.isDirectory()
          ? "folder"
          : entry.isFile()
            ? "file"
            : undefined;
      if (kind === "folder" && !PASSED_OVER.has(entry.name)) await walk(full, false);
      else if (kind === "file" && fileKind(entry.name)) files.push(fromTop(full));
      else if (kind === "file" && meantFileName(entry.name)) misnamed.push(fromTop(full));
    }
  };
  await walk(top, true);
  const { books, strays } = gatherBooks(roots, files);
  // A folder that is reached by a link keeps the name by which it was asked for: whoever asks knows no other.
  return { books: books.map((book) => ({ ...book, root: join(folder, book.prefix) })), strays, misnamed };
}

async function linkedKind(link: string, top: string): Promise<"folder" | "file" | undefined> {
  try {
    const target = await realpath(link);
    if (target !== top && !target.startsWith(top + sep)) return undefined;
    const stats = await stat(target);
    return stats.isDirectory() ? "folder" : stats.isFile() ? "file" : undefined;
  } catch {
    // A link to nothing holds no records.
    return undefined;
  }
}

export function withSlashes(path: string): string {
  return sep === "/" ? path : path.split(sep).join("/");
}
