import { ensure } from "../book/book-index.ts";
import { recordKey, type RecordChanges } from "../book/compare-records.ts";
import { fingerprint, type Identified } from "./fingerprint.ts";

interface Compared extends Identified {
  readonly message: string;
  readonly related: readonly unknown[];
}

/**
 * Which findings of two versions of one book are in one of them only. A finding is the same where its fingerprint is, even if
 * its figures moved. Where records changed their order alone, a finding that stands on whichever was written later moves from
 * one to the other, and is the same, too.
 *
 * @param renames ids of fields before, with those that they have after
 */
export function compareFindings<F extends Compared>(
  before: readonly F[],
  after: readonly F[],
  records: RecordChanges,
  renames: ReadonlyMap<string, string>,
): { readonly gained: readonly F[]; readonly lost: readonly F[] } {
  const exact = withoutPairs(
    { findings: before, keyOf: (finding) => `${fingerprint(renamed(finding, renames))} ${finding.message}` },
    { findings: after, keyOf: (finding) => `${fingerprint(finding)} ${finding.message}` },
  );
  const alike = withoutPairs(
    { findings: exact.lost, keyOf: (finding) => fingerprint(renamed(finding, renames)) },
    { findings: exact.gained, keyOf: fingerprint },
  );
  const touched = new Set([...records.added, ...records.changed, ...records.removed].map(recordKey));
  const reordered = (finding: F): string | undefined =>
    touched.has(recordKey(finding.record)) || finding.record.id === "" || finding.related.length === 0
      ? undefined
      : finding.code;
  const inPlace = withoutPairs(
    { findings: alike.lost, keyOf: reordered },
    { findings: alike.gained, keyOf: reordered },
  );
  // Without an id the file stood for the record, and files may be given other names.
  const inOtherFile = ({ code, record, place, message }: F): string | undefined =>
    record.id === "" ? JSON.stringify([code, record.kind, place, message]) : undefined;
  return withoutPairs({ findings: inPlace.lost, keyOf: inOtherFile }, { findings: inPlace.gained, keyOf: inOtherFile });
}

interface Side<F> {
  readonly findings: readonly F[];
  /** Undefined for a finding that goes with no other. */
  readonly keyOf: (finding: F) => string | undefined;
}

/** What is left of each side when findings of equal keys have gone together, in the order given. */
function withoutPairs<F>(before: Side<F>, after: Side<F>): { gained: F[]; lost: F[] } {
  const waiting = new Map<string, F[]>();
  for (const finding of before.findings) {
    const key = before.keyOf(finding);
    if (key !== undefined) ensure(waiting, key, () => []).push(finding);
  }
  const paired = new Set<F>();
  const gained = after.findings.filter((finding) => {
    const other = waiting.get(after.keyOf(finding) ?? "")?.shift();
    if (other) paired.add(other);
    return !other;
  });
  return { gained, lost: before.findings.filter((finding) => !paired.has(finding)) };
}

function renamed<F extends Identified>(finding: F, renames: ReadonlyMap<string, string>): F {
  const { kind, id } = finding.record;
  const now = kind === "fields" || kind === "rotations" ? renames.get(id) : undefined;
  return now === undefined ? finding : { ...finding, record: { kind, id: now } };
}
