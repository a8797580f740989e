// The VS Code shell: starts the language server beside it and hands the editor's events over. Everything that knows what
// a record means lives in the server, which this file never imports.
import * as vscode from "vscode";
import { ChangeDocuments } from "./change-documents.ts";
import { FieldView } from "./field-view.ts";
import { commands } from "./names.ts";
import { newSeason, type NewSeason } from "./new-season.ts";
import { addVisit } from "./new-visit.ts";
import { showPlaces, type LensPlace } from "./places.ts";
import { SeasonPanels } from "./season-panels.ts";
import { SeasonStatus } from "./season-status.ts";
import { orTell, Server, type Outcome } from "./server.ts";
import { SoilDocuments } from "./soil-documents.ts";

/** What `activate` hands to other extensions and to the tests. */
export interface SpadeworkExtension {
  /** Settles when the first start has ended: the server answers, or it could not be started and the keeper was told. */
  readonly started: Promise<Outcome>;
}

let server: Server | undefined;

export function activate(context: vscode.ExtensionContext): SpadeworkExtension {
  const log = vscode.window.createOutputChannel("Spadework", { log: true });
  const current = (server = new Server(context.extensionUri, log));
  const soil = new SoilDocuments(current);
  const changes = new ChangeDocuments(current);
  const panels = new SeasonPanels(current, context.extensionUri);
  const fields = new FieldView(current, context.workspaceState);
  const status = new SeasonStatus(current, () => {
    soil.refresh();
    changes.refresh();
    panels.refresh();
    fields.refresh();
  });
  const start = async (): Promise<Outcome> => {
    const outcome = await current.start();
    status.refreshSoon();
    return outcome;
  };
  const command = (name: string, work: (...args: never[]) => Promise<void>): vscode.Disposable =>
    vscode.commands.registerCommand(name, (...args: never[]) => orTell(() => work(...args)));
  context.subscriptions.push(
    log,
    status,
    soil.register(),
    panels.register(),
    fields.register(),
    changes.register(),
    command(commands.showSoilOfField, () => soil.showAtCursor()),
    command(commands.showSoil, (uri: string, field: string, places: LensPlace[] = [], at?: LensPlace) =>
      soil.show({ uri, field }, places, at),
    ),
    command(commands.showPlaces, (_title: string, places: LensPlace[], at?: LensPlace) => showPlaces(places, at)),
    command(commands.showSeason, (root?: unknown) => panels.show(typeof root === "string" ? root : undefined)),
    command(commands.newSeason, (given?: NewSeason) => newSeason(current, given)),
    command(commands.addVisit, (given?: { uri: string; field: string }) => addVisit(current, given)),
    command(commands.reviewChange, (repository?: { rootUri?: vscode.Uri }) => changes.show(repository)),
    command(commands.restart, async () => {
      await current.stop();
      await start();
    }),
  );
  return { started: start() };
}

export function deactivate(): Promise<void> | undefined {
  return server?.stop();
}
