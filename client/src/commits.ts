// Tells of commits: the editor's own git extension sees them first. Nothing here runs git.
import * as vscode from "vscode";

/** As much of the interface of the extension `vscode.git` as is used; all of it may be missing. */
interface GitExtension {
  getAPI?(version: 1): {
    readonly repositories: readonly Repository[];
    readonly onDidOpenRepository: vscode.Event<Repository>;
  };
}

interface Repository {
  readonly state: { readonly HEAD?: { readonly commit?: string }; readonly onDidChange: vscode.Event<void> };
}

/** Calls `listener` whenever another commit is the last one of a repository. Where that cannot be known, never. */
export async function onCommits(listener: () => void): Promise<vscode.Disposable> {
  const watched: vscode.Disposable[] = [];
  const watch = ({ state }: Repository): void => {
    let commit = state.HEAD?.commit;
    watched.push(
      state.onDidChange(() => {
        if (state.HEAD?.commit === commit) return;
        commit = state.HEAD?.commit;
        listener();
      }),
    );
  };
  try {
    const extension = vscode.extensions.getExtension<GitExtension>("vscode.git");
    const api = (await extension?.activate())?.getAPI?.(1);
    api?.repositories.forEach(watch);
    if (api) watched.push(api.onDidOpenRepository(watch));
  } catch {
    // Git is turned off in the editor's settings: a review then follows edits alone.
  }
  return new vscode.Disposable(() => vscode.Disposable.from(...watched).dispose());
}
