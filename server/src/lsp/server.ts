import { join } from "node:path";
import {
  CodeLensRefreshRequest,
  DidChangeConfigurationNotification,
  DidChangeWatchedFilesNotification,
  DocumentDiagnosticReportKind,
  LSPErrorCodes,
  ResponseError,
  TextDocumentSyncKind,
  TextDocuments,
  type CancellationToken,
  type ClientCapabilities,
  type Connection,
  type Diagnostic,
  type DocumentDiagnosticReport,
  type InitializeParams,
  type InitializeResult,
  type PublishDiagnosticsClientCapabilities,
  type WorkspaceDocumentDiagnosticReport,
  type WorkspaceFoldersChangeEvent,
} from "vscode-languageserver";
import { TextDocument } from "vscode-languageserver-textdocument";
import { RULES } from "../../generated/rules.ts";
import { parseDay } from "../base/days.ts";
import type { BookOptions } from "../book/book.ts";
import { registerCommands } from "./commands.ts";
import type { DiagnosticOptions } from "./diagnostics.ts";
import { featureCapabilities, registerFeatures } from "./features.ts";
import type { FeatureHost, ServerHost } from "./feature-host.ts";
import { KnownDiagnostics, type KnownResult } from "./known-diagnostics.ts";
import { pathOfUri, uriOfPath } from "./paths.ts";
import { DEFAULT_SETTINGS, FolderSettings, settingsOf, type Settings } from "./settings.ts";
import { warmUp } from "./warm-up.ts";
import { Workspace, type LocatedFile } from "./workspace.ts";

const WATCHED = [
  "**/season.yaml",
  "**/*.{fields,equipment,rotations,visits,cleanings,samples,region}.yaml",
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
  readonly #connection: Connection;
  readonly #documents = new TextDocuments(TextDocument);
  /** The open folders, as the client calls them. */
  #folders: readonly string[] = [];
  readonly #settings = new FolderSettings();
  #isPulled = false;
  /** What the client calls each open file, by absolute path: its own spelling of a URI is kept. */
  readonly #uris = new Map<string, string>();
  readonly #diagnostics = new KnownDiagnostics();
  /** Edits that wait for the next round, by absolute path; undefined for a file that was closed. */
  #pending = new Map<string, TextDocument | undefined>();
  #editCount = 0;
  /** The versions of open files that the present findings are of, by absolute path. */
  readonly #versions = new Map<string, number>();
  /** Files that were just opened: their findings are sent even where there are none. */
  #justOpened = new Set<string>();
  /** Rounds run one after the other: each sees the state that the one before has left. */
  #queue: Promise<void> = Promise.resolve();
  #progress: ((read: number, all: number) => void) | undefined;

  constructor(connection: Connection, host: ServerHost) {
    this.#connection = connection;
    this.host = host;
    const onProgress = (read: number, all: number): void => this.#progress?.(read, all);
    this.workspace = new Workspace({ rules: RULES, optionsOf: (root) => this.#bookOptions(root), onProgress });
  }

  listen(): void {
    const connection = this.#connection;
    connection.onInitialize((params) => this.#initialize(params));
    connection.onInitialized(() => this.#start());
    this.#documents.onDidChangeContent(({ document }) => this.#edited(document));
    this.#documents.onDidClose(({ document }) => this.#closed(document));
    this.#documents.listen(connection);
    connection.onDidChangeWatchedFiles(({ changes }) => {
      const paths = changes.flatMap(({ uri }) => pathOfUri(uri) ?? []);
      this.#round(() => this.workspace.filesChanged(paths));
    });
    connection.onDidChangeConfiguration((params) =>
      this.#round(async () => {
        const changed = await this.#readSettings(params?.settings);
        // Lenses and hints may have been turned on or off, whatever becomes of the findings.
        if (changed.size === 0) this.#refresh(false, true);
        return changed;
      }),
    );
    connection.languages.diagnostics.on(({ textDocument, previousResultId }, token) =>
      this.#pullFile(textDocument.uri, previousResultId, token),
    );
    connection.languages.diagnostics.onWorkspace(async ({ previousResultIds }, token) => ({
      items: await this.#pullAll(new Map(previousResultIds.map(({ uri, value }) => [uri, value])), token),
    }));
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
    return this.#uris.get(path) ?? uriOfPath(path);
  }

  #initialize(params: InitializeParams): InitializeResult {
    this.capabilities = params.capabilities;
    this.#folders = params.workspaceFolders?.map(({ uri }) => uri) ?? (params.rootUri ? [params.rootUri] : []);
    const wantsPush = (params.initializationOptions as { diagnostics?: unknown } | undefined)?.diagnostics === "push";
    this.#isPulled = params.capabilities.textDocument?.diagnostic !== undefined && !wantsPush;
    return {
      serverInfo: { name: "spadework", version: this.host.version },
      capabilities: {
        textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental },
        workspace: { workspaceFolders: { supported: true, changeNotifications: true } },
        ...(this.#isPulled && {
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
      void this.#connection.client.register(DidChangeWatchedFilesNotification.type, { watchers });
    }
    if (workspace?.didChangeConfiguration?.dynamicRegistration)
      void this.#connection.client.register(DidChangeConfigurationNotification.type, { section: "spadework" });
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
      if (this.#pending.size > 0 || !book || !this.workspace.books.includes(book)) return;
      this.#queue = this.#queue.then(() => {
        if (steps?.next().done === false) setImmediate(next);
      });
    };
    next();
  }

  async #firstRead(): Promise<ReadonlySet<string>> {
    if (!this.capabilities.window?.workDoneProgress) return this.workspace.setFolders(this.#folderPaths());
    const progress = await this.#connection.window.createWorkDoneProgress();
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

  #edited(document: TextDocument): void {
    const path = pathOfUri(document.uri);
    if (path === undefined) return;
    if (!this.#uris.has(path)) this.#justOpened.add(path);
    this.#call(path, document.uri);
    this.#pending.set(path, document);
    this.#takeInSoon();
  }

  #closed(document: TextDocument): void {
    const path = pathOfUri(document.uri);
    if (path === undefined) return;
    this.#call(path, undefined);
    this.#pending.set(path, undefined);
    this.#takeInSoon();
  }

  #call(path: string, uri: string | undefined): void {
    if (this.uriOf(path) !== (uri ?? uriOfPath(path))) this.#diagnostics.makeAnew();
    if (uri === undefined) this.#uris.delete(path);
    else this.#uris.set(path, uri);
  }

  /** Messages that came in together are handed over one by one: edits wait until none has followed for two turns. */
  #takeInSoon(): void {
    const edits = ++this.#editCount;
    const ifLast = (then: () => void): void =>
      void setImmediate(() => {
        if (this.#editCount === edits) then();
      });
    ifLast(() => ifLast(() => this.#takeInEdits()));
  }

  /** All edits that have come in by now make one round: of a burst of keystrokes only the last state is looked at. */
  #takeInEdits(): void {
    if (this.#pending.size === 0) return;
    const pending = this.#pending;
    const opened = this.#justOpened;
    this.#pending = new Map();
    this.#justOpened = new Set();
    const changes = new Map<string, string | undefined>();
    const versions = new Map<string, number | undefined>();
    for (const [path, document] of pending) {
      changes.set(path, document?.getText());
      versions.set(path, document?.version);
    }
    this.#round(() => {
      for (const [path, version] of versions) {
        if (version === undefined) this.#versions.delete(path);
        else this.#versions.set(path, version);
      }
      return this.workspace.setOpen(changes);
    }, opened);
  }

  /** One change of the state, and afterwards the findings that it changed. A failure is told, and ends nothing. */
  #round(change: () => Promise<ReadonlySet<string>>, opened: ReadonlySet<string> = new Set()): void {
    this.#queue = this.#queue.then(async () => {
      try {
        const changed = await change();
        // Midnight may have passed since the last round: what was due today is overdue.
        this.#publish(new Set([...changed, ...this.workspace.refreshOptions()]), opened);
      } catch (error) {
        this.#connection.console.error(error instanceof Error ? (error.stack ?? error.message) : String(error));
      }
    });
  }

  #publish(changed: ReadonlySet<string>, opened: ReadonlySet<string>): void {
    const all = new Set([...changed, ...opened]);
    let hasChanged = false;
    const options = this.#diagnosticOptions();
    for (const path of all) {
      const { result, isNew } = this.#diagnostics.update(path, this.workspace.locate(path), options);
      hasChanged ||= isNew;
      if (this.#isPulled || (!isNew && !opened.has(path))) continue;
      const version = this.#versions.get(path);
      const diagnostics = result.diagnostics as Diagnostic[];
      const params = { uri: this.uriOf(path), diagnostics, ...(version !== undefined && { version }) };
      void this.#connection.sendDiagnostics(params);
    }
    this.#refresh(hasChanged, changed.size > 0);
  }

  /** What the client shows may rest on another file than the one that was edited: it is asked to ask again. */
  #refresh(hasFindingsChanged: boolean, hasChanged: boolean): void {
    const { workspace } = this.capabilities;
    if (this.#isPulled && hasFindingsChanged && workspace?.diagnostics?.refreshSupport)
      void this.#connection.languages.diagnostics.refresh();
    if (!hasChanged) return;
    if (workspace?.codeLens?.refreshSupport) void this.#connection.sendRequest(CodeLensRefreshRequest.type);
    if (workspace?.inlayHint?.refreshSupport) void this.#connection.languages.inlayHint.refresh();
    if (workspace?.semanticTokens?.refreshSupport) void this.#connection.languages.semanticTokens.refresh();
  }

  #diagnosticOptions(): DiagnosticOptions {
    const { textDocument } = this.capabilities;
    // Up to 3.17 the protocol has no place for a client that pulls to say what it shows: then what it says of pushing holds.
    const pulled = this.#isPulled ? (textDocument?.diagnostic as Partial<PublishDiagnosticsClientCapabilities>) : {};
    const client = { ...textDocument?.publishDiagnostics, ...pulled };
    return {
      uriOf: (other) => this.uriOf(other),
      withRelated: client.relatedInformation ?? false,
      pageOf: client.codeDescriptionSupport ? this.host.pageOf : () => undefined,
    };
  }

  async #pullFile(
    uri: string,
    previous: string | undefined,
    token: CancellationToken,
  ): Promise<DocumentDiagnosticReport> {
    await this.settled(token);
    const path = pathOfUri(uri);
    if (path === undefined) return { kind: DocumentDiagnosticReportKind.Full, items: [] };
    const { id, diagnostics } = this.#resultOf(path);
    if (id === previous) return { kind: DocumentDiagnosticReportKind.Unchanged, resultId: id };
    return { kind: DocumentDiagnosticReportKind.Full, resultId: id, items: diagnostics as Diagnostic[] };
  }

  async #pullAll(
    previous: ReadonlyMap<string, string>,
    token: CancellationToken,
  ): Promise<WorkspaceDocumentDiagnosticReport[]> {
    await this.settled(token);
    const paths = new Set(
      this.workspace.books.flatMap(({ root, live }) => live.book.files.map((file) => join(root, file.path))),
    );
    // A file that is gone has no findings left, and its client has to be told so.
    for (const uri of previous.keys()) paths.add(pathOfUri(uri) ?? "");
    paths.delete("");
    return [...paths].map((path) => {
      const uri = this.uriOf(path);
      const version = this.#versions.get(path) ?? null;
      const { id, diagnostics } = this.#resultOf(path);
      return previous.get(uri) === id
        ? { kind: DocumentDiagnosticReportKind.Unchanged, uri, version, resultId: id }
        : { kind: DocumentDiagnosticReportKind.Full, uri, version, resultId: id, items: diagnostics as Diagnostic[] };
    });
  }

  #resultOf(path: string): KnownResult {
    return this.#diagnostics.update(path, this.workspace.locate(path), this.#diagnosticOptions()).result;
  }
}
