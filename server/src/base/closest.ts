import { distance } from "fastest-levenshtein";

const MOST_CANDIDATES = 5000;
const LONGEST_WORD = 64;

/**
 * The candidate that a mistyped word was most likely meant to be, or undefined where none is near: a third of its letters
 * may differ, at least one and three at most. Ties go to the first by its characters: the candidates' order is no matter.
 */
export function closest(word: string, candidates: Iterable<string>): string | undefined {
  if (word.length > LONGEST_WORD) return undefined;
  const most = Math.min(3, Math.max(1, Math.floor(word.length / 3)));
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
