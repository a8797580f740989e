import { getHeapStatistics, setFlagsFromString } from "node:v8";

/** From here on (bytes) looking for unused memory takes longer than a keystroke may. */
const LARGE_HEAP = 150e6;

/**
 * An editor runs many servers beside one another, and most of what this one makes is soon left behind: its heap grows by small
 * steps, so that memory that is no longer used is looked for before more is taken.
 */
export function useMemoryModestly(): void {
  growBy("60");
}

/** Where the books are large the heap grows as it always does: then looking seldom matters more than looking early. */
export function fitMemoryToBooks(): void {
  if (getHeapStatistics().used_heap_size > LARGE_HEAP) growBy("0");
}

/** Percent of what is in use; 0 leaves it to the engine. */
function growBy(percent: string): void {
  setFlagsFromString(`--heap-growing-percent=${percent}`);
}
