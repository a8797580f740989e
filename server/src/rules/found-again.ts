import { samePointer } from "../base/pointer.ts";
import type { Finding, RecordPlace } from "../records/finding.ts";

/** What the findings of one subject have become. */
export interface FoundAgain {
  /** All that was found, in its order: of what was found before, the objects of before. */
  readonly findings: readonly Finding[];
  readonly gone: readonly Finding[];
  readonly fresh: readonly Finding[];
}

/** Tells what was found again from what is new and what is gone. Of equal findings as many stay as there were. */
export function foundAgain(before: readonly Finding[], found: readonly Finding[]): FoundAgain {
  const left = new Map<string, Finding[]>();
  for (const finding of before) {
    const same = left.get(finding.message);
    if (same) same.push(finding);
    else left.set(finding.message, [finding]);
  }
  const findings: Finding[] = [];
  const fresh: Finding[] = [];
  for (const finding of found) {
    const candidates = left.get(finding.message) ?? [];
    const at = candidates.findIndex((one) => isSameFinding(one, finding));
    const [known] = at < 0 ? [] : candidates.splice(at, 1);
    if (!known) fresh.push(finding);
    findings.push(known ?? finding);
  }
  return { findings, gone: [...left.values()].flat(), fresh };
}

function isSameFinding(a: Finding, b: Finding): boolean {
  return (
    a.code === b.code &&
    a.level === b.level &&
    a.message === b.message &&
    a.suggestion?.replacement === b.suggestion?.replacement &&
    isSamePlace(a.place, b.place) &&
    a.related.length === b.related.length &&
    a.related.every(({ place, message }, i) => {
      const other = b.related[i]!;
      return message === other.message && isSamePlace(place, other.place);
    })
  );
}

function isSamePlace(a: RecordPlace, b: RecordPlace): boolean {
  return a.record === b.record && a.part === b.part && samePointer(a.pointer, b.pointer);
}
