import { UNPRINTABLE } from "../base/safe-text.ts";

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
