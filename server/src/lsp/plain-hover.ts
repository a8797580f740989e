/** A hover as a client shows it that knows no Markdown: the marks are left out, and what was escaped stands as it was written. */
export function plainHover(markdown: string): string {
  return markdown.replace(
    /\\([!-/:-@[-`{-~])|`([^`\n]{0,500})`|\[([^\]\n]{0,500})\]\([^)\n]{0,500}\)|\*\*|^#+ |^---$/gm,
    (_, escaped?: string, code?: string, link?: string) => escaped ?? code ?? link ?? "",
  );
}
