// A field's soil movement as a read-only document, whose lines lead back to the visits.
import * as vscode from "vscode";
import { soilLanguageId, soilScheme } from "./names.ts";
import { showPlaces, type LensPlace } from "./places.ts";
import type { Server } from "./server.ts";
import { textIn, ToldDocuments } from "./told-documents.ts";

/** The field a document is about, and a file of its book. */
interface Asked {
  readonly uri: string;
  readonly field: string;
}

export class SoilDocuments {
  readonly #server: Server;
  readonly #documents: ToldDocuments;

  constructor(server: Server) {
    this.#server = server;
    this.#documents = new ToldDocuments({
      scheme: soilScheme,
      languageId: soilLanguageId,
      tooltip: "Go to the visit",
      tell: async (asked) => {
        const [uri, field] = [textIn(asked, "uri"), textIn(asked, "field")];
        if (uri === undefined || field === undefined) return { text: "", links: [] };
        return server.ask("spadework/soilMovement", { uri, field });
      },
    });
  }

  register(): vscode.Disposable {
    return this.#documents.register();
  }

  /** Opens the soil movement of a field; where it cannot be had, the places of the chain. */
  async show({ uri, field }: Asked, places: readonly LensPlace[] = [], at?: LensPlace): Promise<void> {
    try {
      const { title } = await this.#server.ask("spadework/soilMovement", { uri, field });
      await this.#documents.open(title, { uri, field } satisfies Asked);
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
    this.#documents.refresh();
  }
}
