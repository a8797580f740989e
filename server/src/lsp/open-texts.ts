import { TextDocuments, type Connection } from "vscode-languageserver";
import { TextDocument } from "vscode-languageserver-textdocument";
import { pathOfUri, uriOfPath } from "./paths.ts";

/** What has been edited since the last round. */
export interface Edits {
  /** The texts that count now, by absolute path; undefined for a file that was closed. */
  readonly changes: ReadonlyMap<string, string | undefined>;
  /** Files that were just opened: their findings are sent even where there are none. */
  readonly opened: ReadonlySet<string>;
  readonly versions: ReadonlyMap<string, number | undefined>;
}

export interface OpenTextsOptions {
  /** Called once no further message follows at once. */
  readonly onEdits: () => void;
  /** The client calls a file by another URI than before. */
  readonly onOtherUri: () => void;
}

/** The texts that are open in the client's editors, by the client's own names, and the edits that wait for the next round. */
export class OpenTexts {
  readonly #documents = new TextDocuments(TextDocument);
  readonly #options: OpenTextsOptions;
  /** What the client calls each open file, by absolute path: its own spelling of a URI is kept. */
  readonly #uris = new Map<string, string>();
  #pending = new Map<string, TextDocument | undefined>();
  #justOpened = new Set<string>();
  /** The versions that the present findings are of, by absolute path. */
  readonly #versions = new Map<string, number>();
  #editCount = 0;

  constructor(options: OpenTextsOptions) {
    this.#options = options;
  }

  listen(connection: Connection): void {
    this.#documents.onDidChangeContent(({ document }) => this.#edited(document));
    this.#documents.onDidClose(({ document }) => this.#closed(document));
    this.#documents.listen(connection);
  }

  get hasEdits(): boolean {
    return this.#pending.size > 0;
  }

  uriOf(path: string): string {
    return this.#uris.get(path) ?? uriOfPath(path);
  }

  /** Of the text that the present findings are of; undefined for a file that is not open. */
  versionOf(path: string): number | undefined {
    return this.#versions.get(path);
  }

  /** All edits that have come in by now, to be taken in as one: of a burst of keystrokes only the last state is looked at. */
  take(): Edits | undefined {
    if (!this.hasEdits) return undefined;
    const [pending, opened] = [this.#pending, this.#justOpened];
    this.#pending = new Map();
    this.#justOpened = new Set();
    return {
      changes: new Map([...pending].map(([path, document]) => [path, document?.getText()])),
      opened,
      versions: new Map([...pending].map(([path, document]) => [path, document?.version])),
    };
  }

  /** From now on the findings are of these edits. */
  settle({ versions }: Edits): void {
    for (const [path, version] of versions) {
      if (version === undefined) this.#versions.delete(path);
      else this.#versions.set(path, version);
    }
  }

  #edited(document: TextDocument): void {
    const path = pathOfUri(document.uri);
    if (path === undefined) return;
    if (!this.#uris.has(path)) this.#justOpened.add(path);
    this.#call(path, document.uri);
    this.#pending.set(path, document);
    this.#tellSoon();
  }

  #closed(document: TextDocument): void {
    const path = pathOfUri(document.uri);
    if (path === undefined) return;
    this.#call(path, undefined);
    this.#pending.set(path, undefined);
    this.#tellSoon();
  }

  #call(path: string, uri: string | undefined): void {
    const before = this.uriOf(path);
    if (uri === undefined) this.#uris.delete(path);
    else this.#uris.set(path, uri);
    if (this.uriOf(path) !== before) this.#options.onOtherUri();
  }

  /** Messages that came in together are handed over one by one: edits wait until none has followed for two turns. */
  #tellSoon(): void {
    const edits = ++this.#editCount;
    const ifLast = (then: () => void): void =>
      void setImmediate(() => {
        if (this.#editCount === edits) then();
      });
    ifLast(() => ifLast(this.#options.onEdits));
  }
}
