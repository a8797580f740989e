import type { ClientCapabilities } from "vscode-languageserver";
import type { LocatedFile, Workspace } from "./workspace.ts";

export interface ServerHost {
  /** Days since 1970-01-01, from the clock. */
  readonly today: () => number;
  /** Minutes since 1970-01-01T00:00 of the local clock. */
  readonly now: () => number;
  /** The address of a rule's page. */
  readonly pageOf: (code: string) => string | undefined;
  readonly version: string;
  /** Told once every book has been read for the first time. */
  readonly onFirstRead?: () => void;
}

/** What a feature's handler may ask of the session. */
export interface FeatureHost {
  readonly host: ServerHost;
  /** Resolves once every edit so far has been taken in. */
  settled(): Promise<void>;
  locate(uri: string): LocatedFile | undefined;
  uriOf(path: string): string;
  readonly workspace: Workspace;
  readonly capabilities: ClientCapabilities;
  readonly settings: Settings;
}

/** The settings of section `spadework`, as the client has them. */
export interface Settings {
  readonly asOf?: string;
  readonly lenses?: { readonly enabled?: boolean };
  readonly inlayHints?: Readonly<Record<string, boolean>>;
  readonly format?: { readonly enabled?: boolean };
}
