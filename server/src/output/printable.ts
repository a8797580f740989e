/** Control characters and the marks that turn the direction of writing: in a terminal they could hide or forge a line. */
// eslint-disable-next-line no-control-regex
const UNPRINTABLE = /[\u0000-\u001F\u007F-\u009F\u061C\u200E\u200F\u2028-\u202E\u2066-\u2069\uFEFF]/g;

/** A text that is safe on one line of a terminal: each control character becomes a visible stand-in of the same width. */
export function printable(text: string): string {
  return text.replace(UNPRINTABLE, (character) => (character === "\t" ? " " : "\uFFFD"));
}

/**
 * A text of several lines that a service which reads commands from its log finds none in: on GitHub Actions a line that
 * begins with two colons, and the older `##[` anywhere in one.
 */
export function withoutLogCommands(text: string): string {
  return text.replace(/^([^\S\n]*)::/gm, "$1: :").replaceAll("##[", "# #[");
}
