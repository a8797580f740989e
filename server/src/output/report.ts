import type { LevelCounts } from "./summary.ts";
import type { PublishedFinding } from "../rules/publish.ts";
import type { FigureSource } from "../rules/rule-sources.ts";

/** A finding with what an output needs beside it: its path from the folder that was named, and its source. */
export interface ReportedFinding extends PublishedFinding {
  /** The text of the finding's file, for excerpts. */
  readonly sourceText: string;
  /** The field the finding's record belongs to, where it has one, by the name its keeper uses. */
  readonly fieldName: string | undefined;
  /** What it is known by from one check to the next: 32 hexadecimal digits, different for each finding of a report. */
  readonly fingerprint: string;
  /** Where the region's figures that it rests on come from. */
  readonly sources: readonly FigureSource[];
}

export interface CheckReport {
  /** `YYYY-MM-DD` */
  readonly asOf: string;
  readonly findings: readonly ReportedFinding[];
  readonly counts: LevelCounts;
  /** How many books, files and records were read. */
  readonly read: { readonly books: number; readonly files: number; readonly records: number };
  /** The paths of all files that were read, also of those without a finding, sorted. */
  readonly files: readonly string[];
  /** Where findings known before were left out. */
  readonly baseline?: BaselineUse;
  /** Where only what is new against a revision is reported: which one, and how many of its findings still stand. */
  readonly since?: { readonly revision: string; readonly standing: number };
}

export interface BaselineUse {
  /** How many findings of the baseline still occur; they are not among the findings. */
  readonly known: number;
  /** What the baseline holds and the book no longer has. */
  readonly gone: readonly BaselineEntry[];
}

/** A finding that was known when the baseline was written. Only the fingerprint counts; the rest is for its readers. */
export interface BaselineEntry {
  readonly fingerprint: string;
  readonly code: string;
  /** Where it stood: the path as it was reported. */
  readonly file: string;
  /** `visits/v1/digs/d1`: the record's kind, its id and the place in it. */
  readonly place: string;
}
