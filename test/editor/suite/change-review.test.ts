// "Review this change": what the uncommitted change does to the season, beside the records.
import { strict as assert } from "node:assert";
import { execFileSync } from "node:child_process";
import * as vscode from "vscode";
import { activateExtension, eventually, openFile, readFile, revertAll, workspaceFolder, writeFile } from "./editor.ts";

const visits = "2026/08-august.visits.yaml";

describe("the review of a change", () => {
  const git = (...args: string[]): string => {
    const settings = ["-c", "user.name=A Keeper", "-c", "user.email=keeper@example.org", "-c", "commit.gpgsign=false"];
    return execFileSync("git", ["-C", workspaceFolder().fsPath, ...settings, ...args], { encoding: "utf8" });
  };
  const shownReview = (): vscode.TextDocument | undefined =>
    vscode.window.visibleTextEditors
      .map(({ document }) => document)
      .find(({ uri }) => uri.scheme === "spadework-change");
  const reviewSaying = (words: RegExp): Promise<vscode.TextDocument> =>
    eventually(`review that says ${words}`, () => {
      const review = shownReview();
      return review && words.test(review.getText()) ? review : undefined;
    }).catch((error: unknown) => {
      throw new Error(`${String(error)} But it says: ${shownReview()?.getText()}`);
    });
  const typeOver = async (editor: vscode.TextEditor, before: string, after: string): Promise<void> => {
    const at = editor.document.positionAt(editor.document.getText().indexOf(before));
    assert.ok(await editor.edit((edit) => edit.replace(new vscode.Range(at, at.translate(0, before.length)), after)));
  };

  let asItWas: string;

  before(async () => {
    asItWas = await readFile(visits);
    await vscode.workspace.getConfiguration("spadework").update("asOf", "2026-11-25");
    assert.equal(await (await activateExtension()).started, "running");
  });
  afterEach(revertAll);
  // The repository stays: the editor's git extension has it open.
  after(() => writeFile(visits, asItWas));

  it("opens nothing where there is no repository", async () => {
    await openFile(`**/${visits.split("/")[1]}`);
    await vscode.commands.executeCommand("spadework.reviewChange");
    assert.equal(shownReview(), undefined);
  });

  it("tells of what is not saved yet, follows edits and commits, and leads to the records", async () => {
    git("init", "-q");
    git("add", "-A");
    git("commit", "-q", "-m", "The season so far");
    const editor = await openFile(`**/${visits.split("/")[1]}`);
    await typeOver(editor, "field: mill-quarter", "field: mill-quartr");
    await vscode.commands.executeCommand("spadework.reviewChange");
    const review = await reviewSaying(/no field "mill-quartr"/);
    assert.match(review.getText(), /^What changes from HEAD to the working tree, as of 2026-11-25\n/);
    assert.equal(review.languageId, "season-change");
    const links = await eventually("links", async () => {
      const found = await vscode.commands.executeCommand<vscode.DocumentLink[]>(
        "vscode.executeLinkProvider",
        review.uri,
        99,
      );
      return found.length > 0 ? found : undefined;
    });
    const [place] = links
      .filter(({ target }) => target?.path.endsWith(visits))
      .map(({ range }) => review.getText(range));
    assert.match(place ?? "", /^2026\/08-august\.visits\.yaml:\d+:\d+$/);
    await typeOver(editor, "field: mill-quartr", "field: mill-quarter");
    await reviewSaying(/^Nothing changes from HEAD/);
    await typeOver(editor, "purpose: scouting", "purpose: other");
    await reviewSaying(/changed: 1 in visits/);
    assert.ok(await editor.document.save());
    git("commit", "-q", "-a", "-m", "A visit for another purpose");
    await reviewSaying(/^Nothing changes from HEAD/);
  });
});
