// Goes to places in the records: to a single one at once, to several by a peek in the editor.
import * as vscode from "vscode";

/** A place as the server writes it into the arguments of a lens. */
export interface LensPlace {
  readonly uri: string;
  readonly range: { readonly start: LensPosition; readonly end: LensPosition };
}

interface LensPosition {
  readonly line: number;
  readonly character: number;
}

/** @param lens where the peek opens; without it, at the cursor */
export async function showPlaces(places: readonly LensPlace[], lens?: LensPlace): Promise<void> {
  const locations = places.map(locationOf);
  const [first] = locations;
  const at = lens ? locationOf(lens) : cursor();
  if (!first) return;
  if (locations.length === 1 || !at) await goTo(first);
  else await vscode.commands.executeCommand("editor.action.peekLocations", at.uri, at.range.start, locations, "peek");
}

/** @param viewColumn where it is shown; without it, where the keeper is */
export async function goTo({ uri, range }: vscode.Location, viewColumn?: vscode.ViewColumn): Promise<void> {
  const where = viewColumn === undefined ? {} : { viewColumn };
  const editor = await vscode.window.showTextDocument(uri, { selection: range, ...where });
  editor.revealRange(range, vscode.TextEditorRevealType.InCenterIfOutsideViewport);
}

export function locationOf({ uri, range: { start, end } }: LensPlace): vscode.Location {
  const range = new vscode.Range(start.line, start.character, end.line, end.character);
  return new vscode.Location(vscode.Uri.parse(uri, true), range);
}

function cursor(): vscode.Location | undefined {
  const editor = vscode.window.activeTextEditor;
  return editor && new vscode.Location(editor.document.uri, editor.selection.active);
}
