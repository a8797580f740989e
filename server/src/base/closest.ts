import { distance } from "fastest-levenshtein";

const MOST_CANDIDATES = 5000;
const LONGEST_WORD = 64;

/**
 * The candidate that a mistyped word was most likely meant to be, or undefined where none is near: a third of its letters
 * may differ, at least one and three at most. Ties go to the first candidate.
 */
export function closest(word: string, candidates: Iterable<string>): string | undefined {
  if (word.length > LONGEST_WORD) return undefined;
  const most = Math.min(3, Math.max(1, Math.floor(word.length / 3)));
  const wanted = word.toLowerCase();
  let best: string | undefined;
  let bestDistance = most + 1;
  let looked = 0;
  for (const candidate of candidates) {
    if (++looked > MOST_CANDIDATES) break;
    if (Math.abs(candidate.length - word.length) >= bestDistance) continue;
    const apart = distance(wanted, candidate.toLowerCase());
    if (apart < bestDistance) {
      best = candidate;
      bestDistance = apart;
    }
  }
  return best;
}
