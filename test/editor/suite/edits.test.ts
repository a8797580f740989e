// Quick fixes, rename, lenses and hints through VS Code's own interface.
import { strict as assert } from "node:assert";
import * as vscode from "vscode";
import { activateExtension, eventually, findingsOf, openFile, readFile, revertAll, workspaceFolder } from "./editor.ts";

const august = "2026/08-august.visits.yaml";

describe("what the editor offers in the sample", () => {
  before(async () => {
    await vscode.workspace.getConfiguration("spadework").update("asOf", "2026-11-25");
    assert.equal(await (await activateExtension()).started, "running");
  });
  afterEach(revertAll);

  it("a quick fix changes the place of its finding and nothing else", async () => {
    const file = "2026/06-june.visits.yaml";
    const { document } = await openFile(`**/${file}`);
    const before = document.getText();
    const finding = await eventually("finding", () =>
      findingsOf(file).find(({ code }) => code === "structure/unknown-id"),
    );
    const actions = await vscode.commands.executeCommand<vscode.CodeAction[]>(
      "vscode.executeCodeActionProvider",
      document.uri,
      finding.range,
      vscode.CodeActionKind.QuickFix.value,
    );
    const fix = actions.find(({ isPreferred, edit }) => isPreferred && edit);
    assert.ok(fix?.edit, `no preferred fix among: ${actions.map(({ title }) => title).join("; ")}`);
    assert.ok(await vscode.workspace.applyEdit(fix.edit));
    const [start, end] = [document.offsetAt(finding.range.start), document.offsetAt(finding.range.end)];
    assert.equal(document.getText(), `${before.slice(0, start)}west-eighty${before.slice(end)}`);
    await eventually("end of the finding", () => findingsOf(file).every(({ code }) => code !== "structure/unknown-id"));
  });

  it("rename takes an id along in every file that names it", async () => {
    const { document } = await openFile("**/crew.equipment.yaml");
    const position = document.positionAt(document.getText().indexOf("dig-kit-1") + 2);
    const edit = await vscode.commands.executeCommand<vscode.WorkspaceEdit>(
      "vscode.executeDocumentRenameProvider",
      document.uri,
      position,
      "spade-one",
    );
    const files = edit.entries().map(([uri]) => vscode.workspace.asRelativePath(uri));
    assert.ok(files.includes("crew.equipment.yaml") && files.includes(august), files.join(", "));
    assert.ok(
      files.some((file) => file.endsWith(".cleanings.yaml")),
      files.join(", "),
    );
    const counts = () => vscode.languages.getDiagnostics().reduce((sum, [, findings]) => sum + findings.length, 0);
    const before = counts();
    assert.ok(await vscode.workspace.applyEdit(edit));
    for (const [uri] of edit.entries()) {
      const text = (await vscode.workspace.openTextDocument(uri)).getText();
      assert.ok(/\bspade-one\b/.test(text) && !/\bdig-kit-1\b/.test(text), uri.path);
    }
    await eventually("name of the spade in a finding", () =>
      findingsOf(august).some(({ message }) => message.startsWith("spade-one ")),
    );
    // One file after the other arrives at the server: in between, ids are unknown.
    await eventually("as many findings as before", () => counts() === before);
  });

  it("a field's lens opens the chain by which soil may have come, and the chain leads to the visits", async () => {
    const { document } = await openFile("**/alder-bench.fields.yaml");
    const lens = await eventually("lens that opens the soil's way", async () =>
      (await lensesOf(document.uri)).find(
        ({ command }) => command?.command === "spadework.showSoil" && command.arguments?.[1] === "long-meadow",
      ),
    );
    assert.match(lens.command!.title, /^exposed/);
    await vscode.commands.executeCommand(lens.command!.command, ...lens.command!.arguments!);
    const soil = await eventually("document on the soil's movement", () => {
      const shown = vscode.window.activeTextEditor?.document;
      return shown?.uri.scheme === "spadework-soil" ? shown : undefined;
    });
    assert.match(soil.getText(), /Corner Quarter: about 1 % of the soil may be left/);
    const links = await vscode.commands.executeCommand<vscode.DocumentLink[]>("vscode.executeLinkProvider", soil.uri);
    const link = links.find(({ range }) => soil.getText(range).endsWith("arrives on Long Meadow"));
    assert.ok(link?.target, "the arrival on Long Meadow is no link");
    assert.ok(link.target.path.endsWith("2026/05-may.visits.yaml"), String(link.target));
    const line = Number(/^L(\d+)/.exec(link.target.fragment)?.[1]) - 1;
    const visits = (await readFile("2026/05-may.visits.yaml")).split("\n");
    assert.match(visits[line]!, /arrived: 2026-05-10T08:20/);
  });

  it("a lens that speaks of one place goes there, one that speaks of several shows them", async () => {
    const { document } = await openFile("**/alder-bench.fields.yaml");
    const lenses = await eventually("lens", async () => {
      const found = await lensesOf(document.uri);
      return found.some(({ command }) => command) ? found : undefined;
    });
    const single = lenses.find(
      ({ command }) => command?.command === "spadework.showPlaces" && placesOf(command).length === 1,
    );
    const several = lenses.find(
      ({ command }) => command?.command === "spadework.showPlaces" && placesOf(command).length > 1,
    );
    assert.ok(single && several);
    await vscode.commands.executeCommand(several.command!.command, ...several.command!.arguments!);
    await vscode.commands.executeCommand("closeReferenceSearch");
    await vscode.commands.executeCommand(single.command!.command, ...single.command!.arguments!);
    const [place] = placesOf(single.command!);
    const editor = await eventually("place of the lens", () => {
      const shown = vscode.window.activeTextEditor;
      return shown?.document.uri.toString() === vscode.Uri.parse(place!.uri).toString() ? shown : undefined;
    });
    assert.equal(editor.selection.start.line, place!.range.start.line);
  });

  it("hints stand behind the ratings, and their setting takes them away", async () => {
    const { document } = await openFile(`**/${august}`);
    const whole = new vscode.Range(0, 0, document.lineCount, 0);
    const hints = async () => {
      const found = await vscode.commands.executeCommand<vscode.InlayHint[]>(
        "vscode.executeInlayHintProvider",
        document.uri,
        whole,
      );
      return found.map(({ label }) => (typeof label === "string" ? label : label.map(({ value }) => value).join("")));
    };
    await eventually("hint on severity", async () => (await hints()).some((label) => label.includes("DSI")));
    const settings = vscode.workspace.getConfiguration("spadework");
    await settings.update("inlayHints.severity", false);
    await eventually("end of the hints on severity", async () =>
      (await hints()).every((label) => !label.includes("DSI")),
    );
    await settings.update("inlayHints.severity", undefined);
  });

  it("another day in the settings changes what the lenses say at once", async () => {
    const { document } = await openFile("**/two-sloughs.fields.yaml");
    const titles = async () => (await lensesOf(document.uri)).map(({ command }) => command?.title ?? "").join("\n");
    await eventually("confirmed field", async () => (await titles()).includes("1 confirmed"));
    const settings = vscode.workspace.getConfiguration("spadework");
    // The lab had not told of East Slough by then.
    await settings.update("asOf", "2026-08-20");
    await eventually("suspected field", async () => (await titles()).includes("3 suspected"));
    await settings.update("asOf", "2026-11-25");
    await eventually("confirmed field again", async () => (await titles()).includes("1 confirmed"));
  });

  it("completion offers the book's ids", async () => {
    const editor = await openFile(`**/${august}`);
    await editor.edit((edit) => edit.insert(new vscode.Position(1, 0), "  - id: v-0801-x\n    field: \n"));
    const list = await vscode.commands.executeCommand<vscode.CompletionList>(
      "vscode.executeCompletionItemProvider",
      editor.document.uri,
      new vscode.Position(2, 11),
    );
    const labels = list.items.map(({ label }) => (typeof label === "string" ? label : label.label));
    assert.ok(labels.includes("long-meadow") && labels.includes("east-slough"), labels.join(", "));
  });

  it("the folder is as it was", async () => {
    // What the tests above changed was never saved.
    assert.match(await readFile("crew.equipment.yaml"), /dig-kit-1/);
    assert.ok(workspaceFolder().path.endsWith("/records"));
  });
});

async function lensesOf(uri: vscode.Uri): Promise<vscode.CodeLens[]> {
  return vscode.commands.executeCommand<vscode.CodeLens[]>("vscode.executeCodeLensProvider", uri, 100);
}

function placesOf({ arguments: given }: vscode.Command): { uri: string; range: vscode.Range }[] {
  return (given?.[1] ?? []) as { uri: string; range: vscode.Range }[];
}
