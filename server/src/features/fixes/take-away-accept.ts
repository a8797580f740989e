import type { Span } from "../../base/text.ts";
import { linesOf } from "../../records/lines.ts";
import type { PublishedFinding } from "../../rules/published-finding.ts";
import { lineStartAt, nextLineAt } from "../../syntax/text-scan.ts";
import type { FeatureContext } from "../context.ts";
import { changesNoRecord } from "./changes-no-record.ts";
import type { Remedy } from "./finding-site.ts";

const HAS_REASON = /^#\s*accept\s[^:]*:\s*\S/;

/**
 * Takes away an accept comment that silences nothing; with its line, where it has that to itself. One that still lacks its
 * reason may be meant, so taking it away is not what most keepers would do.
 */
export function takeAwayAccept({ file }: FeatureContext, finding: PublishedFinding): Remedy[] {
  if (finding.file !== file.path) return [];
  const { text } = file;
  const lines = linesOf(file);
  const comment = { start: lines.offset(finding.range.start), end: lines.offset(finding.range.end) };
  const words = text.slice(comment.start, comment.end);
  if (!words.startsWith("#")) return [];
  const edit = { span: withItsRoom(text, comment), newText: "" };
  if (!changesNoRecord(file, edit)) return [];
  const title = "Take this comment away";
  return [{ title, edit: new Map([[file.path, [edit]]]), isPreferred: HAS_REASON.test(words) }];
}

function withItsRoom(text: string, { start, end }: Span): Span {
  const before = text.slice(lineStartAt(text, start), start);
  const margin = /[ \t]*$/.exec(before)![0].length;
  const hasItsLine = margin === before.length;
  return { start: start - margin, end: hasItsLine ? nextLineAt(text, end) : end };
}
