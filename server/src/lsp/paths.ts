import { isAbsolute, relative, sep } from "node:path";
import { URI } from "vscode-uri";
import { withSlashes } from "../host/find-books.ts";

/** The path of a file URI on this machine, or undefined for anything that is not a file. */
export function pathOfUri(uri: string): string | undefined {
  // Without a scheme a text counts as the path of a file for the library, and a number makes it throw.
  return /^file:/i.test(uri) ? URI.parse(uri).fsPath : undefined;
}

export function uriOfPath(path: string): string {
  return URI.file(path).toString();
}

/** A path from a folder, with forward slashes; undefined when it lies outside. */
export function pathWithin(folder: string, path: string): string | undefined {
  if (path === folder) return "";
  const inside = relative(folder, path);
  const isOutside = inside === "" || inside === ".." || inside.startsWith(`..${sep}`) || isAbsolute(inside);
  return isOutside ? undefined : withSlashes(inside);
}
