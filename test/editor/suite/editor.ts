// Small steps that the tests inside VS Code share.
import * as vscode from "vscode";
import type { SpadeworkExtension } from "../../../client/src/extension.ts";

const extensionId = "spadework.spadework";

/** Waits until the extension has started. */
export async function activateExtension(): Promise<SpadeworkExtension> {
  const extension = vscode.extensions.getExtension<SpadeworkExtension>(extensionId);
  if (!extension) throw new Error(`VS Code does not know the extension ${extensionId}.`);
  return extension.activate();
}

/** The folder that VS Code has open: a copy, free to be written in. */
export function workspaceFolder(): vscode.Uri {
  const folder = vscode.workspace.workspaceFolders?.[0];
  if (!folder) throw new Error("No folder is open.");
  return folder.uri;
}

/** Opens the first file of the workspace, by path, that matches a glob pattern. */
export async function openFile(pattern: string): Promise<vscode.TextEditor> {
  const files = await vscode.workspace.findFiles(pattern);
  const first = files.sort((a, b) => a.path.localeCompare(b.path))[0];
  if (!first) throw new Error(`No file of the workspace matches ${pattern}.`);
  return vscode.window.showTextDocument(first);
}

/** Writes a file into the workspace and returns its address. */
export async function writeFile(name: string, text: string): Promise<vscode.Uri> {
  const uri = vscode.Uri.joinPath(workspaceFolder(), name);
  await vscode.workspace.fs.writeFile(uri, new TextEncoder().encode(text));
  return uri;
}

/** The text of a file of the workspace as it is on disk. */
export async function readFile(name: string): Promise<string> {
  const bytes = await vscode.workspace.fs.readFile(vscode.Uri.joinPath(workspaceFolder(), name));
  return new TextDecoder().decode(bytes);
}

/** A finding as the editor has it. */
export interface ShownFinding {
  readonly code: string;
  readonly range: vscode.Range;
  readonly message: string;
  /** The page of its check. */
  readonly target: vscode.Uri | undefined;
}

/** The extension's findings of a file of the workspace, open or not. */
export function findingsOf(name: string): ShownFinding[] {
  const all = vscode.languages.getDiagnostics(vscode.Uri.joinPath(workspaceFolder(), name));
  return all
    .filter(({ source }) => source === "spadework")
    .map(({ code, range, message }) => {
      const value = typeof code === "object" ? code.value : code;
      return { code: String(value), range, message, target: typeof code === "object" ? code.target : undefined };
    });
}

/** Throws away every change that is not saved, and closes all editors. */
export async function revertAll(): Promise<void> {
  for (const document of vscode.workspace.textDocuments) {
    if (!document.isDirty) continue;
    await vscode.window.showTextDocument(document);
    await vscode.commands.executeCommand("workbench.action.files.revert");
  }
  await vscode.commands.executeCommand("workbench.action.closeAllEditors");
}

/** Asks again and again until an answer holds; returns it, or fails with what was awaited. */
export async function eventually<T>(what: string, ask: () => T | Promise<T>, seconds = 20): Promise<T & {}> {
  const end = Date.now() + seconds * 1000;
  for (;;) {
    const answer = await ask();
    if (answer) return answer;
    if (Date.now() > end) throw new Error(`In ${seconds} seconds there was no ${what}.`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}
