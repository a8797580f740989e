import {
  DidChangeConfigurationNotification,
  DidChangeWatchedFilesNotification,
  LSPErrorCodes,
  ResponseError,
  TextDocumentSyncKind,
  type CancellationToken,
  type ClientCapabilities,
  type Connection,
  type InitializeParams,
  type InitializeResult,
  type WorkspaceFoldersChangeEvent,
} from "vscode-languageserver";
import { RULES } from "../../generated/rules.ts";
import { parseDay } from "../base/days.ts";
import type { BookOptions } from "../book/book.ts";
import { registerCommands } from "./commands.ts";
import { featureCapabilities, registerFeatures } from "./features.ts";
import type { FeatureHost, ServerHost } from "./feature-host.ts";
import { FindingsForClient } from "./findings-for-client.ts";
import { MisnamedFiles } from "./misnamed-files.ts";
import { mayRefuse } from "./may-refuse.ts";
import { OpenTexts } from "./open-texts.ts";
import { pathOfUri } from "./paths.ts";
import { DEFAULT_SETTINGS, FolderSettings, settingsOf, type Settings } from "./settings.ts";
import { warmUp } from "./warm-up.ts";
import { Workspace, type LocatedFile } from "./workspace.ts";

const WATCHED = [
  "**/season.yaml",
  // Those in `.yml` are passed over, and spoken of.
  "**/season.yml",
  "**/*.{fields,equipment,rotations,visits,cleanings,samples,region}.{yaml,yml}",
  "**/*.weather.csv",
];

/** Wires a connection to a workspace; nothing is read before the client says that it is ready. */
export function startServer(connection: Connection, host: ServerHost): void {
  new Session(connection, host).listen();
}

class Session implements FeatureHost {
  readonly host: ServerHost;
  readonly workspace: Workspace;
  capabilities: ClientCapabilities = {};
  hasEditorCommands = false;
  readonly #connection: Connection;
  readonly #texts: OpenTexts;
  readonly #findings: FindingsForClient;
  readonly #misnamed: MisnamedFiles;
  /** The open folders, as the client calls them. */
  #folders: readonly string[] = [];
  readonly #settings = new FolderSettings();
  /** Rounds run one after the other: each sees the state that the one before has left. */
  #queue: Promise<void> = Promise.resolve();
  #progress: ((read: number, all: number) => void) | undefined;

  constructor(connection: Connection, host: ServerHost) {
    this.#connection = connection;
    this.host = host;
    const onProgress = (read: number, all: number): void => this.#progress?.(read, all);
    this.#texts = new OpenTexts({
      onEdits: () => this.#takeInEdits(),
      onOtherUri: () => this.#findings.makeAnew(),
    });
    this.#findings = new FindingsForClient(connection, this, this.#texts);
    this.#misnamed = new MisnamedFiles(connection, this);
    this.workspace = new Workspace({ rules: RULES, optionsOf: (root) => this.#bookOptions(root), onProgress });
  }

  listen(): void {
    const connection = this.#connection;
    connection.onInitialize((params) => this.#initialize(params));
    connection.onInitialized(() => this.#start());
    this.#texts.listen(connection);
    connection.onDidChangeWatchedFiles(({ changes }) => {
      const paths = changes.flatMap(({ uri }) => pathOfUri(uri) ?? []);
      this.#round(() => this.workspace.filesChanged(paths));
    });
    connection.onDidChangeConfiguration((params) =>
      this.#round(async () => {
        const changed = await this.#readSettings(params?.settings);
        // Lenses and hints may have been turned on or off, whatever becomes of the findings.
        if (changed.size === 0) this.#findings.refreshShown();
        return changed;
      }),
    );
    this.#findings.listen();
    registerFeatures(connection, this);
    registerCommands(connection, this);
    connection.listen();
  }

  async settled(token?: CancellationToken): Promise<void> {
    this.#takeInEdits();
    await this.#queue;
    if (token?.isCancellationRequested)
      throw new ResponseError(LSPErrorCodes.RequestCancelled, "The answer is not wanted any more.");
  }

  settingsOf(path: string): Settings {
    return this.#settings.of(path);
  }

  locate(uri: string): LocatedFile | undefined {
    const path = pathOfUri(uri);
    return path === undefined ? undefined : this.workspace.locate(path);
  }

  uriOf(path: string): string {
    return this.#texts.uriOf(path);
  }

  #initialize(params: InitializeParams): InitializeResult {
    this.capabilities = params.capabilities;
    const { editorCommands } = (params.initializationOptions ?? {}) as { editorCommands?: unknown };
    this.hasEditorCommands = editorCommands === true;
    this.#folders = params.workspaceFolders?.map(({ uri }) => uri) ?? (params.rootUri ? [params.rootUri] : []);
    this.#findings.initialize(params);
    return {
      serverInfo: { name: "spadework", version: this.host.version },
      capabilities: {
        textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental },
        workspace: { workspaceFolders: { supported: true, changeNotifications: true } },
        ...(this.#findings.isPulled && {
          diagnosticProvider: { identifier: "spadework", interFileDependencies: true, workspaceDiagnostics: true },
        }),
        ...featureCapabilities(params.capabilities),
      },
    };
  }

  #start(): void {
    const { workspace } = this.capabilities;
    if (workspace?.didChangeWatchedFiles?.dynamicRegistration) {
      // A folder that is deleted tells of itself alone, not of the files in it; hence the last pattern (4 is "delete").
      const watchers = [...WATCHED.map((globPattern) => ({ globPattern })), { globPattern: "**/*", kind: 4 }];
      mayRefuse(this.#connection.client.register(DidChangeWatchedFilesNotification.type, { watchers }));
    }
    if (workspace?.didChangeConfiguration?.dynamicRegistration)
      mayRefuse(this.#connection.client.register(DidChangeConfigurationNotification.type, { section: "spadework" }));
    if (workspace?.workspaceFolders) {
      this.#connection.workspace.onDidChangeWorkspaceFolders((event: Partial<WorkspaceFoldersChangeEvent> = {}) => {
        const { added = [], removed = [] } = event;
        const gone = new Set(removed.map(({ uri }) => pathOfUri(uri)));
        const kept = this.#folders.filter((uri) => !gone.has(pathOfUri(uri)));
        this.#folders = [...kept, ...added.map(({ uri }) => uri)];
        this.#round(() => this.#readSettings());
        this.#round(() => this.workspace.setFolders(this.#folderPaths()));
      });
    }
    this.#round(() => this.#readSettings());
    this.#round(() => this.#firstRead());
    void this.settled().then(() => {
      this.host.onFirstRead?.();
      this.#warmUp();
    });
  }

  /** Between what the client asks, and only until it has something to say. */
  #warmUp(): void {
    const [book] = [...this.workspace.books].sort((a, b) => b.live.book.files.length - a.live.book.files.length);
    const steps = book && warmUp(book.live);
    const next = (): void => {
      if (this.#texts.hasEdits || !book || !this.workspace.books.includes(book)) return;
      this.#queue = this.#queue.then(() => {
        try {
          if (steps?.next().done === false) setImmediate(next);
        } catch (error) {
          this.#tell(error);
        }
      });
    };
    next();
  }

  async #firstRead(): Promise<ReadonlySet<string>> {
    if (!this.capabilities.window?.workDoneProgress) return this.workspace.setFolders(this.#folderPaths());
    const progress = await this.#connection.window.createWorkDoneProgress().catch(() => undefined);
    // A client that will not show it after all gets its findings all the same.
    if (!progress) return this.workspace.setFolders(this.#folderPaths());
    progress.begin("Reading the season's records", 0);
    this.#progress = (read, all) =>
      progress.report(Math.round((read / Math.max(1, all)) * 100), `${read} of ${all} files`);
    try {
      return await this.workspace.setFolders(this.#folderPaths());
    } finally {
      this.#progress = undefined;
      progress.done();
    }
  }

  #folderPaths(): string[] {
    return this.#folders.flatMap((uri) => pathOfUri(uri) ?? []);
  }

  /** @param sent what a client that cannot be asked has sent of itself: all its settings, by section */
  async #readSettings(sent?: unknown): Promise<ReadonlySet<string>> {
    if (this.capabilities.workspace?.configuration) {
      const section = "spadework";
      const items = [{ section }, ...this.#folders.map((scopeUri) => ({ scopeUri, section }))];
      const found: unknown = await this.#connection.workspace.getConfiguration(items);
      const [elsewhere, ...ofFolders] = Array.isArray(found) ? found.map(settingsOf) : [];
      const paths = this.#folders.map((uri, i) => [pathOfUri(uri) ?? uri, ofFolders[i] ?? DEFAULT_SETTINGS] as const);
      this.#settings.set(new Map(paths), elsewhere ?? DEFAULT_SETTINGS);
    } else if (typeof sent === "object" && sent !== null && "spadework" in sent) {
      this.#settings.set(new Map(), settingsOf(sent.spadework));
    }
    return this.workspace.refreshOptions();
  }

  #bookOptions(root: string): BookOptions {
    const today = this.host.today();
    const asked = parseDay(this.settingsOf(root).asOf);
    return { asOf: asked ?? today, today, allSeasons: false };
  }

  /** All edits that have come in by now make one round. */
  #takeInEdits(): void {
    const edits = this.#texts.take();
    if (!edits) return;
    this.#round(() => {
      this.#texts.settle(edits);
      return this.workspace.setOpen(edits.changes);
    }, edits.opened);
  }

  /** One change of the state, and afterwards the findings that it changed. A failure is told, and ends nothing. */
  #round(change: () => Promise<ReadonlySet<string>>, opened: ReadonlySet<string> = new Set()): void {
    this.#queue = this.#queue.then(async () => {
      try {
        const changed = await change();
        // Midnight may have passed since the last round: what was due today is overdue.
        this.#findings.publish(new Set([...changed, ...this.workspace.refreshOptions()]), opened);
        this.#misnamed.tell(this.workspace.misnamed);
      } catch (error) {
        this.#tell(error);
      }
    });
  }

  #tell(error: unknown): void {
    this.#connection.console.error(error instanceof Error ? (error.stack ?? error.message) : String(error));
  }
}
