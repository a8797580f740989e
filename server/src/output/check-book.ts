import { RULE_PAGES, RULES } from "../../generated/rules.ts";
import { ensure } from "../book/book-index.ts";
import { runRules } from "../rules/engine.ts";
import { numberedFingerprints } from "../rules/numbered-fingerprints.ts";
import { publish, type PublishedFinding } from "../rules/publish.ts";
import { regionRulePages, regionRules, withRegionRules } from "../rules/region-rules.ts";
import type { Rule } from "../rules/rule.ts";
import { sourcesOfRule, type FigureSource } from "../rules/rule-sources.ts";
import { fromFolder, type LoadedBook } from "./loaded-book.ts";
import type { ReportedFinding } from "./report.ts";

/** Every rule over one book; files are told from the folder named on the command line. */
export function checkBook(loaded: LoadedBook): ReportedFinding[] {
  const { opened } = loaded;
  return reportedFindings(loaded, publish(opened, runRules(opened.book, RULES), RULES));
}

/**
 * Findings of a book with what an output needs beside them.
 *
 * @param published all of the book's, in the order of publishing
 */
export function reportedFindings(
  { opened, prefix }: LoadedBook,
  published: readonly PublishedFinding[],
): ReportedFinding[] {
  const { book } = opened;
  const texts = new Map(book.files.map((file) => [file.path, file.text]));
  const prints = numberedFingerprints(published, prefix);
  const rules = new Map(withRegionRules(RULES, book).map((rule) => [rule.code, rule]));
  const sources = new Map<string, readonly FigureSource[]>();
  return published.map((finding, i) => ({
    ...finding,
    file: fromFolder(prefix, finding.file),
    related: finding.related.map((one) => ({ ...one, file: fromFolder(prefix, one.file) })),
    sourceText: texts.get(finding.file) ?? "",
    fieldName: finding.field === undefined ? undefined : book.fieldName(finding.field),
    fingerprint: prints[i]!,
    sources: ensure(sources, finding.code, () => {
      const rule = rules.get(finding.code);
      return rule ? sourcesOfRule(rule, book) : [];
    }),
  }));
}

/** Every rule that is asked in one of the books, with its page; of a code that two regions give, the first book's. */
export function rulesOfBooks(books: readonly LoadedBook[]): {
  readonly rules: readonly Rule[];
  readonly pages: Readonly<Record<string, string>>;
} {
  const rules = new Map(RULES.map((rule) => [rule.code, rule]));
  let pages: Readonly<Record<string, string>> = RULE_PAGES;
  for (const { opened } of books) {
    for (const rule of regionRules(opened.book)) ensure(rules, rule.code, () => rule);
    pages = { ...regionRulePages(opened.book), ...pages };
  }
  return { rules: [...rules.values()], pages };
}
