import { RULE_PAGES } from "../../generated/rules.ts";

/**
 * The page of a rule as help beside the cursor, in Markdown: what it means, why it matters and what to do, without the
 * examples that prove it. Undefined for a code that no rule has.
 */
export function rulePageHover(code: string): string | undefined {
  if (!Object.hasOwn(RULE_PAGES, code)) return undefined;
  const page = RULE_PAGES[code]!;
  const examples = page.search(/^## An example /m);
  return (examples < 0 ? page : page.slice(0, examples)).trim();
}
