// "Show the season": a panel for each book with the map, the calendar and the tables that the server draws. It follows every
// edit, and comes back after a reload.
import { randomBytes } from "node:crypto";
import * as vscode from "vscode";
import { panelScript, seasonPanelType } from "./names.ts";
import type { FromPanel, PanelState, ToPanel } from "./panel-messages.ts";
import { pickBook } from "./pick-book.ts";
import { goTo, locationOf } from "./places.ts";
import type { SeasonPicture } from "./protocol.ts";
import { seasonPage } from "./season-page.ts";
import { orTell, type Server } from "./server.ts";

interface OpenPanel {
  readonly panel: vscode.WebviewPanel;
  readonly root: string;
  isReady: boolean;
  isStyled: boolean;
  /** Asked for with the style sheet, and shown first if nothing has changed meanwhile. */
  prepared: SeasonPicture | undefined;
  /** A refresh is under way; when it ends, another is wanted or not. */
  isAsking: boolean;
  isStale: boolean;
}

export class SeasonPanels implements vscode.WebviewPanelSerializer<Partial<PanelState>> {
  readonly #server: Server;
  readonly #extension: vscode.Uri;
  /** By the root of the book. */
  readonly #open = new Map<string, OpenPanel>();

  constructor(server: Server, extension: vscode.Uri) {
    this.#server = server;
    this.#extension = extension;
  }

  register(): vscode.Disposable {
    // The records are watched by the server; outlines are not among them.
    const outlines = vscode.workspace.createFileSystemWatcher("**/*.geojson");
    for (const event of [outlines.onDidChange, outlines.onDidCreate, outlines.onDidDelete]) event(() => this.refresh());
    return vscode.Disposable.from(
      outlines,
      vscode.window.registerWebviewPanelSerializer(seasonPanelType, this),
      new vscode.Disposable(() => {
        for (const { panel } of this.#open.values()) panel.dispose();
      }),
    );
  }

  /** @param root of the book; without it the one that is looked at, else the keeper is asked */
  async show(root?: string): Promise<void> {
    const chosen = root ?? (await this.#chooseBook());
    if (chosen === undefined) return;
    const known = this.#open.get(chosen);
    if (known) return known.panel.reveal();
    const column = vscode.window.activeTextEditor ? vscode.ViewColumn.Beside : vscode.ViewColumn.Active;
    const panel = vscode.window.createWebviewPanel(seasonPanelType, "Season", column, this.#options());
    await this.#take(panel, chosen);
  }

  async deserializeWebviewPanel(panel: vscode.WebviewPanel, state: Partial<PanelState> | undefined): Promise<void> {
    const root = state?.root;
    if (typeof root !== "string" || this.#open.has(root)) return panel.dispose();
    panel.webview.options = this.#options();
    await this.#take(panel, root);
  }

  /** Has every panel drawn anew: the records have changed. */
  refresh(): void {
    for (const open of this.#open.values()) {
      open.prepared = undefined;
      void this.#refresh(open);
    }
  }

  #options(): vscode.WebviewPanelOptions & vscode.WebviewOptions {
    return {
      enableScripts: true,
      enableFindWidget: true,
      localResourceRoots: [vscode.Uri.joinPath(this.#extension, "dist")],
    };
  }

  async #take(panel: vscode.WebviewPanel, root: string): Promise<void> {
    const open: OpenPanel = {
      panel,
      root,
      isReady: false,
      isStyled: false,
      prepared: undefined,
      isAsking: false,
      isStale: false,
    };
    this.#open.set(root, open);
    panel.iconPath = vscode.Uri.joinPath(this.#extension, "client/media/icon.svg");
    panel.onDidDispose(() => this.#open.delete(root));
    panel.webview.onDidReceiveMessage((message: FromPanel) => this.#hear(open, message));
    // A panel that was hidden is a new page when it is shown again, and asks for its content by itself.
    panel.onDidChangeViewState(() => {
      if (!panel.visible) open.isReady = false;
    });
    // The style sheet comes with the first picture; without a server the page says what is wrong, in no style at all.
    const picture = this.#server.ask("spadework/seasonPicture", { uri: seasonFile(root) });
    open.prepared = await picture.catch(() => undefined);
    if (this.#open.get(root) === open) this.#setPage(open, open.prepared?.style ?? "");
  }

  /** The page asks for its content once it is there. */
  #setPage(open: OpenPanel, style: string): void {
    const { panel, root } = open;
    open.isReady = false;
    open.isStyled = style !== "";
    panel.webview.html = seasonPage({
      nonce: randomBytes(18).toString("base64url"),
      script: panel.webview.asWebviewUri(vscode.Uri.joinPath(this.#extension, ...panelScript)).toString(),
      source: panel.webview.cspSource,
      style,
      root,
    });
  }

  #hear(open: OpenPanel, message: FromPanel): void {
    if (message.type === "ready") {
      open.isReady = true;
      void this.#refresh(open);
    } else if (message.type === "open" && typeof message.record === "string")
      void orTell(() => this.#goToRecord(open, message.record));
  }

  async #refresh(open: OpenPanel): Promise<void> {
    if (!open.isReady) return;
    open.isStale = true;
    if (open.isAsking) return;
    open.isAsking = true;
    try {
      while (open.isStale && open.isReady) {
        open.isStale = false;
        const message = await this.#picture(open);
        if (message && this.#open.get(open.root) === open) await open.panel.webview.postMessage(message);
      }
    } finally {
      open.isAsking = false;
    }
  }

  /** Undefined where the page is made anew, and will ask by itself. */
  async #picture(open: OpenPanel): Promise<ToPanel | undefined> {
    const { panel, root, prepared } = open;
    open.prepared = undefined;
    try {
      const asked = prepared ?? this.#server.ask("spadework/seasonPicture", { uri: seasonFile(root) });
      const { title, html, replay, style } = await asked;
      if (this.#open.get(root) !== open) return undefined;
      panel.title = title;
      if (!open.isStyled) {
        this.#setPage(open, style);
        return undefined;
      }
      return { type: "show", html, replay };
    } catch (error) {
      return { type: "trouble", message: error instanceof Error ? error.message : String(error) };
    }
  }

  /** Beside the panel, so that it stays in sight. */
  async #goToRecord({ panel, root }: OpenPanel, record: string): Promise<void> {
    const found = await this.#server.ask("spadework/recordPlace", { uri: seasonFile(root), record: recordOf(record) });
    const column = panel.viewColumn === vscode.ViewColumn.One ? vscode.ViewColumn.Beside : vscode.ViewColumn.One;
    await goTo(locationOf(found), column);
  }

  async #chooseBook(): Promise<string | undefined> {
    const looking = [...this.#open.values()].find(({ panel }) => panel.active);
    if (looking) return looking.root;
    return pickBook(this.#server, { title: "Show the season" });
  }
}

function seasonFile(root: string): string {
  return `${root}/season.yaml`;
}

/** What a mark bears is handed back as it came; what is no list opens nothing. */
function recordOf(text: string): readonly (string | number)[] {
  try {
    const value: unknown = JSON.parse(text);
    return Array.isArray(value) ? (value as (string | number)[]) : [];
  } catch {
    return [];
  }
}
