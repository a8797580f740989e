// "Add a visit": picks a field, writes the visit's record, and goes there.
import * as vscode from "vscode";
import { goTo } from "./places.ts";
import type { Season } from "./protocol.ts";
import { statusLook } from "./season-words.ts";
import { mayWrite, type Server } from "./server.ts";

interface FieldChoice extends vscode.QuickPickItem {
  readonly field: string;
  /** A file of the field's book. */
  readonly uri: string;
}

/** @param given the field, and any file of its book; without it, the keeper is asked */
export async function addVisit(server: Server, given?: { uri: string; field: string }): Promise<void> {
  mayWrite();
  const chosen = given ?? (await pickField(server));
  if (!chosen) return;
  const visit = await server.ask("spadework/newVisit", { uri: chosen.uri, field: chosen.field });
  const edit = await server.converter?.asWorkspaceEdit(visit.edit);
  if (!edit || !(await vscode.workspace.applyEdit(edit)))
    throw new Error("The visit could not be written: the file may have changed meanwhile. Try again.");
  const { start, end } = visit.range;
  const range = new vscode.Range(start.line, start.character, end.line, end.character);
  await goTo(new vscode.Location(vscode.Uri.parse(visit.uri, true), new vscode.Range(range.end, range.end)));
}

async function pickField(server: Server): Promise<FieldChoice | undefined> {
  const seasons = await server.ask("spadework/season", {});
  const choices = inOrder(seasons).flatMap((season) => {
    const root = vscode.Uri.parse(season.root, true);
    const uri = activeFileIn(season) ?? vscode.Uri.joinPath(root, "season.yaml").toString();
    const book = seasons.length > 1 ? vscode.workspace.asRelativePath(root, true) : undefined;
    return season.fields.map(({ id, name, grower, status }): FieldChoice => {
      const { icon, word } = statusLook(status);
      const detail = [grower, book].filter((part) => part !== undefined).join(", ");
      return { label: name, description: `${id} · $(${icon}) ${word}`, ...(detail ? { detail } : {}), field: id, uri };
    });
  });
  if (choices.length === 0) throw new Error("There are no fields to visit yet: add one to a *.fields.yaml file first.");
  return vscode.window.showQuickPick(choices, {
    title: "Add a visit",
    placeHolder: "Which field?",
    matchOnDescription: true,
    matchOnDetail: true,
  });
}

/** The book that is looked at first. */
function inOrder(seasons: readonly Season[]): readonly Season[] {
  return [...seasons].sort((a, b) => Number(activeFileIn(b) !== undefined) - Number(activeFileIn(a) !== undefined));
}

function activeFileIn({ root }: Season): string | undefined {
  const uri = vscode.window.activeTextEditor?.document.uri.toString();
  return uri?.startsWith(`${root}/`) ? uri : undefined;
}
