import { readFile, realpath, stat } from "node:fs/promises";
import { join, sep } from "node:path";
import type { Book } from "../book/book.ts";
import { fieldOutlines, outlineFiles, type ReadOutline } from "../book/outlines.ts";

/** An outline of `MOST_CORNERS` corners takes less. */
const MAX_BYTES = 2_000_000;
const READ_AT_ONCE = 16;

/**
 * Reads the files in which a book's fields have their outlines. A file is read only where it lies within the book's folder,
 * links followed, and is a plain file of a size that an outline may have; what cannot be read is told in the outline's place.
 *
 * @param root absolute path of the book's folder
 * @param open texts that stand unsaved in an editor, by absolute path
 */
export async function readOutlines(
  root: string,
  book: Book,
  open: (path: string) => string | undefined = () => undefined,
): Promise<ReadonlyMap<string, ReadOutline>> {
  const paths = [...new Set(outlineFiles(book).map(({ path }) => path))];
  const texts = new Map<string, string>();
  for (let i = 0; i < paths.length; i += READ_AT_ONCE) {
    const some = paths.slice(i, i + READ_AT_ONCE);
    const read = await Promise.all(some.map(async (path) => open(join(root, path)) ?? textWithin(root, path)));
    some.forEach((path, at) => {
      const text = read[at];
      if (text !== undefined) texts.set(path, text);
    });
  }
  return fieldOutlines(book, texts);
}

async function textWithin(root: string, path: string): Promise<string | undefined> {
  try {
    const top = await realpath(root);
    const file = await realpath(join(root, path));
    if (!file.startsWith(top.endsWith(sep) ? top : top + sep)) return undefined;
    const found = await stat(file);
    return found.isFile() && found.size <= MAX_BYTES ? await readFile(file, "utf8") : undefined;
  } catch {
    return undefined;
  }
}
