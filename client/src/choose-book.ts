// Which of several books is meant. Knows no editor, so that plain tests can read it.

/** All by absolute path, as the editor has them on this machine. */
export interface BookChoice {
  /** The folders of the books. */
  readonly roots: readonly string[];
  /** The repository whose title was clicked, if one was. */
  readonly repository: string | undefined;
  /** The file that is looked at, if any. */
  readonly activeFile: string | undefined;
}

/** The books that may be meant: one where it is clear which, else those to choose from; none where there is none. */
export function booksMeant({ roots, repository, activeFile }: BookChoice): readonly string[] {
  // A repository may hold books, and a book may hold a repository: then the innermost around it is meant.
  const held = repository === undefined ? roots : roots.filter((root) => isWithin(root, repository));
  const candidates = held.length > 0 ? held : innermost(roots.filter((root) => isWithin(repository!, root)));
  const around = activeFile === undefined ? [] : candidates.filter((root) => isWithin(activeFile, root));
  return around.length > 0 ? innermost(around) : candidates;
}

function innermost(roots: readonly string[]): readonly string[] {
  return [...roots].sort((a, b) => b.length - a.length).slice(0, 1);
}

function isWithin(path: string, folder: string): boolean {
  const inside = folder.replace(/[\\/]+$/, "");
  return path === inside || path === folder || path.startsWith(`${inside}/`) || path.startsWith(`${inside}\\`);
}
