// The commands of the palette, driven with given answers where they would ask.
import { strict as assert } from "node:assert";
import * as vscode from "vscode";
import type { NewSeason } from "../../../client/src/new-season.ts";
import { activateExtension, eventually, findingsOf, openFile, readFile, revertAll, workspaceFolder } from "./editor.ts";

describe("the commands", () => {
  before(async () => {
    await vscode.workspace.getConfiguration("spadework").update("asOf", "2026-11-25");
    assert.equal(await (await activateExtension()).started, "running");
  });
  afterEach(revertAll);

  it("are all there", async () => {
    const known = new Set(await vscode.commands.getCommands(true));
    const names = [
      "newSeason",
      "addVisit",
      "checkSeason",
      "showSoilOfField",
      "showPlaces",
      "showSoil",
      "reviewChange",
      "restart",
    ];
    assert.deepEqual(
      names.filter((name) => !known.has(`spadework.${name}`)),
      [],
    );
  });

  it("New season… makes a book that checks clean, and never writes over one", async () => {
    const folder = vscode.Uri.joinPath(workspaceFolder(), "another-season");
    const answers: NewSeason = {
      folder,
      season: 2026,
      region: "ca-prairies",
      grower: "Stony Ridge Farm",
      field: "Gravel Pit",
      crop: "canola",
      crewMember: "A. Lund",
    };
    await vscode.commands.executeCommand("spadework.newSeason", answers);
    const names = (await vscode.workspace.fs.readDirectory(folder)).map(([name]) => name).sort();
    assert.deepEqual(names, [
      "2026.visits.yaml",
      "crew.equipment.yaml",
      "season.yaml",
      "stony-ridge-farm.fields.yaml",
      "stony-ridge-farm.rotations.yaml",
    ]);
    const fields = vscode.Uri.joinPath(folder, "stony-ridge-farm.fields.yaml");
    await vscode.window.showTextDocument(fields);
    await eventually("lens on the new field", async () => {
      const lenses = await vscode.commands.executeCommand<vscode.CodeLens[]>(
        "vscode.executeCodeLensProvider",
        fields,
        9,
      );
      return lenses.some(({ command }) => command?.title.startsWith("waiting"));
    });
    for (const name of names) assert.deepEqual(findingsOf(`another-season/${name}`), [], name);

    const before = await readFile("another-season/season.yaml");
    await vscode.commands.executeCommand("spadework.newSeason", { ...answers, grower: "Someone Else" });
    assert.equal(await readFile("another-season/season.yaml"), before);
    assert.equal((await vscode.workspace.fs.readDirectory(folder)).length, names.length);
    await revertAll();
    await vscode.workspace.fs.delete(folder, { recursive: true });
  });

  it("Add a visit writes the record into the file of its month and goes there", async () => {
    const { document } = await openFile("**/season.yaml");
    await vscode.commands.executeCommand("spadework.addVisit", { uri: document.uri.toString(), field: "long-meadow" });
    const editor = await eventually("visits file", () => {
      const shown = vscode.window.activeTextEditor;
      return shown?.document.fileName.endsWith(".visits.yaml") ? shown : undefined;
    });
    const text = editor.document.getText(new vscode.Range(new vscode.Position(0, 0), editor.selection.end));
    const record = text.slice(text.lastIndexOf("- id: "));
    assert.match(record, /field: long-meadow\n {4}entrance: north-gate\n {4}arrived: \d{4}-\d\d-\d\dT\d\d:\d\d\n/);
    assert.match(record, /purpose: scouting/);
  });

  it("Show soil movement of this field tells of the field under the cursor", async () => {
    const editor = await openFile("**/08-august.visits.yaml");
    const at = editor.document.positionAt(editor.document.getText().indexOf("field: mill-quarter") + 10);
    editor.selection = new vscode.Selection(at, at);
    await vscode.commands.executeCommand("spadework.showSoilOfField");
    const soil = await eventually("document on the soil's movement", () => {
      const shown = vscode.window.activeTextEditor?.document;
      return shown?.uri.scheme === "spadework-soil" ? shown : undefined;
    });
    assert.match(soil.getText(), /^Soil movement of Mill Quarter \(mill-quarter\), as of 2026-11-25\n/);
    assert.match(soil.getText(), /Soil may have come to Mill Quarter from 2 fields/);
  });

  it("Check the season and Restart end without a complaint, and the findings are there again", async () => {
    await vscode.commands.executeCommand("spadework.checkSeason");
    await vscode.commands.executeCommand("spadework.restart");
    await eventually("finding after a restart", () => findingsOf("2026/08-august.visits.yaml").length > 5);
  });
});
