/** A folder of these names holds no records of its keeper's. */
export const PASSED_OVER: ReadonlySet<string> = new Set(["node_modules", ".git"]);
export const SEASON_FILE = "season.yaml";

/** A record book by its paths alone. */
export interface BookPaths {
  /** The folder that holds `season.yaml`, from the folder searched; empty when it is that folder. */
  readonly prefix: string;
  /** From the book's own folder, sorted. */
  readonly files: readonly string[];
}

/**
 * Gives each file to the nearest book above it. All paths have forward slashes and are told from the folder searched.
 *
 * @param folders those that hold a `season.yaml`
 * @param files those whose names are of the format
 */
export function gatherBooks(
  folders: readonly string[],
  files: readonly string[],
): { readonly books: readonly BookPaths[]; readonly strays: readonly string[] } {
  const byFolder = new Map<string, string[]>(folders.map((folder) => [folder, []]));
  const strays: string[] = [];
  for (const file of files) {
    let folder = folderOf(file);
    while (folder !== "" && !byFolder.has(folder)) folder = folderOf(folder);
    const book = byFolder.get(folder);
    if (book) book.push(folder === "" ? file : file.slice(folder.length + 1));
    else strays.push(file);
  }
  return { books: [...byFolder].map(([prefix, found]) => ({ prefix, files: found.sort() })), strays };
}

/** Of a path with forward slashes: what stands before the last of them. */
export function folderOf(path: string): string {
  return path.slice(0, Math.max(0, path.lastIndexOf("/")));
}
