import type { Range } from "../base/text.ts";
import { ensure } from "../book/book-index.ts";
import type { Book } from "../book/book.ts";
import type { AcceptComment } from "../records/accept-comments.ts";
import { isKind, type FactRecord } from "../records/record.ts";
import { isRotationYearInSight } from "../book/rotation.ts";
import { linesOf } from "../records/lines.ts";
import { rangeInEntry, rangeOfPlace } from "../records/places.ts";
import type { RecordFile } from "../records/record-file.ts";
import { isShippedGroup } from "../schema/shipped-groups.ts";
import { levelOf } from "./engine.ts";
import type { PublishedFinding } from "./published-finding.ts";
import { isLookedAtByRegion } from "./region-rules.ts";
import type { Rule } from "./rule.ts";

/** A finding, and the index of the record it stands in; -1 for one outside every record. */
export interface FindingInEntry {
  readonly finding: PublishedFinding;
  readonly entry: number;
}

/** The findings that no comment accepts, and one for each comment that accepts none. In no order. */
export function applyAccepts(
  file: RecordFile,
  findings: readonly FindingInEntry[],
  book: Book,
  rules: ReadonlyMap<string, Rule>,
): PublishedFinding[] {
  const accepts = acceptsOf(file);
  const withReason = accepts.filter(({ comment }) => comment.reason !== "");
  const byLine = new Map<number, PlacedAccept[]>();
  const byEntry = new Map<number, PlacedAccept[]>();
  for (const accept of withReason) {
    ensure(byLine, accept.line, () => []).push(accept);
    if (accept.onFirstLine) ensure(byEntry, accept.entry, () => []).push(accept);
  }
  const used = new Set<PlacedAccept>();
  const result: PublishedFinding[] = [];
  for (const { finding, entry } of findings) {
    const above = byLine.get(finding.range.start.line - 1) ?? [];
    // What stands behind the last value of another record speaks of that value.
    const speaking = above.filter((accept) => accept.comment.ownLine || accept.entry === entry);
    const near = [...speaking, ...(byEntry.get(entry) ?? [])];
    const silencing = near.filter(({ comment }) => comment.code === finding.code);
    for (const accept of silencing) used.add(accept);
    if (silencing.length === 0) result.push(finding);
  }
  const rule = rules.get("structure/accept-unused");
  const level = rule ? levelOf(rule, book) : "off";
  if (level === "off") return result;
  for (const accept of accepts) {
    if (used.has(accept)) continue;
    const { entry, comment } = accept;
    const stands = findings.some((one) => one.entry === entry && one.finding.code === comment.code);
    const message = whyUnused(file, accept, stands, book, rules);
    if (message === undefined) continue;
    result.push({
      code: "structure/accept-unused",
      level,
      file: file.path,
      range: accept.range,
      message,
      record: { kind: file.kind, id: file.entries[accept.entry]?.body.record.id ?? "" },
      place: `accept ${accept.comment.code}`,
      related: [],
    });
  }
  return result;
}

function whyUnused(
  file: RecordFile,
  { comment, entry, line }: PlacedAccept,
  stands: boolean,
  book: Book,
  rules: ReadonlyMap<string, Rule>,
): string | undefined {
  const { code, reason } = comment;
  const rule = rules.get(code);
  if (!rule)
    return `there is no check called "${code}", so this comment accepts nothing; correct the name or take the comment away`;
  if (reason === "") {
    return `this comment accepts nothing until it says why, one code to a comment: "# accept ${code}: the reason"`;
  }
  // A check that is not asked here says nothing of whether the comment is needed.
  if (levelOf(rule, book) === "off") return undefined;
  const record = file.entries[entry]?.body.record;
  if (record && isSeasonal(code) && !isLookedAt(file, entry, line, record, book)) return undefined;
  if (record && !isShippedGroup(code) && !isLookedAtByRegion(record, book)) return undefined;
  if (stands) {
    return `what ${code} found here stands elsewhere; put this comment on the record's first line, or on the line just above the place`;
  }
  return `nothing here is found by ${code} any more, so this comment accepts nothing; take it away`;
}

/** Whether the checks of a season look at what an accept comment speaks of. */
function isLookedAt(file: RecordFile, entry: number, line: number, record: FactRecord, book: Book): boolean {
  if (!isKind(record, "rotations")) return book.isInSight(record);
  const crops = record.facts.crops ?? [];
  const below = crops.filter((_, i) => rangeOfPlace(file, entry, ["crops", i], "value").start.line === line + 1);
  return (below.length > 0 ? below : crops).every(
    ({ year }) => year !== undefined && isRotationYearInSight(year, book),
  );
}

/** Whether a rule looks at the season's records alone. */
function isSeasonal(code: string): boolean {
  return /^(entry|cleaning|scouting|sample|rotation)\//.test(code);
}

export interface PlacedAccept {
  readonly comment: AcceptComment;
  /** The last of the comments it stands with: what is on the line below is what it speaks of. */
  readonly line: number;
  readonly range: Range;
  /** The index of the record it stands in, or -1. */
  readonly entry: number;
  readonly onFirstLine: boolean;
}

/** Of comments one below the other each speaks of the line after the last. */
function lastLineOfComments(file: RecordFile, comment: AcceptComment, line: number): number {
  if (!comment.ownLine) return line;
  const lines = linesOf(file);
  let last = line;
  while (
    last + 1 < lines.lineCount &&
    /^[ \t]*#/.test(file.text.slice(lines.lineStart(last + 1), lines.lineStart(last + 2)))
  )
    last++;
  return last;
}

export function hasAccepts(file: RecordFile): boolean {
  return file.accepts.length > 0 || file.entries.some(({ body }) => body.accepts.length > 0);
}

/** All accept comments of a file. */
export function acceptsOf(file: RecordFile): PlacedAccept[] {
  const placed: PlacedAccept[] = [];
  const add = (comment: AcceptComment, range: Range, entry: number): void => {
    const { line } = range.start;
    // A record begins past the comments above it.
    const onFirstLine = entry >= 0 && rangeOfPlace(file, entry, [], "value").start.line === line;
    placed.push({ comment, line: lastLineOfComments(file, comment, line), range, entry, onFirstLine });
  };
  for (const comment of file.accepts) {
    // In a file that was read as one text the comments are the file's: find the record that holds each.
    const { start } = comment.span;
    const entry = file.entries.findIndex(({ span }) => span.start <= start && start < span.end);
    add(comment, linesOf(file).range(comment.span), entry);
  }
  file.entries.forEach((entry, i) => {
    for (const comment of entry.body.accepts) add(comment, rangeInEntry(file, entry, comment.span), i);
  });
  return placed;
}
