import { basename, dirname, join } from "node:path";
import {
  MessageType,
  RenameFile,
  ShowMessageNotification,
  type ClientCapabilities,
  type Connection,
} from "vscode-languageserver";
import { misnamedInWords } from "../host/misnamed-words.ts";
import { printable } from "../output/printable.ts";
import { meantFileName } from "../schema/kinds.ts";
import type { FeatureHost } from "./feature-host.ts";
import { mayRefuse } from "./may-refuse.ts";
import type { MisnamedFile } from "./workspace.ts";

const RENAME = { title: "Rename" };

/** Tells once of each such file, since nothing else is ever said of what stands in it, and offers to rename it. */
export class MisnamedFiles {
  readonly #connection: Connection;
  readonly #host: FeatureHost;
  readonly #told = new Set<string>();

  constructor(connection: Connection, host: FeatureHost) {
    this.#connection = connection;
    this.#host = host;
  }

  tell(files: readonly MisnamedFile[]): void {
    const fresh = files.filter(({ path }) => !this.#told.has(path));
    if (fresh.length === 0) return;
    for (const { path } of fresh) this.#told.add(path);
    mayRefuse(this.#tellOf(fresh));
  }

  async #tellOf(files: readonly MisnamedFile[]): Promise<void> {
    const message = `Spadework: ${printable(misnamedInWords(files.map(({ inFolder }) => inFolder)))}.`;
    const { window, workspace } = this.#connection;
    if (!canRename(this.#host.capabilities)) {
      await this.#connection.sendNotification(ShowMessageNotification.type, { type: MessageType.Warning, message });
      return;
    }
    const chosen = await window.showWarningMessage(message, RENAME);
    if (chosen?.title !== RENAME.title) return;
    const documentChanges = files.map(({ path }) =>
      RenameFile.create(this.#host.uriOf(path), this.#host.uriOf(join(dirname(path), meantFileName(basename(path))!))),
    );
    await workspace.applyEdit({ label: "Rename files of the season's records", edit: { documentChanges } });
  }
}

function canRename({ window, workspace }: ClientCapabilities): boolean {
  const { documentChanges, resourceOperations = [] } = workspace?.workspaceEdit ?? {};
  return (
    window?.showMessage !== undefined &&
    workspace?.applyEdit === true &&
    documentChanges === true &&
    resourceOperations.includes("rename")
  );
}
