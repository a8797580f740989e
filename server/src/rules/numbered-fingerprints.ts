import { sha256 } from "../base/sha256.ts";
import { fingerprint, type Identified } from "./fingerprint.ts";

/** 128 bits are enough to keep findings apart, and short enough to stand in a file that people review. */
const DIGITS = 32;
/** A longer id or name enters by its digest, so that a very long one is worked through once. */
const LONGEST_PART = 200;

/**
 * What each finding is known by from one check to the next, all different: of several that share a fingerprint the first is
 * 1, the next 2, and so on. Neither lines, nor levels, nor words enter, so that a figure that changes keeps its finding.
 *
 * @param findings of one book, in the order of publishing
 * @param book what keeps the findings of several books apart; empty for one alone
 * @returns for each finding 32 hexadecimal digits
 */
export function numberedFingerprints(findings: readonly Identified[], book = ""): string[] {
  const counts = new Map<string, number>();
  const digests = new Map<string, string>();
  const short = (part: string): string => {
    if (part.length <= LONGEST_PART) return part;
    let digest = digests.get(part);
    if (digest === undefined) digests.set(part, (digest = sha256(part)));
    return digest;
  };
  return findings.map(({ code, file, record, place }) => {
    const named = { code, file, record: { kind: record.kind, id: short(record.id) }, place: short(place) };
    const key = fingerprint(named);
    const ordinal = (counts.get(key) ?? 0) + 1;
    counts.set(key, ordinal);
    return sha256(JSON.stringify([book, key, ordinal])).slice(0, DIGITS);
  });
}
