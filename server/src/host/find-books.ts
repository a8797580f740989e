import { readdir, realpath, stat } from "node:fs/promises";
import { join, relative, sep } from "node:path";
import { fileKind } from "../schema/kinds.ts";

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
}

const SEASON_FILE = "season.yaml";
const PASSED_OVER = new Set(["node_modules", ".git"]);

/**
 * Finds every record book at or below a folder. A nested `season.yaml` starts a book of its own.
 * Links are followed only to what lies inside the folder, so that nothing from outside comes in by a name.
 *
 * @throws the file system's error when the folder itself cannot be listed
 */
export async function findBooks(folder: string): Promise<FoundBooks> {
  const top = await realpath(folder);
  const books: { root: string; files: string[] }[] = [];
  const strays: string[] = [];
  const seen = new Set<string>();

  const walk = async (
    path: string,
    book: { root: string; files: string[] } | undefined,
    isTop: boolean,
  ): Promise<void> => {
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
    let current = book;
    if (entries.some((entry) => entry.name === SEASON_FILE && !entry.isDirectory())) {
      current = { root: path, files: [] };
      books.push(current);
    }
    for (const entry of entries.sort((a, b) => (a.name < b.name ? -1 : 1))) {
      const full = join(path, entry.name);
      const kind = entry.isSymbolicLink()
        ? await linkedKind(full, top)
        : entry.isDirectory()
          ? "folder"
          : entry.isFile()
            ? "file"
            : undefined;
      if (kind === "folder" && !PASSED_OVER.has(entry.name)) await walk(full, current, false);
      else if (kind === "file" && fileKind(entry.name)) {
        if (current) current.files.push(withSlashes(relative(current.root, full)));
        else strays.push(withSlashes(relative(top, full)));
      }
    }
  };
  await walk(top, undefined, true);
  return {
    books: books.map(({ root, files }) => ({ root, prefix: withSlashes(relative(top, root)), files: files.sort() })),
    strays,
  };
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
