/** A rule's page, taken apart for outputs that show help. */
export interface RulePageParts {
  /** The sentence under the title. */
  readonly summary: string;
  /** The page in Markdown, without the examples that prove it. */
  readonly markdown: string;
  /** The same without marks. */
  readonly plainText: string;
  /** The words under a heading, without marks; empty when the page has no such heading. */
  section(heading: string): string;
}

export function readRulePage(page: string): RulePageParts {
  const examples = page.search(/^## An example /m);
  const markdown = (examples < 0 ? page : page.slice(0, examples)).trim();
  const blocks = markdown.split(/\n\n+/);
  const summary = blocks.find((block) => !block.startsWith("#")) ?? "";
  return {
    summary: withoutMarks(summary),
    markdown,
    plainText: withoutMarks(markdown),
    section(heading) {
      const from = blocks.indexOf(`## ${heading}`) + 1;
      if (from === 0) return "";
      const to = blocks.findIndex((block, i) => i >= from && block.startsWith("#"));
      return withoutMarks(blocks.slice(from, to < 0 ? undefined : to).join(" "));
    },
  };
}

/** Headings lose their signs, code its backticks, and a link leaves its words. */
function withoutMarks(markdown: string): string {
  return markdown
    .replace(/^#+ /gm, "")
    .replace(/\[([^\][]*)\]\([^()]*\)/g, "$1")
    .replace(/`+/g, "");
}
