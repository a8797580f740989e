import type { ChangedRecord } from "../book/compare-records.ts";
import type { RiskStatus } from "../book/field-status.ts";
import type { FigureChange } from "./region-changes.ts";
import type { ReportedFinding } from "./report.ts";
import type { AddedAccept, LevelChange } from "./silencing-changes.ts";

/** What one version of the records does to another: everything `diff` tells. Files are told from the folder named. */
export interface ChangeReport {
  /** The revision compared with, as it was asked for. */
  readonly base: string;
  /** The revision that is compared with it; undefined for the files as they lie in the folder. */
  readonly target: string | undefined;
  /** `YYYY-MM-DD`; both versions are judged by it. */
  readonly asOf: string;
  /** By file and place. */
  readonly gained: readonly ReportedFinding[];
  /** By file and place as they were before. */
  readonly lost: readonly ReportedFinding[];
  /** By field. */
  readonly fields: readonly ReportedField[];
  readonly renamed: readonly { readonly from: string; readonly to: string }[];
  /** Figures of the region that hold otherwise than before, by book and path. */
  readonly regionFigures: readonly ReportedFigure[];
  /** Checks that are told at another level, by book and code. */
  readonly levels: readonly ReportedLevel[];
  /** Comments that accept findings, and are new; files from the folder named. */
  readonly accepts: readonly AddedAccept[];
  readonly records: {
    readonly added: readonly ChangedRecord[];
    readonly changed: readonly ChangedRecord[];
    readonly removed: readonly ChangedRecord[];
  };
}

interface InBook {
  /** The book's folder from the one named, where there are several books; else empty. */
  readonly folder: string;
}

export interface ReportedFigure extends FigureChange, InBook {}

export interface ReportedLevel extends LevelChange, InBook {}

/** A field that stands differently than before. */
export interface ReportedField {
  readonly field: string;
  readonly name: string;
  /** Undefined for a field that is new. */
  readonly before: ReportedStanding | undefined;
  /** Undefined for a field that is gone. */
  readonly after: ReportedStanding | undefined;
  /** Figures that moved, in words: `plants dug 0 → 60`. */
  readonly figures: readonly string[];
  /** The line of the field's own record: as it is, or as it was where it is gone. */
  readonly place: LinePlace;
}

export interface ReportedStanding {
  readonly status: RiskStatus;
  /** The status with its reason. */
  readonly words: string;
  /** The record that it rests on: the result, the dig, the visit that soil came with. */
  readonly cause: (LinePlace & { readonly id: string }) | undefined;
}

export interface LinePlace {
  readonly file: string;
  /** From 0. */
  readonly line: number;
}

/** `cleaning.strength_percent: 1 → 0.5`, and of which book where there are several. */
export function figureChangeInWords({ path, before, after, folder }: ReportedFigure): string {
  return `${bookInWords(folder)}${path}: ${before ?? "not known"} → ${after ?? "not known"}`;
}

/** `entry/wet-ground: warning → off`, and of which book where there are several. */
export function levelChangeInWords({ code, before, after, folder }: ReportedLevel): string {
  return `${bookInWords(folder)}${code}: ${before} → ${after}`;
}

function bookInWords(folder: string): string {
  return folder === "" ? "" : `${folder}: `;
}

export function isStatusChange({ before, after }: ReportedField): boolean {
  return before?.status !== after?.status;
}

export function isEmpty(report: ChangeReport): boolean {
  const { gained, lost, fields, renamed, regionFigures, levels, accepts, records } = report;
  const { added, changed, removed } = records;
  const lists = [gained, lost, fields, renamed, regionFigures, levels, accepts, added, changed, removed];
  return lists.every((list) => list.length === 0);
}

/** What may have changed where nothing is told. */
export const NOT_LOOKED_AT = "order, names of files, and comments that accept nothing are not looked at";

/** `working tree` for the files as they lie there. */
export function targetInWords({ target }: ChangeReport): string {
  return target ?? "the working tree";
}
