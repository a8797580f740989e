// What the server makes of the sample, seen through VS Code's own interface.
import { strict as assert } from "node:assert";
import * as vscode from "vscode";
import { activateExtension, eventually, findingsOf, openFile, readFile, revertAll, workspaceFolder } from "./editor.ts";

/** One row of the sample's table of what is wrong in it. */
interface ToldFinding {
  readonly file: string;
  readonly line: number;
  readonly code: string;
}

async function toldFindings(): Promise<ToldFinding[]> {
  const rows = (await readFile("README.md")).matchAll(/^\| `([^`:]+):(\d+)` \|.*?\| `([a-z-]+\/[a-z-]+)` \|/gm);
  return [...rows].map(([, file, line, code]) => ({ file: file!, line: Number(line), code: code! }));
}

function has({ file, line, code }: ToldFinding): boolean {
  return findingsOf(file).some((finding) => finding.code === code && finding.range.start.line === line - 1);
}

describe("the findings of the sample", () => {
  before(async () => {
    await vscode.workspace.getConfiguration("spadework").update("asOf", "2026-11-25");
    assert.equal(await (await activateExtension()).started, "running");
  });
  afterEach(revertAll);

  it("appear for every file, though none of them is open", async () => {
    const told = await toldFindings();
    assert.ok(told.length > 20, `the sample's README tells of ${told.length} findings`);
    await eventually("finding of the sample", () => told.every(has));
    const open = new Set(vscode.window.tabGroups.all.flatMap(({ tabs }) => tabs.map(({ label }) => label)));
    const closed = told.filter(({ file }) => !open.has(file.split("/").at(-1)!));
    assert.ok(closed.length > 15, `${closed.length} of ${told.length} are in files that are not open`);
  });

  it("lead to the page of their check", async () => {
    const [finding] = findingsOf("2026/08-august.visits.yaml").filter(({ code }) => code === "scouting/ratings-total");
    assert.ok(finding?.target, "the code has no link");
    assert.ok(finding.target.path.endsWith("/dist/rules/scouting/ratings-total.md"), finding.target.path);
    const page = await vscode.workspace.openTextDocument(finding.target);
    assert.match(page.getText(), /ratings/);
  });

  it("stay where they are while a record is half-typed above them", async () => {
    const file = "2026/08-august.visits.yaml";
    const editor = await openFile(`**/${file}`);
    const before = await eventually("finding", () => (findingsOf(file).length > 5 ? messagesOf(file) : undefined));
    const typed = '  - id: v-0801-new\n    field: "long-\n    digs:\n      - { id: d1, place:\n';
    await editor.edit((edit) => edit.insert(new vscode.Position(1, 0), typed));
    await eventually("finding of what is half-typed", () =>
      findingsOf(file).some(({ code }) => code === "structure/syntax"),
    );
    assert.deepEqual(
      before.filter((message) => !messagesOf(file).includes(message)),
      [],
    );
    await editor.edit((edit) => edit.delete(new vscode.Range(1, 0, 5, 0)));
    await eventually("return of the old findings", () => messagesOf(file).join("\n") === before.join("\n"));
  });

  it("go away in one file when another is put right, before it is saved", async () => {
    const [visits, cleanings] = ["2026/08-august.visits.yaml", "2026/08-august.cleanings.yaml"];
    const swather = () =>
      findingsOf(visits).filter(({ code, message }) => code === "cleaning/missing" && message.includes("ts-swather"));
    await eventually("finding on the swather", () => swather().length === 1);
    const editor = await openFile(`**/${cleanings}`);
    const end = editor.document.lineAt(editor.document.lineCount - 1).range.end;
    const record = [
      "  - id: c-0823-9",
      "    at: 2026-08-23T08:00",
      "    equipment: [ts-swather]",
      "    steps:",
      "      - { step: remove soil }",
      "      - { step: wash, with: water }",
      "      - { step: disinfect, product: bleach, strength_percent: 1, contact_minutes: 20 }",
    ];
    await editor.edit((edit) => edit.insert(end, `\n${record.join("\n")}\n`));
    await eventually("end of the finding on the swather", () => swather().length === 0);
    assert.ok(editor.document.isDirty);
  });

  it("tell of a file that is made, changed and deleted on disk", async () => {
    const name = "2026/11-extra.visits.yaml";
    const uri = vscode.Uri.joinPath(workspaceFolder(), name);
    const write = (field: string) =>
      vscode.workspace.fs.writeFile(
        uri,
        new TextEncoder().encode(
          `visits:\n  - { id: v-x, field: ${field}, arrived: 2026-11-02T08:00, purpose: other }\n`,
        ),
      );
    await write("nowhere-at-all");
    await eventually("finding in a new file", () =>
      findingsOf(name).some(({ code }) => code === "structure/unknown-id"),
    );
    await write("long-meadow");
    await eventually("end of it once it is put right", () =>
      findingsOf(name).every(({ code }) => code !== "structure/unknown-id"),
    );
    await write("nowhere-at-all");
    await eventually("its return", () => findingsOf(name).some(({ code }) => code === "structure/unknown-id"));
    await vscode.workspace.fs.delete(uri);
    await eventually("end of it with the file", () => findingsOf(name).length === 0);
  });
});

/** Without the lines, which move. */
function messagesOf(file: string): string[] {
  return findingsOf(file).map(({ code, message }) => `${code}: ${message}`);
}
