import { basename, dirname, join } from "node:path";
import {
  MessageType,
  RenameFile,
  ShowMessageNotification,
  type ClientCapabilities,
  type Connection,
} from "vscode-languageserver";
import { plainMessage } from "../base/safe-text.ts";
import { misnamedInWords } from "../host/misnamed-words.ts";
import { meantFileName } from "../schema/kinds.ts";
import type { FeatureHost } from "./feature-host.ts";
import { mayRefuse } from "./may-refuse.ts";
import type { MisnamedFile } from "./workspace.ts";

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
    const words = misnamedInWords(files.map(({ inFolder }) => inFolder));
    if (!canRename(this.#host.capabilities)) return this.#show(words);
    const action = { title: files.length === 1 ? "Rename" : `Rename all ${files.length}` };
    const message = messageOf(words);
    const chosen = await this.#connection.window.showWarningMessage(message, action).catch(() => this.#show(words));
    if (chosen?.title === action.title) await this.#rename(files);
  }

  /** Some may have been renamed or deleted by now, and the name of another may be taken. */
  async #rename(files: readonly MisnamedFile[]): Promise<void> {
    const { workspace } = this.#host;
    const still = new Set(workspace.misnamed.map(({ path }) => path));
    const renames = new Map<string, MisnamedFile>();
    const kept: MisnamedFile[] = [];
    for (const file of files.filter(({ path }) => still.has(path))) {
      const target = join(dirname(file.path), meantFileName(basename(file.path))!);
      if (renames.has(target) || workspace.holds(target)) kept.push(file);
      else renames.set(target, file);
    }
    if (renames.size > 0) {
      const documentChanges = [...renames].map(([target, { path }]) =>
        RenameFile.create(this.#host.uriOf(path), this.#host.uriOf(target)),
      );
      const label = "Rename files of the season's records";
      const { applied, failureReason } = await this.#connection.workspace
        .applyEdit({ label, edit: { documentChanges } })
        .catch(() => ({ applied: false, failureReason: undefined }));
      if (!applied) await this.#show(`Renaming failed${failureReason ? `: ${failureReason}` : ""}`);
    }
    if (kept.length > 0) {
      const more = kept.length > 1 ? `, and ${kept.length - 1} more` : "";
      await this.#show(`${kept[0]!.inFolder}${more}: not renamed, since there is a file of the right name already`);
    }
  }

  async #show(words: string): Promise<void> {
    const warning = { type: MessageType.Warning, message: messageOf(words) };
    await this.#connection.sendNotification(ShowMessageNotification.type, warning);
  }
}

function messageOf(words: string): string {
  return `${plainMessage(words)}.`;
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
