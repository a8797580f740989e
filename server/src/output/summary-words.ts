import { plural } from "../base/words.ts";
import { LEVELS, type Level } from "../records/finding.ts";
import type { CheckReport } from "./report.ts";
import type { LevelCounts } from "./summary.ts";

/** `2 errors`, `1 warning`, `3 for information`; levels without a finding are left out. */
export function levelCounts(counts: LevelCounts, paint = (_level: Level, text: string): string => text): string[] {
  return LEVELS.filter((level) => counts[level] > 0).map((level) => paint(level, levelCount(level, counts[level])));
}

function levelCount(level: Level, count: number): string {
  return level === "information" ? `${count} for information` : plural(count, level);
}

/**
 * What there is to mend, as far as it is reported, in a sentence without its end: `Nothing to mend`, `Nothing is new since main,
 * 3 older findings still stand`.
 */
export function nothingInWords({ since }: CheckReport): string {
  if (!since) return "Nothing to mend";
  const { standing, revision } = since;
  return `Nothing is new since ${revision}, and ${standing === 0 ? "no older finding stands" : olderInWords(standing)}`;
}

/** ` new since main (3 older findings still stand)` where only what is new is reported, else nothing. */
export function sinceInWords({ since }: CheckReport): string {
  if (!since) return "";
  return ` new since ${since.revision}${since.standing === 0 ? "" : ` (${olderInWords(since.standing)})`}`;
}

function olderInWords(standing: number): string {
  return `${plural(standing, "older finding")} still ${standing === 1 ? "stands" : "stand"}`;
}

const MOST_GONE = 10;

/** What a baseline left out, and what of it no longer occurs; none where there is no baseline. May hold words of the records. */
export function baselineRows({ baseline }: CheckReport): string[] {
  if (!baseline) return [];
  const { known, gone } = baseline;
  const rows = [`${plural(known, "known finding")} of the baseline left out.`];
  if (gone.length === 0) return rows;
  const occurs =
    gone.length === 1 ? "finding of the baseline no longer occurs" : "findings of the baseline no longer occur";
  rows.push(`${gone.length} ${occurs}; write it anew with --write-baseline:`);
  rows.push(...gone.slice(0, MOST_GONE).map(({ code, file, place }) => `- ${code} in ${file}, ${place}`));
  if (gone.length > MOST_GONE) rows.push(`- and ${gone.length - MOST_GONE} more`);
  return rows;
}
