// What the extension and the script of a season's panel say to one another. Knows neither the editor nor a page.

/** Something that happened, as the server tells it for the replay. */
export interface ReplayEvent {
  /** Minutes since 1970-01-01T00:00. */
  readonly at: number;
  readonly words: string;
  readonly open?: string;
  readonly isMove: boolean;
}

export interface Replay {
  /** Days since 1970-01-01. */
  readonly first: number;
  readonly last: number;
  readonly events: readonly ReplayEvent[];
}

export type ToPanel =
  | { readonly type: "show"; readonly html: string; readonly replay: Replay }
  | { readonly type: "trouble"; readonly message: string };

export type FromPanel =
  | { readonly type: "ready" }
  /** `record` is what a mark bears as `data-open`. */
  | { readonly type: "open"; readonly record: string };

/** What the editor keeps of a panel over a reload. */
export interface PanelState {
  /** The book's folder. */
  readonly root: string;
  /** The day of the replay; undefined while it stands at the end. */
  readonly day?: number;
}
