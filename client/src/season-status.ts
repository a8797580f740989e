// The season's worst status in the status bar, and the command that checks the season.
import * as vscode from "vscode";
import { commands, hasBookContext, languageId } from "./names.ts";
import type { Level, Season } from "./protocol.ts";
import { orTell, type Server } from "./server.ts";
import { findingsInWords, seasonInWords, statusLook, worstOf } from "./season-words.ts";

const waitMilliseconds = 300;

/** Keeps the status bar at what the server says of the books; `onChange` is told whenever the records may have changed. */
export class SeasonStatus implements vscode.Disposable {
  readonly #server: Server;
  readonly #onChange: () => void;
  readonly #item = vscode.window.createStatusBarItem("spadework.season", vscode.StatusBarAlignment.Left, 40);
  readonly #disposables: vscode.Disposable[] = [this.#item];
  #timer: ReturnType<typeof setTimeout> | undefined;
  #isAsking = false;

  constructor(server: Server, onChange: () => void) {
    this.#server = server;
    this.#onChange = onChange;
    this.#item.name = "Season records";
    this.#item.command = commands.checkSeason;
    this.#disposables.push(
      vscode.commands.registerCommand(commands.checkSeason, () => orTell(() => this.#checkSeason())),
      vscode.languages.onDidChangeDiagnostics(() => this.refreshSoon()),
      vscode.workspace.onDidChangeTextDocument(({ document }) => {
        if (document.languageId === languageId) this.refreshSoon();
      }),
      vscode.workspace.onDidChangeConfiguration((change) => {
        if (change.affectsConfiguration("spadework")) this.refreshSoon();
      }),
      vscode.workspace.onDidChangeWorkspaceFolders(() => this.refreshSoon()),
    );
  }

  /** A burst of changes is one question. */
  refreshSoon(): void {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.#refresh(), waitMilliseconds);
  }

  dispose(): void {
    clearTimeout(this.#timer);
    vscode.Disposable.from(...this.#disposables).dispose();
  }

  async #refresh(): Promise<void> {
    if (this.#isAsking) return this.refreshSoon();
    this.#isAsking = true;
    try {
      this.#show(await this.#server.ask("spadework/season", {}));
      this.#onChange();
    } catch {
      // The server is not there, and the keeper has been told of it.
      this.#show([]);
    } finally {
      this.#isAsking = false;
    }
  }

  #show(seasons: readonly Season[]): void {
    void vscode.commands.executeCommand("setContext", hasBookContext, seasons.length > 0);
    if (seasons.length === 0) return this.#item.hide();
    const worst = worstOf(seasons);
    const { icon, word } = statusLook(worst);
    this.#item.text = `$(${icon}) Clubroot: ${word}`;
    this.#item.accessibilityInformation = { label: `Clubroot, worst status of the fields: ${word}`, role: "button" };
    this.#item.tooltip = tooltipOf(seasons);
    this.#item.show();
  }

  async #checkSeason(): Promise<void> {
    const seasons = await this.#server.ask("spadework/season", {});
    if (seasons.length === 0) {
      const choice = await vscode.window.showInformationMessage(
        "No season is open: no folder here holds a season.yaml.",
        "New season…",
      );
      if (choice) await vscode.commands.executeCommand(commands.newSeason);
      return;
    }
    await vscode.commands.executeCommand("workbench.actions.view.problems");
    void vscode.window.showInformationMessage(
      seasons.map((season) => seasonInWords(season, nameOf(season, seasons))).join(" "),
    );
  }
}

function tooltipOf(seasons: readonly Season[]): vscode.MarkdownString {
  const tooltip = new vscode.MarkdownString("", true);
  seasons.forEach((season, index) => {
    if (index > 0) tooltip.appendMarkdown("\n\n---\n\n");
    tooltip.appendMarkdown("**").appendText(titleOf(season, seasons)).appendMarkdown(`**, as of ${season.asOf}\n\n`);
    for (const [status, count] of Object.entries(season.statuses)) {
      const { icon, word } = statusLook(status);
      tooltip.appendMarkdown(`$(${icon}) ${count} ${word}  \n`);
    }
    tooltip.appendMarkdown("\n").appendText(findingsInWords(season.findings as Record<Level, number>));
  });
  tooltip.appendMarkdown("\n\nClick to check the season.");
  return tooltip;
}

function titleOf(season: Season, seasons: readonly Season[]): string {
  const name = nameOf(season, seasons);
  return `Season ${season.season ?? ""}${name ? ` in ${name}` : ""}`.trim();
}

/** What tells one book of several apart. */
function nameOf({ root }: Season, seasons: readonly Season[]): string | undefined {
  return seasons.length > 1 ? vscode.workspace.asRelativePath(vscode.Uri.parse(root), true) : undefined;
}
