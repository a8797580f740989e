// "New season…": asks a short form, and writes the files of a new record book. Nothing that is there is overwritten.
import * as vscode from "vscode";
import { newSeasonFiles, type SeasonAnswers } from "./new-season-files.ts";
import { exists, mayWrite, type Server } from "./server.ts";

/** The form's answers and where the book is to lie. */
export interface NewSeason extends SeasonAnswers {
  readonly folder: vscode.Uri;
}

const title = "New season";

/** @param given the answers; without them, the keeper is asked */
export async function newSeason(server: Server, given?: NewSeason): Promise<void> {
  mayWrite();
  const answers = given ?? (await askForm(server));
  if (!answers) return;
  await writeSeason(answers);
  const { folder } = answers;
  // The server sees a book as soon as its season.yaml is open, whatever the watching of files does.
  await vscode.window.showTextDocument(vscode.Uri.joinPath(folder, "season.yaml"), { preview: false });
  if (vscode.workspace.getWorkspaceFolder(folder)) return;
  const choice = await vscode.window.showInformationMessage(
    "The season's files are written. Open their folder?",
    "Open",
  );
  if (choice) await vscode.commands.executeCommand("vscode.openFolder", folder);
}

/** @throws an error that names the file that is there already, before anything is written */
async function writeSeason({ folder, ...answers }: NewSeason): Promise<void> {
  const files = [...newSeasonFiles(answers)].map(([name, text]) => ({ uri: vscode.Uri.joinPath(folder, name), text }));
  for (const { uri } of files) {
    if (await exists(uri))
      throw new Error(`${uri.path.split("/").at(-1)} is there already, and stays as it is. Choose another folder.`);
  }
  const edit = new vscode.WorkspaceEdit();
  for (const { uri, text } of files)
    edit.createFile(uri, { overwrite: false, contents: new TextEncoder().encode(text) });
  if (!(await vscode.workspace.applyEdit(edit)))
    throw new Error(`The season's files could not be written to ${folder.fsPath}. May the folder be written to?`);
}

async function askForm(server: Server): Promise<NewSeason | undefined> {
  const folder = await askFolder();
  if (!folder) return undefined;
  const year = await askYear();
  const region = year && (await askRegion(server));
  const grower = region && (await askName(3, "Whose fields are they? The name of the farm", "Alder Bench Farm"));
  const field = grower && (await askName(4, "The name of the first field", "Long Meadow"));
  const crop = field && (await askName(5, `What grows on ${field} in ${year}?`, "canola", "canola"));
  const crewMember = crop && (await askName(6, "Who walks the fields? The name of one of the crew", "M. Okafor"));
  return crewMember ? { folder, season: Number(year), region, grower, field, crop, crewMember } : undefined;
}

/** An open folder without a season of its own, else one from the disk. */
async function askFolder(): Promise<vscode.Uri | undefined> {
  const free: vscode.Uri[] = [];
  for (const { uri } of vscode.workspace.workspaceFolders ?? [])
    if (!(await exists(vscode.Uri.joinPath(uri, "season.yaml")))) free.push(uri);
  const other = "Another folder…";
  const open = free.map((uri) => ({ label: vscode.workspace.asRelativePath(uri, true), description: uri.fsPath, uri }));
  const picked =
    open.length === 0
      ? { label: other, uri: undefined }
      : await vscode.window.showQuickPick([...open, { label: other, uri: undefined }], {
          title: `${title}: the folder`,
          placeHolder: "Where are the records to lie?",
          ignoreFocusOut: true,
        });
  if (!picked || picked.uri) return picked?.uri;
  const [chosen] =
    (await vscode.window.showOpenDialog({
      title: "The folder for the season's records",
      openLabel: "Use this folder",
      canSelectFiles: false,
      canSelectFolders: true,
      ...(vscode.workspace.workspaceFolders?.[0] && { defaultUri: vscode.workspace.workspaceFolders[0].uri }),
    })) ?? [];
  return chosen;
}

function askYear(): Thenable<string | undefined> {
  return vscode.window.showInputBox({
    title: `${title} (1 of 6)`,
    prompt: "The year of the season: of winter crops that of their harvest",
    value: String(new Date().getFullYear()),
    ignoreFocusOut: true,
    validateInput: (text) => (/^(19|2\d)\d\d$/.test(text) ? undefined : "Write a year, such as 2026."),
  });
}

async function askRegion(server: Server): Promise<string | undefined> {
  const regions = await server.ask("spadework/regions", {});
  const choices = regions.map(({ id, title: label }) =>
    id === "base" ? { label: "Another region", description: id } : { label, description: id },
  );
  // What holds nowhere in particular is chosen where nothing else fits.
  choices.sort((a, b) => Number(a.description === "base") - Number(b.description === "base"));
  const picked = await vscode.window.showQuickPick(choices, {
    title: `${title} (2 of 6)`,
    placeHolder: "Whose figures and duties hold? You can change them in a region pack of your own.",
    ignoreFocusOut: true,
  });
  return picked?.description;
}

async function askName(step: number, prompt: string, placeHolder: string, value = ""): Promise<string | undefined> {
  const name = await vscode.window.showInputBox({
    title: `${title} (${step} of 6)`,
    prompt,
    placeHolder,
    value,
    ignoreFocusOut: true,
    validateInput: (text) => (text.trim() === "" ? "Write a name; it can be changed later." : undefined),
  });
  return name?.trim();
}
