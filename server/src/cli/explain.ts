import { RULE_PAGES } from "../../generated/rules.ts";
import { resolve } from "node:path";
import { closest } from "../base/closest.ts";
import { openBook } from "../book/open-book.ts";
import { findBooks } from "../host/find-books.ts";
import { readSourceFiles } from "../host/read-files.ts";
import { withoutEscapes } from "../output/rule-page-parts.ts";
import { pagesOfRegion, regionRulePages } from "../rules/region-rules.ts";
import { fileKind } from "../schema/kinds.ts";
import { resolveRegion, shippedRegionNames } from "../schema/region.ts";
import type { Command, CommandContext } from "./command.ts";
import { CommandFailure, EXIT_CLEAN } from "./failure.ts";

export const explainCommand: Command = {
  name: "explain",
  usage: "[CODE] [DIR]",
  summary: "what a check looks at, why it matters, and an example",
  help:
    "Prints the page of one check. Codes stand beside every finding; without a code, all of them are listed.\n" +
    "Checks of a region's own are found in the record books of DIR (default: the current folder).",
  examples: ["spadework explain cleaning/incomplete", "spadework explain"],
  options: {},
  async run(args, context) {
    const [code, folder = "."] = args.positionals;
    const shipped = { ...shippedRegionPages(), ...RULE_PAGES };
    const isShipped = code === undefined || Object.hasOwn(shipped, code);
    const pages = isShipped ? shipped : { ...(await regionPagesIn(folder, context)), ...shipped };
    if (code === undefined) {
      context.console.out(`${Object.keys(pages).sort().join("\n")}\n`);
      return EXIT_CLEAN;
    }
    const page = Object.hasOwn(pages, code) ? pages[code] : undefined;
    if (page === undefined) {
      const meant = closest(code, Object.keys(pages));
      throw new CommandFailure(
        `there is no check called ${code}${meant ? `; did you mean ${meant}?` : "; spadework explain lists them all"}`,
      );
    }
    const text = withoutEscapes(page);
    context.console.out(text.endsWith("\n") ? text : `${text}\n`);
    return EXIT_CLEAN;
  },
};

/** The pages of the checks in the region packs that come with Spadework. */
function shippedRegionPages(): Record<string, string> {
  return Object.assign({}, ...shippedRegionNames().map((name) => pagesOfRegion(resolveRegion(name, () => undefined))));
}

/** The pages of the checks that the regions of the books in a folder add; none where there is no book. */
async function regionPagesIn(
  folder: string,
  { workingFolder, today }: CommandContext,
): Promise<Record<string, string>> {
  const found = await findBooks(resolve(workingFolder, folder)).catch(() => undefined);
  let pages: Record<string, string> = {};
  for (const { root, files } of found?.books ?? []) {
    const packs = files.filter((path) => ["season", "region"].includes(fileKind(path) ?? ""));
    const sources = await readSourceFiles(root, packs);
    const { book } = openBook(sources, { asOf: today, today, allSeasons: false });
    pages = { ...regionRulePages(book), ...pages };
  }
  return pages;
}
