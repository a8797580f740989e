import { plural } from "../base/words.ts";
import { worstFieldsFirst, worstFindingsFirst } from "./change-order.ts";
import {
  figureChangeInWords,
  isEmpty,
  isStatusChange,
  levelChangeInWords,
  NOT_LOOKED_AT,
  targetInWords,
  type ChangeReport,
  type ReportedField,
  type ReportedStanding,
} from "./change-report.ts";
import { recordKinds, statusWord } from "./change-text.ts";
import { lineLink, markdownText, utf8Length } from "./markdown-text.ts";
import type { ReportedFinding } from "./report.ts";

/** Bytes that each part may take: together, with what stands around them, under 60 kB, the most a host takes as a comment. */
const MOST_BYTES = {
  fields: 18_000,
  renamed: 2_000,
  region: 4_000,
  levels: 2_000,
  accepts: 4_000,
  gained: 16_000,
  lost: 6_000,
  records: 4_000,
};
const MOST_IDS = 12;

/**
 * What changed as a comment for the reviewer of a change: worst first, each with its line and a link to it. It stays under
 * 60 kB and is safe whatever the records say.
 *
 * @param links the address under which the folder's files stand, without a slash at its end
 */
export function changeMarkdown(report: ChangeReport, links?: string): string {
  const { base, asOf, gained, lost, fields, renamed, regionFigures, levels, accepts, records } = report;
  const versions = `from ${markdownText(base)} to ${markdownText(targetInWords(report))}, as of ${asOf}`;
  const head = "### What this change does to the season\n";
  if (isEmpty(report)) return `${head}\nNothing changes ${versions}; ${NOT_LOOKED_AT}.\n`;
  const statuses = fields.filter(isStatusChange).length;
  const counts = [
    `**${plural(gained.length, "new finding")}**`,
    `${plural(lost.length, "finding")} gone`,
    `${plural(statuses, "field")} with another status`,
  ];
  const fieldRows = worstFieldsFirst(fields).map((field) => fieldRow(field, links));
  const parts = [
    head,
    `${counts.join(", ")}, ${versions}.\n`,
    ...part("Fields", FIELD_TABLE, fieldRows, MOST_BYTES.fields),
    ...part(
      "Fields with another id",
      [],
      renamed.map(({ from, to }) => `- ${markdownText(from)} → ${markdownText(to)}`),
      MOST_BYTES.renamed,
    ),
    ...part(
      "Figures of the region",
      [],
      regionFigures.map(
        (change) =>
          `- ${markdownText(figureChangeInWords(change))}${change.source ? ` (${markdownText(change.source)})` : ""}`,
      ),
      MOST_BYTES.region,
    ),
    ...part(
      "Levels of checks",
      [],
      levels.map((change) => `- ${markdownText(levelChangeInWords(change))}`),
      MOST_BYTES.levels,
    ),
    ...part(
      "New accept comments",
      [],
      accepts.map(({ code, reason, file, line }) => {
        const where = lineLink(`${file}:${line + 1}`, file, line, links);
        return `- ${markdownText(code)}: ${markdownText(reason)} (${where})`;
      }),
      MOST_BYTES.accepts,
    ),
    ...part(
      "New findings",
      [],
      findingRows(gained, (place, file, line) => lineLink(place, file, line, links)),
      MOST_BYTES.gained,
    ),
    ...part(
      "Findings gone",
      [],
      findingRows(lost, (place) => markdownText(place)),
      MOST_BYTES.lost,
    ),
    ...part("Records", [], recordRows(records), MOST_BYTES.records),
  ];
  return parts.join("\n");
}

const FIELD_TABLE = ["| field | status | why | figures that moved |", "| --- | --- | --- | --- |"];

/** A part with as many of its rows as it has room for, and the number of those left out. */
function part(title: string, before: readonly string[], rows: readonly string[], mostBytes: number): string[] {
  if (rows.length === 0) return [];
  let left = mostBytes;
  const shown: string[] = [];
  for (const row of rows) {
    left -= utf8Length(row) + 1;
    if (left < 0) break;
    shown.push(row);
  }
  const hidden = rows.length - shown.length;
  const more = hidden > 0 ? ["", `… and ${hidden} more`] : [];
  return [[`#### ${title}\n`, ...before, ...shown, ...more].join("\n") + "\n"];
}

function fieldRow({ name, before, after, figures, place }: ReportedField, links: string | undefined): string {
  // A line of a file that is gone has nothing to link to.
  const where = after ? lineLink(`${place.file}:${place.line + 1}`, place.file, place.line, links) : "";
  const status = before?.status === after?.status ? after!.status : `${statusWord(before)} → **${statusWord(after)}**`;
  const now = after && before?.words !== after.words ? [`now ${standing(after, links)}`] : [];
  const was = before && before.words !== after?.words ? [`before ${markdownText(before.words)}`] : [];
  const cells = [
    `${markdownText(name)}${where === "" ? "" : `<br>${where}`}`,
    status,
    [...now, ...was].join("<br>"),
    figures.map((figure) => markdownText(figure)).join("<br>"),
  ];
  return `| ${cells.join(" | ")} |`;
}

function standing({ words, cause }: ReportedStanding, links: string | undefined): string {
  const link = cause ? ` (${lineLink(`${cause.file}:${cause.line + 1}`, cause.file, cause.line, links)})` : "";
  return `${markdownText(words)}${link}`;
}

/** @param linked how a place is written: findings of before, whose lines are gone, lead nowhere */
function findingRows(
  findings: readonly ReportedFinding[],
  linked: (place: string, file: string, line: number) => string,
): string[] {
  return worstFindingsFirst(findings).map(({ level, code, message, file, range: { start } }) => {
    const where = linked(`${file}:${start.line + 1}`, file, start.line);
    return `- **${level}** ${markdownText(code)}: ${markdownText(message)} (${where})`;
  });
}

function recordRows({ added, changed, removed }: ChangeReport["records"]): string[] {
  return Object.entries({ added, changed, removed }).flatMap(([what, list]) =>
    recordKinds(list).map(({ kind, ids }) => {
      const named = ids.filter((id) => id !== "");
      const more = named.length > MOST_IDS ? `, and ${named.length - MOST_IDS} more` : "";
      const names = named.slice(0, MOST_IDS).map((id) => markdownText(id, 60));
      return `- ${what}: ${ids.length} in ${kind}${names.length === 0 ? "" : ` (${names.join(", ")}${more})`}`;
    }),
  );
}
