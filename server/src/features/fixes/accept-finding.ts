import type { TextEdit } from "../../base/text.ts";
import { lineEndingOf } from "../../syntax/edits.ts";
import { lineEndAt, lineStartAt } from "../../syntax/text-scan.ts";
import { changesNoRecord } from "./changes-no-record.ts";
import type { FindingSite, Remedy } from "./finding-site.ts";

/** What the keeper is to write in its place. */
const REASON_TO_WRITE = "write here why this is right as it is";
const NEVER_ACCEPTED: ReadonlySet<string> = new Set(["structure/syntax", "structure/accept-unused"]);
const ACCEPT = /#\s*accept\s/;

/** Accepts a finding by a comment on the line above it, with the reason to be written. */
export function acceptFinding(site: FindingSite): Remedy[] {
  const { finding, context, span, offset, root } = site;
  if (NEVER_ACCEPTED.has(finding.code) || finding.code.startsWith("structure/schema")) return [];
  const { text } = context.file;
  const comment = `# accept ${finding.code}: ${REASON_TO_WRITE}`;
  const line = lineStartAt(text, span.start);
  const above =
    line > 0
      ? text.slice(lineStartAt(text, line - (text[line - 2] === "\r" && text[line - 1] === "\n" ? 2 : 1)), line)
      : "";
  const candidates: TextEdit[] = [];
  // Another comment on the line above would be pushed away from what it accepts.
  if (!ACCEPT.test(above)) {
    const byteOrderMark = line === 0 && text.charCodeAt(0) === 0xfeff ? 1 : 0;
    const at = line + byteOrderMark;
    const margin = /^[ ]*/.exec(text.slice(at, span.start))![0];
    candidates.push({ span: { start: at, end: at }, newText: margin + comment + lineEndingOf(text) });
  }
  const firstLineEnd = lineEndAt(text, root.span.start + offset);
  const firstLine = text.slice(lineStartAt(text, root.span.start + offset), firstLineEnd);
  if (!firstLine.includes("#"))
    candidates.push({ span: { start: firstLineEnd, end: firstLineEnd }, newText: ` ${comment}` });
  const edit = candidates.find((one) => changesNoRecord(context.file, one));
  return edit
    ? [
        {
          title: `Accept ${finding.code} here, with a reason`,
          edit: new Map([[context.file.path, [edit]]]),
          placeholder: REASON_TO_WRITE,
        },
      ]
    : [];
}
