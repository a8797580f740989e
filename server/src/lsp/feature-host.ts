import type { CancellationToken, ClientCapabilities } from "vscode-languageserver";
import type { Settings } from "./settings.ts";
import type { LocatedFile, Workspace } from "./workspace.ts";

export interface ServerHost {
  /** Days since 1970-01-01, from the clock. */
  readonly today: () => number;
  /** Minutes since 1970-01-01T00:00 of the local clock. */
  readonly now: () => number;
  /** The address of a rule's page. */
  readonly pageOf: (code: string) => string | undefined;
  /** The address of the text of a region pack that comes with the program. */
  readonly packOf?: (name: string) => string | undefined;
  readonly version: string;
  /** Told once every book has been read for the first time. */
  readonly onFirstRead?: () => void;
}

/** What a feature's handler may ask of the session. */
export interface FeatureHost {
  readonly host: ServerHost;
  /**
   * Resolves once every edit so far has been taken in.
   *
   * @throws {ResponseError} where the client does not want the answer any more
   */
  settled(token?: CancellationToken): Promise<void>;
  locate(uri: string): LocatedFile | undefined;
  uriOf(path: string): string;
  readonly workspace: Workspace;
  readonly capabilities: ClientCapabilities;
  /** Whether the client knows the commands of VS Code, to suggest again after a completion. */
  readonly hasEditorCommands: boolean;
  /** The settings that hold for a file or folder, by its absolute path. */
  settingsOf(path: string): Settings;
}
