// "Review this change": what the change that is not committed does to the season, as a read-only document beside the records.
import * as vscode from "vscode";
import { changeLanguageId, changeScheme } from "./names.ts";
import { onCommits } from "./commits.ts";
import { pickBook } from "./pick-book.ts";
import type { Server } from "./server.ts";
import { textIn, ToldDocuments } from "./told-documents.ts";

const untrusted =
  "Trust this folder first: a review runs git on it, and until then no program is run on what a stranger may have written.";

export class ChangeDocuments implements vscode.Disposable {
  readonly #server: Server;
  readonly #documents: ToldDocuments;
  #commits: vscode.Disposable | undefined;

  constructor(server: Server) {
    this.#server = server;
    this.#documents = new ToldDocuments({
      scheme: changeScheme,
      languageId: changeLanguageId,
      tooltip: "Go to the record",
      // A document that is open already says what has become of it: there is no other place to tell it.
      tell: (asked) =>
        this.#ask(textIn(asked, "uri") ?? "").catch((error: unknown) => ({ text: sayWhy(error), links: [] })),
    });
  }

  register(): vscode.Disposable {
    return vscode.Disposable.from(this, this.#documents.register());
  }

  dispose(): void {
    this.#commits?.dispose();
  }

  /** @param repository what the title of the Source Control view hands over */
  async show(repository?: { readonly rootUri?: vscode.Uri }): Promise<void> {
    const uri = await pickBook(this.#server, { title: "Review this change", repository: repository?.rootUri });
    if (uri === undefined) return;
    // What stands in the way is told at once, and no document is opened for it.
    const { root } = await this.#ask(uri);
    const name = vscode.workspace.asRelativePath(vscode.Uri.parse(root, true), true).split("/").at(-1) ?? "";
    await this.#documents.open(`Review of the change in ${name}`, { uri: root });
    this.#commits ??= await onCommits(() => this.refresh());
  }

  /** Has every open one told anew: the records have changed, or something was committed. */
  refresh(): void {
    this.#documents.refresh();
  }

  async #ask(uri: string) {
    if (!vscode.workspace.isTrusted) throw new Error(untrusted);
    return this.#server.ask("spadework/reviewChange", { uri });
  }
}

function sayWhy(error: unknown): string {
  return `${error instanceof Error ? error.message : String(error)}\n`;
}
