import { RULE_PAGES } from "../../generated/rules.ts";
import type { Book } from "../book/book.ts";
import { regionRulePages } from "../rules/region-rules.ts";

/**
 * The page of a rule as help beside the cursor, in Markdown: what it means, why it matters and what to do, without the
 * examples that prove it. Undefined for a code that no rule has.
 */
export function rulePageHover(code: string, book?: Book): string | undefined {
  const page = rulePage(code, book);
  if (page === undefined) return undefined;
  const examples = page.search(/^## An example /m);
  return (examples < 0 ? page : page.slice(0, examples)).trim();
}

/** The whole page of a rule, one of the book's region included. */
export function rulePage(code: string, book?: Book): string | undefined {
  if (Object.hasOwn(RULE_PAGES, code)) return RULE_PAGES[code];
  return book && regionRulePages(book)[code];
}
