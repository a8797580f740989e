import type { LevelCounts } from "./summary.ts";
import type { PublishedFinding } from "../rules/publish.ts";

/** A finding with what an output needs beside it: its path from the folder that was named, and its source. */
export interface ReportedFinding extends PublishedFinding {
  /** The text of the finding's file, for excerpts. */
  readonly sourceText: string;
  /** The field the finding's record belongs to, where it has one, by the name its keeper uses. */
  readonly fieldName: string | undefined;
}

export interface CheckReport {
  /** `YYYY-MM-DD` */
  readonly asOf: string;
  readonly findings: readonly ReportedFinding[];
  readonly counts: LevelCounts;
  /** How many books, files and records were read. */
  readonly read: { readonly books: number; readonly files: number; readonly records: number };
}
