import { oneLine } from "../base/safe-text.ts";

/** Stands between two letters without being seen or letting a line break. */
const WORD_JOINER = "\u2060";
const LONGEST = 300;
const LONE_SURROGATE = /[\uD800-\uDFFF]/gu;
const ENTITIES: Readonly<Record<string, string>> = { "&": "&amp;", "<": "&lt;", ">": "&gt;" };

/**
 * Words from the records as a host of git repositories shows them letter by letter, in a line of Markdown or a cell of a
 * table: no HTML, no link or image, no mention of a person or an issue, no second line. Longer texts are cut.
 */
export function markdownText(text: string, longest = LONGEST): string {
  return (
    oneLine(text, longest)
      .replace(/[&<>]/g, (character) => ENTITIES[character]!)
      .replace(/[\\`*_[\]~|$]/g, "\\$&")
      // A host reads mentions, short names of pictures and addresses from the finished page, where a backslash is gone already.
      .replace(/[@#!%^](?=[\w"\\])/g, `$&${WORD_JOINER}`)
      .replace(/:(?=\/\/|[\w+-]+:)/g, `:${WORD_JOINER}`)
      .replace(/www\./gi, (word) => `${word.slice(0, 3)}${WORD_JOINER}.`)
      .replace(/^[-+=](?=\s|$)/, "\\$&")
      .replace(/^(\d{1,9})([.)])/, "$1\\$2")
  );
}

/**
 * A link to a line of a file, by a path that can lead nowhere else.
 *
 * @param base the address under which the files stand, without a slash at its end; undefined for paths from the page itself
 * @param line from 0
 */
export function lineLink(text: string, file: string, line: number, base: string | undefined): string {
  const path = file
    .split("/")
    .map((part) => encodeURIComponent(part.replace(LONE_SURROGATE, "\uFFFD")).replace(/[!'()*]/g, percentEncoded))
    .join("/");
  return `[${markdownText(text)}](${base ?? "."}/${path}#L${line + 1})`;
}

function percentEncoded(character: string): string {
  return `%${character.charCodeAt(0).toString(16).toUpperCase()}`;
}

/** Bytes of a text in UTF-8. */
export function utf8Length(text: string): number {
  let bytes = 0;
  for (const character of text) {
    const code = character.codePointAt(0)!;
    bytes += code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
  }
  return bytes;
}
