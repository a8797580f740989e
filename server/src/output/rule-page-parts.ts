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

// A span or block of code, whose letters are all meant; and an escape, which stands for its sign.
const CODE_OR_ESCAPE = /(?<!`)(`+)(?!`)([\s\S]*?)(?<!`)\1(?!`)|\\([!-/:-@[-`{-~])/g;

/** A page as it is read in a terminal: marks stay, and what is escaped in Markdown stands as it was written. */
export function withoutEscapes(markdown: string): string {
  return markdown.replace(CODE_OR_ESCAPE, (all, _fence, _code, sign: string | undefined) => sign ?? all);
}

/** Headings lose their signs, code its backticks, and a link leaves its words; what is escaped stands as it was written. */
function withoutMarks(markdown: string): string {
  return markdown
    .replace(/^#+ /gm, "")
    .replace(/(?<!\\)\[([^\][]*)\]\([^()]*\)/g, "$1")
    .replace(
      CODE_OR_ESCAPE,
      (_all, _fence, code: string | undefined, sign: string | undefined) => sign ?? code!.trim(),
    );
}
