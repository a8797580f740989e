import { mkdirSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { makeBook } from "./make-book.mjs";

/** Writes a made-up book into a folder; returns how large it is. */
export function writeBook(folder, options) {
  const files = makeBook(options);
  let bytes = 0;
  for (const [path, text] of files) {
    const full = join(folder, path);
    mkdirSync(dirname(full), { recursive: true });
    writeFileSync(full, text);
    bytes += Buffer.byteLength(text);
  }
  return { files: files.size, megabytes: Number((bytes / 1e6).toFixed(1)) };
}
