import { LineIndex } from "../base/line-index.ts";
import type { RecordFile } from "./record-file.ts";

const lineIndexes = new WeakMap<RecordFile, LineIndex>();

/** The lines of a file's text, found once for as long as the file is held. */
export function linesOf(file: RecordFile): LineIndex {
  let lines = lineIndexes.get(file);
  if (!lines) lineIndexes.set(file, (lines = new LineIndex(file.text)));
  return lines;
}
