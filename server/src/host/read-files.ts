import { readFile, stat } from "node:fs/promises";
import { join } from "node:path";
import type { SourceFile } from "../book/open-book.ts";

export const MAX_BYTES = 20_000_000;
/** A byte of 0 in the first of these shows a file that holds no text. */
const FIRST_BYTES = 8000;

/** Reads a book's files. A file that cannot be read comes back empty, with the reason in words for its keeper. */
export async function readSourceFiles(root: string, paths: readonly string[]): Promise<SourceFile[]> {
  return Promise.all(paths.map((path) => readSourceFileFrom(root, path)));
}

export async function readSourceFileFrom(root: string, path: string): Promise<SourceFile> {
  try {
    const full = join(root, path);
    const found = await stat(full);
    // A device or a pipe may never end.
    if (!found.isFile() && !found.isDirectory()) return troubled(path, "this is no plain file, and is not read");
    if (found.size > MAX_BYTES) return tooLongToRead(path, found.size);
    return decodeSource(path, await readFile(full));
  } catch (error) {
    const isGone = (error as NodeJS.ErrnoException).code === "ENOENT";
    return troubled(path, whyUnreadable(error), isGone);
  }
}

/** @param size in bytes, over `MAX_BYTES` */
export function tooLongToRead(path: string, size: number): SourceFile {
  return troubled(
    path,
    `this file is ${Math.round(size / 1e6)} MB, too long to be read (20 MB at most); split it by year or by month`,
  );
}

/** Bytes to text. What is not UTF-8 is told at its first place; everything else is still read. */
export function decodeSource(path: string, bytes: Uint8Array): SourceFile {
  const isUtf16 = (bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff);
  if (isUtf16) return troubled(path, "this file is saved as UTF-16; save it as UTF-8 so that it can be read");
  if (bytes.subarray(0, FIRST_BYTES).includes(0))
    return troubled(path, "this is no text file; records are kept as UTF-8 text");
  const text = new TextDecoder("utf-8", { ignoreBOM: true }).decode(bytes);
  // The replacement character is rare in a record: only then is the slower, exact look worth it.
  if (!text.includes("\uFFFD") || isValidUtf8(bytes)) return { path, text };
  const at = text.indexOf("\uFFFD");
  return {
    path,
    text,
    trouble: { message: "these bytes are not UTF-8 text; save the file as UTF-8 and write the letter again", at },
  };
}

function isValidUtf8(bytes: Uint8Array): boolean {
  try {
    new TextDecoder("utf-8", { fatal: true }).decode(bytes);
    return true;
  } catch {
    return false;
  }
}

function troubled(path: string, message: string, isGone = false): SourceFile {
  return { path, text: "", trouble: { message, at: 0, isGone } };
}

function whyUnreadable(error: unknown): string {
  const code = (error as NodeJS.ErrnoException).code;
  if (code === "ENOENT") return "this file vanished while it was read; run the check again";
  if (code === "EACCES" || code === "EPERM") return "this file may not be read by you; change its permissions";
  if (code === "EISDIR") return "this is a folder with the name of a record file; rename it";
  return `this file could not be read (${code ?? String(error)})`;
}
