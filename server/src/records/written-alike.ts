import type { FileKind } from "../schema/kinds.ts";

/** What records of a kind say in the same words again and again: a crew goes to the same fields and cleans in the same few ways. */
const OFTEN_ALIKE: Partial<Record<FileKind, readonly string[]>> = {
  visits: ["field", "equipment", "crew"],
  cleanings: ["steps", "equipment"],
};

const known = new Map<string, unknown>();
const MOST_KNOWN = 10_000;
/** Longer ones are hardly ever alike, and would be kept for nothing. */
const LONGEST_SHARED = 1000;

/**
 * Has a record that was just read share what is written alike with those before it. So it takes up its memory once, is compared
 * at a glance, and what is worked out from it can be worked out once. Whoever reads records changes none of them.
 */
export function shareWrittenAlike(kind: FileKind, facts: Record<string, unknown>): void {
  for (const key of OFTEN_ALIKE[kind] ?? []) if (facts[key] !== undefined) facts[key] = shared(facts[key]);
}

function shared(value: unknown): unknown {
  const content = JSON.stringify(value);
  // Numbers that are none, as a keeper's own keys may hold, would come back as null. The odd text with that word in it is not
  // shared either, which does no harm.
  if (content.length > LONGEST_SHARED || content.includes("null")) return value;
  let copy = known.get(content);
  if (copy === undefined) {
    if (known.size >= MOST_KNOWN) known.clear();
    // A copy, since what was just read holds on to the text of its whole file.
    known.set(content, (copy = JSON.parse(content)));
  }
  return copy;
}
