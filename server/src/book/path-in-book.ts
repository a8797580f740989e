/**
 * The path from the book's root that a path written in a file of `folder` (empty, or ending in a slash) means; undefined
 * where it leads out of the book, or is none that every system understands the same way.
 */
export function pathInBook(folder: string, asked: string): string | undefined {
  // A drive, a scheme, a home folder, control characters: nothing that a file of a book is named by.
  // eslint-disable-next-line no-control-regex
  if (asked === "" || /^[/~]|[\\:\u0000-\u001f]/.test(asked)) return undefined;
  const steps = folder.split("/").filter((step) => step !== "");
  for (const step of asked.split("/")) {
    if (step === "" || step === ".") continue;
    if (step !== "..") steps.push(step);
    else if (steps.pop() === undefined) return undefined;
  }
  return steps.length > 0 ? steps.join("/") : undefined;
}
