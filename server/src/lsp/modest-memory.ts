import { setFlagsFromString } from "node:v8";

/**
 * An editor runs many servers beside one another, and most of what this one makes is soon left behind: its heap grows by small
 * steps, so that memory that is no longer used is looked for before more is taken.
 */
export function useMemoryModestly(): void {
  setFlagsFromString("--heap-growing-percent=50");
}
