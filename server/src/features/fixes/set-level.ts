import type { TextEdit } from "../../base/text.ts";
import type { RecordFile } from "../../records/record-file.ts";
import { insertEntry, insertLineAfter, lineEndingOf, replaceScalar } from "../../syntax/edits.ts";
import { parseText } from "../../syntax/parse.ts";
import { isBreak } from "../../syntax/text-scan.ts";
import { entryOf, resolved } from "../../syntax/tree-queries.ts";
import type { BookEdit } from "../context.ts";
import type { FindingSite, Remedy } from "./finding-site.ts";

const OFFERED = ["off", "information", "warning", "error"] as const;
/** What cannot be read or is no record stays a mistake at any level. */
const ALWAYS_ERRORS: ReadonlySet<string> = new Set(["structure/syntax", "structure/schema"]);

/** Gives the finding's check another level in the book's `season.yaml`. */
export function setLevel({ finding, context }: FindingSite): Remedy[] {
  if (ALWAYS_ERRORS.has(finding.code)) return [];
  const season = context.book.files.find((file) => file.kind === "season");
  if (!season) return [];
  return OFFERED.filter((level) => level !== finding.level).flatMap((level): Remedy[] => {
    const edit = levelEdit(season, finding.code, level);
    const title =
      level === "off" ? `Turn ${finding.code} off in season.yaml` : `Set ${finding.code} to ${level} in season.yaml`;
    return edit ? [{ title, edit }] : [];
  });
}

function levelEdit(season: RecordFile, code: string, level: string): BookEdit | undefined {
  const edits = levelEdits(season.text, code, level);
  return edits.length === 0 ? undefined : new Map([[season.path, edits]]);
}

function levelEdits(text: string, code: string, level: string): readonly TextEdit[] {
  const { root, problems } = parseText(text);
  // In a text that is broken, where the levels end is anyone's guess.
  if (problems.length > 0) return [];
  const eol = lineEndingOf(text);
  const atEnd = (lines: string): TextEdit => {
    const startsLine = text === "" || isBreak(text.charCodeAt(text.length - 1));
    return { span: { start: text.length, end: text.length }, newText: `${startsLine ? "" : eol}${lines}${eol}` };
  };
  if (root === undefined) return [atEnd(`rules:${eol}  ${code}: ${level}`)];
  if (root.type !== "map") return [];
  const written = entryOf(root, "rules");
  if (!written) {
    if (root.flow) return insertEntry(text, root, "rules", { [code]: level }, lastKey(root.entries));
    const last = root.entries[root.entries.length - 1];
    return last ? [insertLineAfter(text, last.value, `rules:${eol}  ${code}: ${level}`)] : [];
  }
  const rules = resolved(written.value);
  if (written.value.type === "alias") return [];
  if (rules.type === "map" && (rules.flow || rules.entries.length > 0)) {
    const known = entryOf(rules, code);
    if (!known) return insertEntry(text, rules, code, level, lastKey(rules.entries));
    return known.value.type === "scalar" ? replaceScalar(text, known.value, level, rules.flow ? "flow" : "block") : [];
  }
  if (rules.type === "scalar" && rules.span.start === rules.span.end)
    return [insertLineAfter(text, written.value, `  ${code}: ${level}`)];
  return [];
}

function lastKey(entries: readonly { readonly key: { readonly type: string } }[]): string | undefined {
  const key = entries[entries.length - 1]?.key as { source?: string } | undefined;
  return key?.source;
}
