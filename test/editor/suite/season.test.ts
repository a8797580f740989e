// The season's panel and the fields' view, as the extension host knows them; what they look like the tests on the screen see.
import { strict as assert } from "node:assert";
import * as vscode from "vscode";
import { activateExtension, eventually, openFile, revertAll } from "./editor.ts";

const panels = (): vscode.Tab[] =>
  vscode.window.tabGroups.all
    .flatMap(({ tabs }) => tabs)
    .filter(({ input }) => input instanceof vscode.TabInputWebview && input.viewType.endsWith("spadework.season"));

describe("the season's panel", () => {
  before(async () => {
    await vscode.workspace.getConfiguration("spadework").update("asOf", "2026-11-25");
    assert.equal(await (await activateExtension()).started, "running");
  });
  afterEach(async () => {
    await vscode.window.tabGroups.close(panels());
    await revertAll();
  });

  it("opens once for a book, with the season in its title", async () => {
    // Where an editor still remembers a book that an earlier test deleted, the file that is looked at tells which one is meant.
    await openFile("**/two-sloughs.fields.yaml");
    await vscode.commands.executeCommand("spadework.showSeason");
    const [panel] = await eventually("panel of the season", () => {
      const all = panels();
      return all[0]?.label === "Season 2026" ? all : undefined;
    });
    assert.ok(panel);
    await vscode.commands.executeCommand("spadework.showSeason");
    await vscode.commands.executeCommand(
      "spadework.showSeason",
      vscode.workspace.workspaceFolders?.[0]?.uri.toString(),
    );
    assert.equal(panels().length, 1);
    await vscode.window.tabGroups.close(panels());
    await openFile("**/two-sloughs.fields.yaml");
    await vscode.commands.executeCommand("spadework.showSeason");
    await eventually("panel anew", () => panels().length === 1);
  });

  it("has the fields' view beside it, whose grouping is kept", async () => {
    await vscode.commands.executeCommand("spadework.fields.focus");
    await vscode.commands.executeCommand("spadework.groupFieldsByGrower");
    await vscode.commands.executeCommand("spadework.groupFieldsByStatus");
    const known = new Set(await vscode.commands.getCommands(true));
    for (const name of ["showSeason", "groupFieldsByStatus", "groupFieldsByGrower"])
      assert.ok(known.has(`spadework.${name}`));
  });
});
