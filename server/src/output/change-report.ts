import type { ChangedRecord } from "../book/compare-records.ts";
import type { RiskStatus } from "../book/field-status.ts";
import type { FigureChange } from "./region-changes.ts";
import type { ReportedFinding } from "./report.ts";

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
  readonly records: {
    readonly added: readonly ChangedRecord[];
    readonly changed: readonly ChangedRecord[];
    readonly removed: readonly ChangedRecord[];
  };
}

export interface ReportedFigure extends FigureChange {
  /** The book's folder from the one named, where there are several books; else empty. */
  readonly folder: string;
}

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
  return `${folder === "" ? "" : `${folder}: `}${path}: ${before ?? "not known"} → ${after ?? "not known"}`;
}

export function isStatusChange({ before, after }: ReportedField): boolean {
  return before?.status !== after?.status;
}

export function isEmpty({ gained, lost, fields, renamed, regionFigures, records }: ChangeReport): boolean {
  const { added, changed, removed } = records;
  return [gained, lost, fields, renamed, regionFigures, added, changed, removed].every((list) => list.length === 0);
}

/** `working tree` for the files as they lie there. */
export function targetInWords({ target }: ChangeReport): string {
  return target ?? "the working tree";
}
