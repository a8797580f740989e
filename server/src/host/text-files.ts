import { appendFile, readFile, writeFile } from "node:fs/promises";

/** Why a file that was named could not be read or written, for its keeper. */
export class TextFileTrouble extends Error {}

/** @throws {TextFileTrouble} */
export async function readTextFile(path: string, shownAs: string): Promise<string> {
  try {
    return await readFile(path, "utf8");
  } catch (error) {
    throw trouble(shownAs, "read", error);
  }
}

/** @throws {TextFileTrouble} */
export async function writeTextFile(path: string, shownAs: string, text: string): Promise<void> {
  try {
    await writeFile(path, text);
  } catch (error) {
    throw trouble(shownAs, "written", error);
  }
}

/** Writes a file that is not there yet. @throws {TextFileTrouble} */
export async function writeNewTextFile(path: string, shownAs: string, text: string): Promise<void> {
  try {
    await writeFile(path, text, { flag: "wx" });
  } catch (error) {
    throw trouble(shownAs, "written", error);
  }
}

/** @throws {TextFileTrouble} */
export async function appendTextFile(path: string, shownAs: string, text: string): Promise<void> {
  try {
    await appendFile(path, text);
  } catch (error) {
    throw trouble(shownAs, "written", error);
  }
}

function trouble(shownAs: string, verb: string, error: unknown): TextFileTrouble {
  const code = (error as NodeJS.ErrnoException).code;
  if (code === "ENOENT" && verb === "read") return new TextFileTrouble(`there is no file ${shownAs}`);
  if (code === "ENOENT") return new TextFileTrouble(`${shownAs} lies in a folder that does not exist`);
  if (code === "EEXIST") return new TextFileTrouble(`${shownAs} is there already, and is left as it is`);
  if (code === "EISDIR") return new TextFileTrouble(`${shownAs} is a folder; name a file`);
  if (code === "EACCES" || code === "EPERM") return new TextFileTrouble(`${shownAs} may not be ${verb} by you`);
  return new TextFileTrouble(`${shownAs} could not be ${verb} (${code ?? String(error)})`);
}
