// Read-only documents that the server tells, and tells anew when the records change; their lines lead back to the records.
import * as vscode from "vscode";
import { locationOf } from "./places.ts";
import type { Told } from "./protocol.ts";

/** A kind of such documents. */
export interface Telling {
  readonly scheme: string;
  readonly languageId: string;
  /** What a click on a link does. */
  readonly tooltip: string;
  /** @param asked what the document was opened with; a document may be older than the extension that has to tell it */
  readonly tell: (asked: unknown) => Promise<Told>;
}

export class ToldDocuments implements vscode.TextDocumentContentProvider, vscode.DocumentLinkProvider {
  readonly #telling: Telling;
  readonly #changed = new vscode.EventEmitter<vscode.Uri>();
  /** By document. Kept when one is closed: the editor does that, too, when it only gives a document its language. */
  readonly #links = new Map<string, Told["links"]>();
  readonly onDidChange = this.#changed.event;

  constructor(telling: Telling) {
    this.#telling = telling;
  }

  register(): vscode.Disposable {
    const { scheme } = this.#telling;
    return vscode.Disposable.from(
      this.#changed,
      vscode.workspace.registerTextDocumentContentProvider(scheme, this),
      vscode.languages.registerDocumentLinkProvider({ scheme }, this),
    );
  }

  /** Opens the document that answers what is asked. */
  async open(title: string, asked: unknown): Promise<void> {
    const { scheme, languageId } = this.#telling;
    const path = title.replace(/[/\\?#]/g, " ");
    const address = vscode.Uri.from({ scheme, path, query: JSON.stringify(asked) });
    this.#changed.fire(address);
    const opened = await vscode.workspace.openTextDocument(address);
    const document = await vscode.languages.setTextDocumentLanguage(opened, languageId);
    await vscode.window.showTextDocument(document, { viewColumn: vscode.ViewColumn.Beside, preview: true });
  }

  /** Has every open one told anew. */
  refresh(): void {
    for (const { uri } of vscode.workspace.textDocuments)
      if (uri.scheme === this.#telling.scheme) this.#changed.fire(uri);
  }

  async provideTextDocumentContent(address: vscode.Uri): Promise<string> {
    const { text, links } = await this.#telling.tell(readQuery(address));
    this.#links.set(address.toString(), links);
    return text;
  }

  provideDocumentLinks({ uri }: vscode.TextDocument): vscode.DocumentLink[] {
    return (this.#links.get(uri.toString()) ?? []).map(({ range: { start, end }, target }) => {
      const place = locationOf(target);
      const { line, character } = place.range.start;
      const fragment = `L${line + 1},${character + 1}`;
      const range = new vscode.Range(start.line, start.character, end.line, end.character);
      const link = new vscode.DocumentLink(range, place.uri.with({ fragment }));
      link.tooltip = this.#telling.tooltip;
      return link;
    });
  }
}

function readQuery({ query }: vscode.Uri): unknown {
  try {
    return JSON.parse(query) as unknown;
  } catch {
    return undefined;
  }
}

/** The texts of that name in what a document was opened with. */
export function textIn(asked: unknown, name: string): string | undefined {
  const value: unknown = typeof asked === "object" && asked !== null ? Reflect.get(asked, name) : undefined;
  return typeof value === "string" ? value : undefined;
}
