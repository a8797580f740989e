import { resolve } from "node:path";
import type { BookOptions } from "../book/book.ts";
import { openBook } from "../book/open-book.ts";
import { GitTrouble, readRevision } from "../host/git.ts";
import { printable } from "../output/printable.ts";
import type { CommandContext } from "./command.ts";
import { CommandFailure } from "./failure.ts";
import { prefixOf, type LoadedBook } from "./load-books.ts";

/**
 * Opens every book of the folders named as it stood at a git revision; where the revision has none, none.
 *
 * @throws {CommandFailure} when git cannot give the revision
 */
export async function loadRevision(
  folders: readonly string[],
  revision: string,
  options: BookOptions,
  context: CommandContext,
): Promise<LoadedBook[]> {
  const named = folders.length === 0 ? ["."] : folders;
  const loaded: LoadedBook[] = [];
  for (const folder of named) {
    const { books, submodules } = await readRevision(resolve(context.workingFolder, folder), revision).catch(
      (error: unknown) => {
        throw error instanceof GitTrouble ? new CommandFailure(error.message) : error;
      },
    );
    for (const submodule of submodules) {
      const path = printable(submodule);
      context.console.error(
        `spadework: ${path} is a submodule: records in it are another repository's and were not compared\n`,
      );
    }
    for (const { prefix, sources } of books)
      loaded.push({ opened: openBook(sources, options), prefix: prefixOf(named, folder, prefix) });
  }
  return loaded;
}
