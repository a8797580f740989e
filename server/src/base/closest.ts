import { distance } from "fastest-levenshtein";

const MOST_CANDIDATES = 5000;
const LONGEST_WORD = 64;

/**
 * The candidate that a mistyped word was most likely meant to be, or undefined where none is near: one letter
 * of a short word may differ, up to three of a long one. Ties go to the first by its characters: the candidates' order is no matter.
 */
export function closest(word: string, candidates: Iterable<string>): string | undefined {
  if (word.length > LONGEST_WORD) return undefined;
  const most = word.length <= 1 ? 0 : word.length <= 3 ? 1 : word.length <= 7 ? 2 : 3;
  const wanted = word.toLowerCase();
  let best: string | undefined;
  let bestDistance = most + 1;
  const all: string[] = [];
  for (const candidate of candidates) {
    // With so many to choose from a guess would be slow, and no better than a coin.
    if (all.push(candidate) > MOST_CANDIDATES) return undefined;
  }
  for (const candidate of all) {
    if (Math.abs(candidate.length - word.length) > Math.min(bestDistance, most)) continue;
    const apart = distance(wanted, candidate.toLowerCase());
    if (apart < bestDistance || (apart === bestDistance && best !== undefined && candidate < best)) {
      best = candidate;
      bestDistance = apart;
    }
  }
  return best;
}
