import { plural } from "../base/words.ts";
import type { ChangedRecord } from "../book/compare-records.ts";
import { worstFieldsFirst, worstFindingsFirst } from "./change-order.ts";
import {
  figureChangeInWords,
  isEmpty,
  levelChangeInWords,
  NOT_LOOKED_AT,
  targetInWords,
  type ChangeReport,
  type LinePlace,
  type ReportedField,
  type ReportedFigure,
  type ReportedStanding,
} from "./change-report.ts";
import type { Colours } from "./colours.ts";
import { printable } from "./printable.ts";
import type { ReportedFinding } from "./report.ts";
import type { AddedAccept } from "./silencing-changes.ts";

const MOST_IDS = 12;

/** What changed for a person at a terminal: fields, findings gained and lost, records. Worst first. */
export function changeText(report: ChangeReport, colours: Colours): string {
  const { base, asOf, gained, lost, fields, renamed, regionFigures, levels, accepts, records } = report;
  const versions = `from ${printable(base)} to ${printable(targetInWords(report))}`;
  if (isEmpty(report)) return `Nothing changes ${versions}, as of ${asOf}; ${NOT_LOOKED_AT}.\n`;
  const blocks = [
    colours.strong(`What changes ${versions}, as of ${asOf}`),
    ...section(
      "Fields",
      worstFieldsFirst(fields).map((field) => fieldText(field, colours)),
    ),
    ...section(
      "Fields with another id",
      renamed.map(({ from, to }) => `  ${printable(from)} → ${printable(to)}`),
    ),
    ...section(
      "Figures of the region",
      regionFigures.map((change) => figureRow(change, colours)),
    ),
    ...section(
      "Levels of checks",
      levels.map((change) => `  ${printable(levelChangeInWords(change))}`),
    ),
    ...section(
      "New accept comments",
      accepts.map((accept) => acceptRow(accept, colours)),
    ),
    ...section(`New: ${plural(gained.length, "finding")}`, findingRows(gained, colours)),
    ...section(`Gone: ${plural(lost.length, "finding")}`, findingRows(lost, colours)),
    ...section("Records", recordRows(records)),
  ];
  return `${blocks.join("\n\n")}\n`;
}

function section(title: string, rows: readonly string[]): string[] {
  return rows.length === 0 ? [] : [[title, ...rows].join("\n")];
}

function fieldText(field: ReportedField, colours: Colours): string {
  const { before, after, figures } = field;
  const rows = [fieldHead(field, colours)];
  if (after && before?.words !== after.words) rows.push(nowRow(after, colours));
  if (before && before.words !== after?.words) rows.push(`    before ${standingText(before, colours)}`);
  rows.push(...figures.map((figure) => `    ${printable(figure)}`));
  return rows.join("\n");
}

/** The row that names a field, with its status. */
export function fieldHead({ name, before, after, place }: ReportedField, colours: Colours): string {
  const status = before?.status === after?.status ? after!.status : `${statusWord(before)} → ${statusWord(after)}`;
  return `  ${colours.strong(printable(name))}: ${status} ${colours.faint(placeInWords(place))}`;
}

/** The row that tells why a field has the status that it has now. */
export function nowRow(after: ReportedStanding, colours: Colours): string {
  return `    now ${standingText(after, colours)}`;
}

function standingText({ words, cause }: ReportedStanding, colours: Colours): string {
  return `${printable(words)}${cause ? ` ${colours.faint(placeInWords(cause))}` : ""}`;
}

export function statusWord(standing: ReportedStanding | undefined): string {
  return standing?.status ?? "not recorded";
}

/** `2026/may.visits.yaml:12`, and the character where one is known. */
export function placeInWords({ file, line, character }: LinePlace & { readonly character?: number }): string {
  return `${printable(file)}:${line + 1}${character === undefined ? "" : `:${character + 1}`}`;
}

function figureRow(change: ReportedFigure, colours: Colours): string {
  const { source } = change;
  return `  ${printable(figureChangeInWords(change))}${source ? `\n    ${colours.faint(printable(source))}` : ""}`;
}

/** The row of a comment that accepts what a check finds, with its place. */
export function acceptRow(accept: AddedAccept, colours: Colours): string {
  return `  ${placeInWords(accept)} ${colours.faint(printable(accept.code))}: ${printable(accept.reason)}`;
}

function findingRows(findings: readonly ReportedFinding[], colours: Colours): string[] {
  return worstFindingsFirst(findings).map(
    (finding) => `${findingHead(finding, colours)}\n    ${printable(finding.message)}`,
  );
}

/** The row that names a finding, with its place. */
export function findingHead({ file, range, level, code }: ReportedFinding, colours: Colours): string {
  const place = placeInWords({ file, ...range.start });
  return `  ${place} ${colours.level(level, level)} ${colours.faint(printable(code))}`;
}

function recordRows({ added, changed, removed }: ChangeReport["records"]): string[] {
  return Object.entries({ added, changed, removed }).flatMap(([what, list]) =>
    recordKinds(list).map(({ kind, ids }) => {
      const named = ids.filter((id) => id !== "").map(printable);
      const more = named.length > MOST_IDS ? `, and ${named.length - MOST_IDS} more` : "";
      const names = named.length === 0 ? "" : ` (${named.slice(0, MOST_IDS).join(", ")}${more})`;
      return `  ${what}: ${ids.length} in ${kind}${names}`;
    }),
  );
}

/** Ids of records by their kind. */
export function recordKinds(records: readonly ChangedRecord[]): { kind: string; ids: string[] }[] {
  const byKind = new Map<string, string[]>();
  for (const { kind, id } of records) byKind.set(kind, [...(byKind.get(kind) ?? []), id]);
  return [...byKind].map(([kind, ids]) => ({ kind, ids }));
}
