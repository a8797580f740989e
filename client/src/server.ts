// Starts and stops the language server beside the extension, and asks it what the extension's own commands need to know.
import * as vscode from "vscode";
import { LanguageClient, TransportKind } from "vscode-languageclient/node";
import type { LanguageClientOptions, ServerOptions } from "vscode-languageclient/node";
import { languageId, serverFile } from "./names.ts";
import type { Requests } from "./protocol.ts";

export type Outcome = "running" | "not running";

/** The language server of this window. */
export class Server implements vscode.Disposable {
  readonly #extension: vscode.Uri;
  readonly #log: vscode.LogOutputChannel;
  #client: LanguageClient | undefined;
  #starting: Promise<Outcome> = Promise.resolve("not running");

  constructor(extension: vscode.Uri, log: vscode.LogOutputChannel) {
    this.#extension = extension;
    this.#log = log;
  }

  /** Settles when the start has ended: the server answers, or it could not be started and the keeper was told. */
  start(): Promise<Outcome> {
    return (this.#starting = this.#start());
  }

  async stop(): Promise<void> {
    const stopping = this.#client;
    this.#client = undefined;
    // A server that died cannot be told to stop; there is nothing left to do about it.
    await stopping?.dispose().catch(() => undefined);
  }

  dispose(): void {
    void this.stop();
  }

  /** @throws an error whose message may be shown to the keeper */
  async ask<Name extends keyof Requests>(name: Name, params: Requests[Name][0]): Promise<Requests[Name][1]> {
    const outcome = await this.#starting;
    const client = this.#client;
    if (outcome === "not running" || !client)
      throw new Error("Spadework's language server is not running. Run “Spadework: Restart”, or look at its output.");
    return client.sendRequest<Requests[Name][1]>(name, params);
  }

  /** The server's places and edits as the editor's own. */
  get converter(): LanguageClient["protocol2CodeConverter"] | undefined {
    return this.#client?.protocol2CodeConverter;
  }

  async #start(): Promise<Outcome> {
    const module = vscode.Uri.joinPath(this.#extension, ...serverFile);
    if (!(await exists(module))) {
      this.#tell(
        "Spadework cannot check the records: a part of the extension is missing. Install the extension again.",
      );
      this.#log.error(`There is no ${module.fsPath}. In a copy of the source, \`npm run build\` makes it.`);
      return "not running";
    }
    const run = { module: module.fsPath, transport: TransportKind.ipc };
    const debug = { ...run, options: { execArgv: ["--nolazy", "--inspect=6009"] } };
    const server: ServerOptions = { run, debug };
    const starting = new LanguageClient("spadework", "Spadework", server, clientOptions(this.#log));
    this.#client = starting;
    try {
      await starting.start();
      return "running";
    } catch (error) {
      if (this.#client === starting) this.#client = undefined;
      this.#tell("Spadework cannot check the records: its language server did not start. The output shows why.");
      this.#log.error(error instanceof Error ? error : String(error));
      return "not running";
    }
  }

  #tell(message: string): void {
    void vscode.window.showErrorMessage(message, "Show the output").then((choice) => choice && this.#log.show());
  }
}

/** Weather files are CSV, but the server reads them too: their name, not their language, says what they are. */
function clientOptions(log: vscode.LogOutputChannel): LanguageClientOptions {
  return {
    documentSelector: [
      { scheme: "file", language: languageId },
      { scheme: "file", pattern: "**/*.weather.csv" },
    ],
    // The server tells of every file's findings by itself, of files that were never opened, too.
    initializationOptions: { diagnostics: "push", editorCommands: true },
    outputChannel: log,
    middleware: {
      // A command is not told which lens was clicked; what opens there has to know.
      provideCodeLenses: async (document, token, next) => {
        const lenses = (await next(document, token)) ?? [];
        for (const { command, range } of lenses) command?.arguments?.push({ uri: document.uri.toString(), range });
        return lenses;
      },
    },
  };
}

export async function exists(file: vscode.Uri): Promise<boolean> {
  try {
    await vscode.workspace.fs.stat(file);
    return true;
  } catch {
    return false;
  }
}

/** Does what a command is for; what goes wrong is told in a sentence. */
export async function orTell(work: () => Promise<void>): Promise<void> {
  try {
    await work();
  } catch (error) {
    void vscode.window.showWarningMessage(error instanceof Error ? error.message : String(error));
  }
}

/** @throws in a folder that is not trusted: there the records are only read */
export function mayWrite(): void {
  if (!vscode.workspace.isTrusted) throw new Error("Trust this folder first: until then its records are only read.");
}
