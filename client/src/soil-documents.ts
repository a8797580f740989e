// A field's soil movement as a read-only document, whose lines lead back to the visits.
import * as vscode from "vscode";
import { soilLanguageId, soilScheme } from "./names.ts";
import { locationOf, showPlaces, type LensPlace } from "./places.ts";
import type { SoilMovement } from "./protocol.ts";
import type { Server } from "./server.ts";

/** The field a document is about, and a file of its book. */
interface Asked {
  readonly uri: string;
  readonly field: string;
}

export class SoilDocuments implements vscode.TextDocumentContentProvider, vscode.DocumentLinkProvider {
  readonly #server: Server;
  readonly #changed = new vscode.EventEmitter<vscode.Uri>();
  /** By document. Kept when one is closed: the editor does that, too, when it only gives a document its language. */
  readonly #links = new Map<string, SoilMovement["links"]>();
  readonly onDidChange = this.#changed.event;

  constructor(server: Server) {
    this.#server = server;
  }

  register(): vscode.Disposable {
    return vscode.Disposable.from(
      this.#changed,
      vscode.workspace.registerTextDocumentContentProvider(soilScheme, this),
      vscode.languages.registerDocumentLinkProvider({ scheme: soilScheme }, this),
    );
  }

  /** Opens the soil movement of a field; where it cannot be had, the places of the chain. */
  async show({ uri, field }: Asked, places: readonly LensPlace[] = [], at?: LensPlace): Promise<void> {
    try {
      const { title } = await this.#server.ask("spadework/soilMovement", { uri, field });
      const name = title.replace(/[/\\?#]/g, " ");
      const query = JSON.stringify({ uri, field } satisfies Asked);
      const address = vscode.Uri.from({ scheme: soilScheme, path: name, query });
      this.#changed.fire(address);
      const opened = await vscode.workspace.openTextDocument(address);
      const document = await vscode.languages.setTextDocumentLanguage(opened, soilLanguageId);
      await vscode.window.showTextDocument(document, { viewColumn: vscode.ViewColumn.Beside, preview: true });
    } catch (error) {
      if (places.length === 0) throw error;
      await showPlaces(places, at);
    }
  }

  /** Opens that of the field under the cursor. */
  async showAtCursor(): Promise<void> {
    const editor = vscode.window.activeTextEditor;
    if (!editor) throw new Error("Open a file of the records, and put the cursor on a field.");
    const { line, character } = editor.selection.active;
    const uri = editor.document.uri.toString();
    const { field } = await this.#server.ask("spadework/soilMovement", { uri, position: { line, character } });
    await this.show({ uri, field });
  }

  /** Has every open one told anew: the records have changed. */
  refresh(): void {
    for (const { uri } of vscode.workspace.textDocuments) if (uri.scheme === soilScheme) this.#changed.fire(uri);
  }

  async provideTextDocumentContent(address: vscode.Uri): Promise<string> {
    const asked = readQuery(address);
    if (!asked) return "";
    const { text, links } = await this.#server.ask("spadework/soilMovement", asked);
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
      link.tooltip = "Go to the visit";
      return link;
    });
  }
}

function readQuery({ query }: vscode.Uri): Asked | undefined {
  try {
    const { uri, field } = JSON.parse(query) as Partial<Asked>;
    return typeof uri === "string" && typeof field === "string" ? { uri, field } : undefined;
  } catch {
    return undefined;
  }
}
