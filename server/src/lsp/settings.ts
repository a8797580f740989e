import { pathWithin } from "./paths.ts";

/** The settings of section `spadework`, as a keeper has them for a folder. */
export interface Settings {
  /** A day as `YYYY-MM-DD`; empty for today. */
  readonly asOf: string;
  readonly lenses: boolean;
  /** Kinds of hints that are turned off are `false`. */
  readonly inlayHints: Readonly<Record<string, boolean>>;
  readonly format: boolean;
}

export const DEFAULT_SETTINGS: Settings = { asOf: "", lenses: true, inlayHints: {}, format: false };

/** Takes over what is of the right type; a client may send anything. */
export function settingsOf(value: unknown): Settings {
  const { asOf, lenses, inlayHints, format } = partsOf(value);
  return {
    asOf: typeof asOf === "string" ? asOf : DEFAULT_SETTINGS.asOf,
    lenses: partsOf(lenses)["enabled"] !== false,
    inlayHints: Object.fromEntries(
      Object.entries(partsOf(inlayHints)).filter((entry): entry is [string, boolean] => typeof entry[1] === "boolean"),
    ),
    format: partsOf(format)["enabled"] === true,
  };
}

function partsOf(value: unknown): Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null ? (value as Readonly<Record<string, unknown>>) : {};
}

/** Each folder's own settings. What lies in a folder within a folder has the inner one's. */
export class FolderSettings {
  #ofFolder: ReadonlyMap<string, Settings> = new Map();
  #elsewhere = DEFAULT_SETTINGS;

  /** @param ofFolder by absolute path */
  set(ofFolder: ReadonlyMap<string, Settings>, elsewhere: Settings): void {
    this.#ofFolder = ofFolder;
    this.#elsewhere = elsewhere;
  }

  /** @param path absolute, of a file or folder */
  of(path: string): Settings {
    let innermost: string | undefined;
    for (const folder of this.#ofFolder.keys())
      if (pathWithin(folder, path) !== undefined && folder.length > (innermost?.length ?? -1)) innermost = folder;
    return (innermost === undefined ? undefined : this.#ofFolder.get(innermost)) ?? this.#elsewhere;
  }
}
