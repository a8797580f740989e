import { relative, sep } from "node:path";
import { URI } from "vscode-uri";
import { withSlashes } from "../host/find-books.ts";

/** The path of a file URI on this machine, or undefined for anything that is not a file. */
export function pathOfUri(uri: string): string | undefined {
  const parsed = URI.parse(uri);
  return parsed.scheme === "file" ? parsed.fsPath : undefined;
}

export function uriOfPath(path: string): string {
  return URI.file(path).toString();
}

/** A path from a folder, with forward slashes; undefined when it lies outside. */
export function pathWithin(folder: string, path: string): string | undefined {
  if (path === folder) return "";
  const inside = relative(folder, path);
  return inside === "" || inside.startsWith("..") || inside.includes(`..${sep}`) || /^[A-Za-z]:/.test(inside)
    ? undefined
    : withSlashes(inside);
}
