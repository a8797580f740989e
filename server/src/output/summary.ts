import { LEVELS, type Level } from "../records/finding.ts";

export type LevelCounts = Readonly<Record<Level, number>>;

export function countLevels(findings: readonly { readonly level: Level }[]): LevelCounts {
  const counts = { error: 0, warning: 0, information: 0, hint: 0 };
  for (const { level } of findings) counts[level]++;
  return counts;
}

/** Whether any finding is at the level given or worse. */
export function reaches(counts: LevelCounts, bar: Level): boolean {
  return LEVELS.slice(0, LEVELS.indexOf(bar) + 1).some((level) => counts[level] > 0);
}
