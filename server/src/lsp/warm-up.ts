import type { LiveBook } from "../rules/live-book.ts";
import type { RecordFile } from "../records/record-file.ts";

const KINDS: readonly RecordFile["kind"][] = ["visits", "cleanings", "samples"];
const MOST_TIMES = 15;
const MOST_MS = 500;

/**
 * Takes the last record out of a book's largest files and puts it back, over and over for half a second at most: code that has
 * never run runs many times slower, and the keeper's first keystrokes are not to wait for that. Nothing is different afterwards.
 * Each step ends between two of these, so that whoever asks something meanwhile is answered.
 */
export function* warmUp(live: LiveBook): Generator<void> {
  const began = performance.now();
  for (let i = 0; i < MOST_TIMES && performance.now() - began < MOST_MS; i++) {
    for (const kind of KINDS) {
      const file = largestOf(kind, live);
      const last = file?.entries.at(-1);
      if (!file || !last) continue;
      const { path, text } = file;
      live.update(new Map([[path, { path, text: text.slice(0, last.span.start) }]]));
      live.update(new Map([[path, { path, text }]]));
      yield;
    }
  }
}

/** A file with problems of its own may have been read with some that its text alone does not show. */
function largestOf(kind: RecordFile["kind"], { book }: LiveBook): RecordFile | undefined {
  const files = book.files.filter((file) => file.kind === kind && file.isSliced && file.problems.length === 0);
  return files.reduce<RecordFile | undefined>(
    (most, file) => (file.text.length > (most?.text.length ?? 0) ? file : most),
    undefined,
  );
}
