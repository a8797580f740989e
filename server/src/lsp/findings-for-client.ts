import { join } from "node:path";
import {
  CodeLensRefreshRequest,
  DiagnosticRefreshRequest,
  DocumentDiagnosticReportKind,
  InlayHintRefreshRequest,
  SemanticTokensRefreshRequest,
  type CancellationToken,
  type Connection,
  type Diagnostic,
  type DocumentDiagnosticReport,
  type InitializeParams,
  type PublishDiagnosticsClientCapabilities,
  type WorkspaceDocumentDiagnosticReport,
} from "vscode-languageserver";
import type { DiagnosticOptions } from "./diagnostics.ts";
import type { FeatureHost } from "./feature-host.ts";
import { KnownDiagnostics, type KnownResult } from "./known-diagnostics.ts";
import { mayRefuse } from "./may-refuse.ts";
import type { OpenTexts } from "./open-texts.ts";
import { pathOfUri } from "./paths.ts";

/** Gives the client what is found: pushed to it, or pulled by those that can and do not ask for the other. */
export class FindingsForClient {
  readonly #connection: Connection;
  readonly #host: FeatureHost;
  readonly #texts: OpenTexts;
  readonly #known = new KnownDiagnostics();
  #isPulled = false;

  constructor(connection: Connection, host: FeatureHost, texts: OpenTexts) {
    this.#connection = connection;
    this.#host = host;
    this.#texts = texts;
  }

  get isPulled(): boolean {
    return this.#isPulled;
  }

  initialize({ capabilities, initializationOptions }: InitializeParams): void {
    const wantsPush = (initializationOptions as { diagnostics?: unknown } | undefined)?.diagnostics === "push";
    this.#isPulled = capabilities.textDocument?.diagnostic !== undefined && !wantsPush;
  }

  listen(): void {
    const { diagnostics } = this.#connection.languages;
    diagnostics.on(({ textDocument, previousResultId }, token) =>
      this.#pullFile(textDocument.uri, previousResultId, token),
    );
    diagnostics.onWorkspace(async ({ previousResultIds }, token) => ({
      items: await this.#pullAll(new Map(previousResultIds.map(({ uri, value }) => [uri, value])), token),
    }));
  }

  /** The client calls a file by another URI than before, which findings of other files may name too. */
  makeAnew(): void {
    this.#known.makeAnew();
  }

  /** @param opened files whose findings are sent even where there are none */
  publish(changed: ReadonlySet<string>, opened: ReadonlySet<string>): void {
    let hasChanged = false;
    const options = this.#options();
    for (const path of new Set([...changed, ...opened])) {
      const { result, isNew } = this.#known.update(path, this.#host.workspace.locate(path), options);
      hasChanged ||= isNew;
      if (this.#isPulled || (!isNew && !opened.has(path))) continue;
      const version = this.#texts.versionOf(path);
      const diagnostics = result.diagnostics as Diagnostic[];
      const params = { uri: this.#host.uriOf(path), diagnostics, ...(version !== undefined && { version }) };
      mayRefuse(this.#connection.sendDiagnostics(params));
    }
    if (this.#isPulled && hasChanged && this.#host.capabilities.workspace?.diagnostics?.refreshSupport)
      mayRefuse(this.#connection.sendRequest(DiagnosticRefreshRequest.type));
    if (changed.size > 0) this.refreshShown();
  }

  /** What the client shows may rest on another file than the one that was edited: it is asked to ask again. */
  refreshShown(): void {
    const { workspace } = this.#host.capabilities;
    if (workspace?.codeLens?.refreshSupport) mayRefuse(this.#connection.sendRequest(CodeLensRefreshRequest.type));
    if (workspace?.inlayHint?.refreshSupport) mayRefuse(this.#connection.sendRequest(InlayHintRefreshRequest.type));
    if (workspace?.semanticTokens?.refreshSupport)
      mayRefuse(this.#connection.sendRequest(SemanticTokensRefreshRequest.type));
  }

  #options(): DiagnosticOptions {
    const { textDocument } = this.#host.capabilities;
    // Up to 3.17 the protocol has no place for a client that pulls to say what it shows: then what it says of pushing holds.
    const pulled = this.#isPulled ? (textDocument?.diagnostic as Partial<PublishDiagnosticsClientCapabilities>) : {};
    const client = { ...textDocument?.publishDiagnostics, ...pulled };
    return {
      uriOf: (other) => this.#host.uriOf(other),
      withRelated: client.relatedInformation ?? false,
      pageOf: client.codeDescriptionSupport ? this.#host.host.pageOf : () => undefined,
    };
  }

  async #pullFile(
    uri: string,
    previous: string | undefined,
    token: CancellationToken,
  ): Promise<DocumentDiagnosticReport> {
    await this.#host.settled(token);
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
    await this.#host.settled(token);
    const { books } = this.#host.workspace;
    const paths = new Set(books.flatMap(({ root, live }) => live.book.files.map((file) => join(root, file.path))));
    // A file that is gone has no findings left, and its client has to be told so.
    for (const uri of previous.keys()) paths.add(pathOfUri(uri) ?? "");
    paths.delete("");
    return [...paths].map((path) => {
      const uri = this.#host.uriOf(path);
      const version = this.#texts.versionOf(path) ?? null;
      const { id, diagnostics } = this.#resultOf(path);
      return previous.get(uri) === id
        ? { kind: DocumentDiagnosticReportKind.Unchanged, uri, version, resultId: id }
        : { kind: DocumentDiagnosticReportKind.Full, uri, version, resultId: id, items: diagnostics as Diagnostic[] };
    });
  }

  #resultOf(path: string): KnownResult {
    return this.#known.update(path, this.#host.workspace.locate(path), this.#options()).result;
  }
}
