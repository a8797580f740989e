/**
 * Words from the records made safe for whatever shows them. A name, an id or a note may come from a stranger: it must
 * neither forge a second line, nor turn the direction of writing, nor become a link, an image, an icon or HTML.
 */

const LONGEST = 200;
// Control characters, line and paragraph separators, marks that turn the direction of writing, and the byte order mark.
// eslint-disable-next-line no-control-regex
export const UNPRINTABLE = /[\u0000-\u001F\u007F-\u009F\u061C\u200E\u200F\u2028-\u202E\u2066-\u2069\uFEFF]/g;
const MARKDOWN = /[\\`*_[\]<>~$@|]|&(?=[#\w])/g;

/** A text of one line for a label or a title: white space and control characters become one blank, long texts end in `…`. */
export function oneLine(text: string, longest = LONGEST): string {
  const line = text
    .slice(0, longest * 4)
    .replace(UNPRINTABLE, " ")
    .replace(/ {2,}/g, " ")
    .trim();
  if (line.length <= longest) return line;
  // The two halves of a character beyond the basic plane stay together.
  const last = line.charCodeAt(longest - 2);
  return `${line.slice(0, last >= 0xd800 && last <= 0xdbff ? longest - 2 : longest - 1)}…`;
}

/** A title of a lens: the editor would show `$(name)` as an icon. */
export function plainTitle(text: string): string {
  return oneLine(text, 300).replaceAll("$(", "$ (");
}

/** A message of the editor, which would make a link of `[text](address)`, even one that runs a command. */
export function plainMessage(text: string): string {
  return oneLine(text, 400).replaceAll("](", "] (");
}

/**
 * A text as CommonMark shows it letter by letter: what would be mark-up is escaped, and so are the beginnings of the links
 * that some renderers make by themselves, and of lists.
 */
export function markdownText(text: string, longest = LONGEST): string {
  return oneLine(text, longest)
    .replace(MARKDOWN, "\\$&")
    .replace(/^[-+=#]/, "\\$&")
    .replace(/^(\d{1,9})([.)])/, "$1\\$2")
    .replaceAll("://", "\\://")
    .replace(/www\./gi, (word) => `${word.slice(0, 3)}\\.`);
}

/** A text between backticks, as code; with backticks inside, between longer ones. */
export function codeText(text: string): string {
  const line = oneLine(text, 400);
  if (!line.includes("`")) return `\`${line}\``;
  const longestRun = Math.max(...(line.match(/`+/g) ?? []).map((run) => run.length));
  const fence = "`".repeat(longestRun + 1);
  return `${fence} ${line} ${fence}`;
}
