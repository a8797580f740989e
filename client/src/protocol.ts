// The requests beyond the Language Server Protocol that the server answers; see `server/src/lsp/commands.ts`.
import type { Location, Position, Range, WorkspaceEdit } from "vscode-languageclient/node";
import type { Replay } from "./panel-messages.ts";

/** What the parameters of a request must be, and what answers it. */
export interface Requests {
  "spadework/soilMovement": [{ uri: string; field: string } | { uri: string; position: Position }, SoilMovement];
  "spadework/reviewChange": [{ uri: string }, ChangeReview];
  "spadework/season": [{ uri?: string }, readonly Season[]];
  "spadework/seasonPicture": [{ uri: string }, SeasonPicture];
  "spadework/fieldList": [Record<string, never>, readonly FieldList[]];
  "spadework/recordPlace": [{ uri: string; record: readonly (string | number)[] }, Location];
  "spadework/newVisit": [{ uri: string; field: string; today?: string }, NewVisit];
  "spadework/regions": [Record<string, never>, readonly Region[]];
}

/** A text of the server's, to be read. */
export interface Told {
  readonly text: string;
  /** Stretches of the text that speak of a record, and where that stands. */
  readonly links: readonly { readonly range: Range; readonly target: Location }[];
}

export interface SoilMovement extends Told {
  /** Its id. */
  readonly field: string;
  readonly title: string;
}

export interface ChangeReview extends Told {
  /** The folder of the book that was compared. */
  readonly root: string;
}

export type Level = "error" | "warning" | "information" | "hint";

/** Where a book's season stands. */
export interface Season {
  /** The book's folder. */
  readonly root: string;
  readonly season?: number;
  readonly asOf: string;
  readonly findings: Readonly<Record<Level, number>>;
  /** The riskiest first. */
  readonly fields: readonly Field[];
  readonly statuses: Readonly<Record<string, number>>;
  /** Missing in a book without fields. */
  readonly worst?: string | undefined;
}

export interface Field {
  readonly id: string;
  readonly name: string;
  readonly grower?: string;
  readonly status: string;
}

/** What a season's panel shows. */
export interface SeasonPicture {
  readonly title: string;
  /** Markup without a script or a style. */
  readonly html: string;
  readonly style: string;
  readonly replay: Replay;
}

/** The fields of a book with what to do next. */
export interface FieldList {
  /** The book's folder. */
  readonly root: string;
  readonly season?: number;
  readonly asOf: string;
  /** The riskiest first. */
  readonly fields: readonly ListedField[];
}

export interface ListedField {
  readonly id: string;
  readonly name: string;
  /** The grower's name. */
  readonly grower?: string;
  readonly status: string;
  readonly why?: string;
  readonly next?: string;
  readonly place?: Location;
}

export interface NewVisit {
  readonly edit: WorkspaceEdit;
  readonly uri: string;
  /** The new record, once the edit is made. */
  readonly range: Range;
}

export interface Region {
  readonly id: string;
  readonly title: string;
}
