import { byCodeUnits } from "../base/code-units.ts";
import type { PublishedFinding } from "./published-finding.ts";

/**
 * The findings of a file by place and code. What is written once and meant by several records, by an alias, is told once.
 *
 * @param findings may be sorted where they are
 */
export function inOrderOfPlace(findings: PublishedFinding[]): PublishedFinding[] {
  // Records come in order, and so do the findings of most: sorting is for what reaches over a record's ends.
  return withoutTwins(isInOrder(findings) ? findings : findings.sort(byPlaceAndRelated));
}

function isInOrder(findings: readonly PublishedFinding[]): boolean {
  for (let i = 1; i < findings.length; i++) if (byPlaceAndRelated(findings[i - 1]!, findings[i]!) > 0) return false;
  return true;
}

function withoutTwins(findings: PublishedFinding[]): PublishedFinding[] {
  const isTwin = (finding: PublishedFinding, i: number): boolean => i > 0 && byPlace(findings[i - 1]!, finding) === 0;
  return findings.some(isTwin) ? findings.filter((finding, i) => !isTwin(finding, i)) : findings;
}

/** Of twins the first is told: which that is does not rest on when each of them was found. */
export function byPlaceAndRelated(a: PublishedFinding, b: PublishedFinding): number {
  return byPlace(a, b) || byRelated(a, b);
}

function byRelated(a: PublishedFinding, b: PublishedFinding): number {
  for (let i = 0; i < Math.min(a.related.length, b.related.length); i++) {
    const [one, other] = [a.related[i]!, b.related[i]!];
    const difference =
      byCodeUnits(one.file, other.file) ||
      one.range.start.line - other.range.start.line ||
      one.range.start.character - other.range.start.character;
    if (difference !== 0) return difference;
  }
  return a.related.length - b.related.length;
}

function byPlace(a: PublishedFinding, b: PublishedFinding): number {
  return (
    a.range.start.line - b.range.start.line ||
    a.range.start.character - b.range.start.character ||
    a.range.end.line - b.range.end.line ||
    a.range.end.character - b.range.end.character ||
    byCodeUnits(a.code, b.code) ||
    byCodeUnits(a.message, b.message)
  );
}
