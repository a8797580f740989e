import { resolve } from "node:path";
import { newerFormatMessage } from "../book/newer-format.ts";
import { openBook } from "../book/open-book.ts";
import type { BookOptions } from "../book/book.ts";
import { printable } from "../output/printable.ts";
import { findBooks, withSlashes } from "../host/find-books.ts";
import { misnamedInWords } from "../host/misnamed-words.ts";
import { readSourceFiles } from "../host/read-files.ts";
import type { LoadedBook } from "../output/loaded-book.ts";
import type { CommandContext } from "./command.ts";

export type { LoadedBook };

export interface LoadedBooks {
  readonly books: readonly LoadedBook[];
  /** A folder could not be read or holds no book; said on standard error already. */
  readonly hasFailed: boolean;
}

/**
 * Opens every book in the folders named (the working folder when there are none). With one folder paths are told from it,
 * with several from the working folder, so that they stay apart.
 */
export async function loadBooks(
  folders: readonly string[],
  options: BookOptions,
  context: CommandContext,
): Promise<LoadedBooks> {
  const books: LoadedBook[] = [];
  let hasFailed = false;
  const named = folders.length === 0 ? ["."] : folders;
  for (const folder of named) {
    const path = resolve(context.workingFolder, folder);
    let found;
    try {
      found = await findBooks(path);
    } catch (error) {
      context.console.error(`spadework: ${whyNoFolder(folder, error)}\n`);
      hasFailed = true;
      continue;
    }
    if (found.misnamed.length > 0) context.console.error(`spadework: ${printable(misnamedInWords(found.misnamed))}\n`);
    if (found.books.length === 0) {
      context.console.error(`spadework: ${folder} holds no record book: no season.yaml in it or below it\n`);
      hasFailed = true;
      continue;
    }
    if (found.strays.length > 0) {
      const [first] = found.strays;
      const count = found.strays.length === 1 ? `${first} lies` : `${first} and ${found.strays.length - 1} more lie`;
      context.console.error(
        `spadework: ${printable(count)} in no record book (no season.yaml above) and was not checked\n`,
      );
    }
    for (const { root, prefix, files } of found.books) {
      const opened = openBook(await readSourceFiles(root, files), options);
      if (opened.newerFormat) {
        const path = prefix === "" ? "season.yaml" : `${prefix}/season.yaml`;
        context.console.error(`spadework: ${path}: ${newerFormatMessage(opened.newerFormat)}\n`);
        hasFailed = true;
        continue;
      }
      books.push({ opened, prefix: prefixOf(named, folder, prefix), root });
    }
  }
  return { books, hasFailed };
}

/** What stands before the paths of a book that was found at `prefix` in one of the folders named. */
export function prefixOf(named: readonly string[], folder: string, prefix: string): string {
  const before = named.length > 1 ? withSlashes(folder).replace(/\/+$/, "") : "";
  return [before, prefix].filter((part) => part !== "").join("/");
}

function whyNoFolder(folder: string, error: unknown): string {
  const code = (error as NodeJS.ErrnoException).code;
  if (code === "ENOENT") return `there is no folder ${folder}`;
  if (code === "ENOTDIR") return `${folder} is a file; name the folder that holds the records`;
  if (code === "EACCES" || code === "EPERM") return `the folder ${folder} may not be read by you`;
  return `the folder ${folder} could not be read (${code ?? String(error)})`;
}
