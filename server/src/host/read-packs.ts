import { realpath } from "node:fs/promises";
import { basename, dirname, join, relative, sep } from "node:path";
import { decodeRegion } from "../schema/decode.ts";
import { packFile } from "../schema/region.ts";
import { parseText } from "../syntax/parse.ts";
import { withSlashes } from "./find-books.ts";
import { SEASON_FILE } from "./gather-books.ts";
import { readSourceFileFrom } from "./read-files.ts";

/** A region pack on disk, with the packs that it rests on and that are files too. */
export interface PackFiles {
  /** The folder that paths are told from: that of the record book around the pack, or the pack's own. */
  readonly root: string;
  /** The pack's path from there, with forward slashes. */
  readonly file: string;
  /** By path. A pack that cannot be read is not among them. */
  readonly texts: ReadonlyMap<string, string>;
  /** Why the pack itself cannot be read. */
  readonly trouble?: string;
}

const MOST_PACKS = 30;

/** @param path of a `*.region.yaml` file, absolute */
export async function readPackFiles(path: string): Promise<PackFiles> {
  const root = (await folderOfBook(dirname(path))) ?? dirname(path);
  const file = withSlashes(relative(root, path)) || basename(path);
  const texts = new Map<string, string>();
  let trouble: string | undefined;
  let wanted: string | undefined = file;
  while (wanted !== undefined && !texts.has(wanted) && texts.size < MOST_PACKS) {
    // What a link leads to outside of the folder is none of the pack's.
    if (wanted !== file && !(await liesIn(root, wanted))) break;
    const source = await readSourceFileFrom(root, wanted);
    if (source.trouble && wanted === file)
      trouble = source.trouble.isGone ? "there is no such file" : source.trouble.message;
    if (source.trouble) break;
    texts.set(wanted, source.text);
    const parent: string | undefined = decodeRegion(parseText(source.text).root).value?.extends;
    wanted = parent === undefined ? undefined : packFile(wanted.slice(0, wanted.lastIndexOf("/") + 1), parent);
  }
  return { root, file, texts, ...(trouble !== undefined && { trouble }) };
}

/** The folder of the record book that a folder belongs to; undefined where it belongs to none. */
async function folderOfBook(folder: string): Promise<string | undefined> {
  for (let at = folder; ; at = dirname(at)) {
    if (await exists(join(at, SEASON_FILE))) return at;
    if (dirname(at) === at) return undefined;
  }
}

async function liesIn(root: string, path: string): Promise<boolean> {
  try {
    const [top, real] = await Promise.all([realpath(root), realpath(join(root, path))]);
    return real.startsWith(top + sep);
  } catch {
    return false;
  }
}

async function exists(path: string): Promise<boolean> {
  return realpath(path).then(
    () => true,
    () => false,
  );
}
