// Which book a command is about: the one that is looked at, else the keeper is asked.
import * as vscode from "vscode";
import { booksMeant } from "./choose-book.ts";
import type { Server } from "./server.ts";

export interface BookQuestion {
  /** What is asked for, as the title of the list to choose from. */
  readonly title: string;
  /** The repository whose books alone are meant, where one was clicked. */
  readonly repository?: vscode.Uri | undefined;
}

/**
 * The root of the book, as the server calls it; undefined where the keeper chose none.
 *
 * @throws where no book is open, or none in the repository
 */
export async function pickBook(server: Server, { title, repository }: BookQuestion): Promise<string | undefined> {
  const seasons = await server.ask("spadework/season", {});
  if (seasons.length === 0) throw new Error("No season is open: no folder here holds a season.yaml.");
  const books = new Map(seasons.map((season) => [vscode.Uri.parse(season.root, true).fsPath, season]));
  const active = vscode.window.activeTextEditor?.document.uri;
  const meant = booksMeant({
    roots: [...books.keys()],
    repository: repository?.fsPath,
    activeFile: active?.scheme === "file" ? active.fsPath : undefined,
  });
  if (meant.length === 0) throw new Error("This repository holds none of the record books that are open.");
  if (meant.length === 1) return books.get(meant[0]!)?.root;
  const choices = meant.map((path) => {
    const { root, season } = books.get(path)!;
    return {
      label: vscode.workspace.asRelativePath(path, true),
      description: season === undefined ? "" : String(season),
      root,
    };
  });
  return (await vscode.window.showQuickPick(choices, { title, placeHolder: "Of which record book?" }))?.root;
}
