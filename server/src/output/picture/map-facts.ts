import type { RiskStatus } from "../../book/field-status.ts";
import type { Outline } from "../../book/outlines.ts";
import type { LonLat } from "../../schema/facts.ts";

/** What every mark of a drawing says, and what it leads to. */
export interface MarkFacts {
  /** One line, read aloud and shown where the mark is pointed at. */
  readonly label: string;
  /** What a click opens, in the page's own words; undefined where there is nothing to open. */
  readonly open?: string | undefined;
  /** The minute from which the mark is there, for a replay; undefined: always. */
  readonly from?: number | undefined;
  /** The minute from which what it stands for is under way, before it is there. */
  readonly since?: number | undefined;
}

export interface MapEntrance extends MarkFacts {
  readonly position: LonLat;
  readonly usual: boolean;
}

export interface MapField extends MarkFacts {
  readonly name: string;
  readonly status: RiskStatus;
  readonly outline: Outline | undefined;
  readonly entrances: readonly MapEntrance[];
}

export interface MapDig extends MarkFacts {
  readonly position: LonLat;
  /** 0 to 100; undefined where the plants were not rated. */
  readonly dsiPercent: number | undefined;
}

export interface MapPatch extends MarkFacts {
  readonly position: LonLat;
  readonly areaM2: number | undefined;
}

/** Soil that may have gone from one field to another. */
export interface MapMove extends MarkFacts {
  /** By which the table beside the map calls it. */
  readonly number: number;
  /** Undefined where the field is not to be shown: the arrow then comes from, or goes, out of the map. */
  readonly start: LonLat | undefined;
  readonly end: LonLat | undefined;
  /** 0 to 1 */
  readonly soilLeft: number;
}

export interface MapFacts {
  readonly title: string;
  /** The whole of what the map shows, in sentences. */
  readonly description: string;
  readonly fields: readonly MapField[];
  readonly digs: readonly MapDig[];
  readonly patches: readonly MapPatch[];
  readonly moves: readonly MapMove[];
}

/** A stop of a walk, in the order in which it is made. */
export interface MapStop extends MarkFacts {
  readonly number: number;
  readonly position: LonLat;
}

export interface PictureOptions {
  /** Units of the drawing; on a page one is a pixel at most. */
  readonly width: number;
  /** Begins the ids of the drawing: of several on a page, each needs its own. */
  readonly prefix: string;
  /** Marks can be reached by the keyboard and carry `data-open` and `data-from`, for a page with a script. */
  readonly interactive: boolean;
}
