import { strict as assert } from "node:assert";
import * as fs from "node:fs";
import * as path from "node:path";
import * as vscode from "vscode";
import { colour } from "./colours.ts";
import type { ColouredPiece } from "./colours.ts";
import { activateExtension, openFile, workspaceFolder, writeFile } from "./editor.ts";

describe("the language of season records", () => {
  it("is that of the record files, and no other YAML is taken", async () => {
    const expected: Record<string, string> = {
      "season.yaml": "season-records",
      "names/a.fields.yaml": "season-records",
      "names/a.equipment.yaml": "season-records",
      "names/a.rotations.yaml": "season-records",
      "names/a.visits.yaml": "season-records",
      "names/a.cleanings.yaml": "season-records",
      "names/a.samples.yaml": "season-records",
      "names/a.region.yaml": "season-records",
      "names/visits.yaml": "yaml",
      "names/a.visits.yml": "yaml",
      "names/ci.yaml": "yaml",
    };
    const found: Record<string, string> = {};
    for (const name of Object.keys(expected)) {
      const uri = name.includes("/") ? await writeFile(name, "\n") : vscode.Uri.joinPath(workspaceFolder(), name);
      found[name] = (await vscode.workspace.openTextDocument(uri)).languageId;
    }
    await vscode.workspace.fs.delete(vscode.Uri.joinPath(workspaceFolder(), "names"), { recursive: true });
    assert.deepEqual(found, expected);
  });

  it("opens a visits file and starts the extension", async () => {
    const editor = await openFile("**/*.visits.yaml");
    assert.equal(editor.document.languageId, "season-records");
    const { started } = await activateExtension();
    const built = fs.existsSync(path.join(__dirname, "../../../dist/server.cjs"));
    assert.equal(await started, built ? "running" : "not running");
  });

  it("indents with two spaces and takes a whole id as one word", async () => {
    const editor = await openFile("**/*.visits.yaml");
    assert.equal(editor.options.insertSpaces, true);
    assert.equal(editor.options.tabSize, 2);
    const text = editor.document.getText();
    const id = /- id: (\S+)/.exec(text);
    assert.ok(id?.[1], "the visits file has an id");
    const word = editor.document.getWordRangeAtPosition(editor.document.positionAt(id.index + 8));
    assert.equal(editor.document.getText(word), id[1]);
  });
});

describe("the colours of season records", () => {
  const text = [
    "# accept entry/wet-ground: boards were laid",
    "visits: # as walked",
    "  - id: v-0814-long-meadow",
    "    field: long-meadow",
    "    arrived: 2026-08-14T09:40",
    "    purpose: soil work",
    "    ground: quicksand",
    "    crew: [mo, ana]",
    "    x-weather: fine",
    "    note: the id of a visit on 2026-08-14, wet",
    "    digs:",
    "      - { id: d1, place: patch, patch: v1#p1, plants: 20, ratings: [18, 1, 1, 0] }",
    "",
  ].join("\n");
  let pieces: ColouredPiece[];

  before(async () => {
    pieces = await colour(text, "season-records");
  });

  const expected: Record<string, string> = {
    visits: "keyword.control.top-level-key.season-records",
    accept: "keyword.control.accept.season-records",
    "entry/wet-ground": "entity.name.function.rule-code.season-records",
    "v-0814-long-meadow": "entity.name.function.record-id.season-records",
    d1: "entity.name.function.record-id.season-records",
    "long-meadow": "variable.other.readwrite.reference.season-records",
    mo: "variable.other.readwrite.reference.season-records",
    ana: "variable.other.readwrite.reference.season-records",
    "v1#p1": "variable.other.readwrite.reference.season-records",
    "2026-08-14": "constant.numeric.date.season-records",
    "soil work": "variable.other.enummember.season-records",
    "x-weather": "variable.parameter.own-key.season-records",
    "18": "constant.numeric.integer.decimal.yaml",
  };
  for (const [piece, scope] of Object.entries(expected)) {
    it(`${piece} is ${scope}`, () => {
      const found = pieces.filter(({ text }) => text === piece).map(({ scopes }) => scopes.at(-1));
      assert.ok(found.includes(scope), `${piece} has ${found.join(", ") || "no piece of its own"}`);
    });
  }

  it("keeps YAML's colours for keys, and leaves notes and unknown values alone", () => {
    const field = pieces.find(({ text }) => text === "field");
    assert.ok(field?.scopes.includes("entity.name.tag.yaml"), String(field?.scopes));
    const scopesOf = (part: string) => pieces.filter(({ text }) => text.includes(part)).flatMap(({ scopes }) => scopes);
    for (const plain of ["quicksand", "of a visit on", "as walked"]) {
      assert.ok(scopesOf(plain).length > 0, plain);
      assert.deepEqual(
        scopesOf(plain).filter((scope) => scope.endsWith(".season-records") && scope !== "source.season-records"),
        [],
        plain,
      );
    }
  });
});
