// The VS Code shell: starts the language server beside it and hands the editor's events over. Everything that knows what
// a record means lives in the server, which this file never imports.
import * as vscode from "vscode";
import { LanguageClient, TransportKind } from "vscode-languageclient/node";
import type { LanguageClientOptions, ServerOptions } from "vscode-languageclient/node";
import { serverFile, languageId } from "./names.ts";

/** What `activate` hands to other extensions and to the tests. */
export interface SpadeworkExtension {
  /** Settles when the first start has ended: the server answers, or it could not be started and the keeper was told. */
  readonly started: Promise<"running" | "not running">;
}

let client: LanguageClient | undefined;

export function activate(context: vscode.ExtensionContext): SpadeworkExtension {
  const log = vscode.window.createOutputChannel("Spadework", { log: true });
  context.subscriptions.push(
    log,
    vscode.commands.registerCommand("spadework.restart", async () => {
      await stop();
      await start(context, log);
    }),
  );
  return { started: start(context, log) };
}

export function deactivate(): Promise<void> {
  return stop();
}

async function start(
  context: vscode.ExtensionContext,
  log: vscode.LogOutputChannel,
): Promise<"running" | "not running"> {
  const module = vscode.Uri.joinPath(context.extensionUri, ...serverFile);
  if (!(await exists(module))) {
    tell(log, "Spadework cannot check the records: a part of the extension is missing. Install the extension again.");
    log.error(`There is no ${module.fsPath}. In a copy of the source, \`npm run build\` makes it.`);
    return "not running";
  }
  const run = { module: module.fsPath, transport: TransportKind.ipc };
  const debug = { ...run, options: { execArgv: ["--nolazy", "--inspect=6009"] } };
  const server: ServerOptions = { run, debug };
  const starting = new LanguageClient("spadework", "Spadework", server, clientOptions(log));
  client = starting;
  try {
    await starting.start();
    return "running";
  } catch (error) {
    if (client === starting) client = undefined;
    tell(log, "Spadework cannot check the records: its language server did not start. The output shows why.");
    log.error(error instanceof Error ? error : String(error));
    return "not running";
  }
}

/** Weather files are CSV, but the server reads them too: their name, not their language, says what they are. */
function clientOptions(log: vscode.LogOutputChannel): LanguageClientOptions {
  return {
    documentSelector: [
      { scheme: "file", language: languageId },
      { scheme: "file", pattern: "**/*.weather.csv" },
    ],
    outputChannel: log,
  };
}

async function stop(): Promise<void> {
  const stopping = client;
  client = undefined;
  // A server that died cannot be told to stop; there is nothing left to do about it.
  await stopping?.dispose().catch(() => undefined);
}

async function exists(file: vscode.Uri): Promise<boolean> {
  try {
    await vscode.workspace.fs.stat(file);
    return true;
  } catch {
    return false;
  }
}

function tell(log: vscode.LogOutputChannel, message: string): void {
  void vscode.window.showErrorMessage(message, "Show the output").then((choice) => choice && log.show());
}
