import type { Span } from "../base/text.ts";
import { plural } from "../base/words.ts";
import type { PublishedFinding } from "../rules/publish.ts";
import type { BookEdit, FeatureContext } from "./context.ts";
import { acceptFinding } from "./fixes/accept-finding.ts";
import { didYouMean } from "./fixes/did-you-mean.ts";
import { digForPatch } from "./fixes/dig-for-patch.ts";
import { siteOfFinding, type FindingSite, type Fixer, type Remedy } from "./fixes/finding-site.ts";
import { freeId } from "./fixes/free-id.ts";
import { joinEdits, placeAfterEdits } from "./fixes/join-edits.ts";
import { missingCleanDown } from "./fixes/missing-clean-down.ts";
import { ratingsTotal } from "./fixes/ratings-total.ts";
import { sampleForDig } from "./fixes/sample-for-dig.ts";
import { setLevel } from "./fixes/set-level.ts";
import { strengthFromMix } from "./fixes/strength-from-mix.ts";
import { takeAwayAccept } from "./fixes/take-away-accept.ts";

/** A way to mend a finding, or all findings of a check in the file. */
export interface QuickFix {
  readonly title: string;
  readonly kind: "fix" | "fix all";
  /** Of one file or several; what lies outside the edits stays byte for byte. */
  readonly edit: BookEdit;
  /** Files of the edit that are not in the book yet and have to be made. */
  readonly newFiles: readonly string[];
  /** What most keepers would do; at most one of a finding's fixes. */
  readonly isPreferred: boolean;
  /** The findings that it mends. */
  readonly findings: readonly PublishedFinding[];
  /** A text for the keeper to replace: its place in the file after the edit. */
  readonly placeholder?: { readonly path: string; readonly span: Span };
}

/** What mends the findings of one check; every finding with a suggestion has did-you-mean besides. */
const FIXERS: Readonly<Record<string, Fixer>> = {
  "cleaning/missing": missingCleanDown,
  "cleaning/incomplete": missingCleanDown,
  "cleaning/mix-mismatch": strengthFromMix,
  "cleaning/strength-too-low": strengthFromMix,
  "scouting/galls-not-sampled": sampleForDig,
  "scouting/patch-not-dug": digForPatch,
  "scouting/ratings-total": ratingsTotal,
  "structure/duplicate-id": freeId,
};

const ACCEPT_UNUSED = "structure/accept-unused";
const NOTHING_RESERVED: ReadonlySet<string> = new Set();
/** Who has more to mend looks at some of it first. */
const MOST_AT_ONCE = 200;

/** What could be done about a finding of the context's file: what mends it, then accepting it or giving its check another level. */
export function quickFixes(context: FeatureContext, finding: PublishedFinding): QuickFix[] {
  const site = siteOfFinding(context, finding, NOTHING_RESERVED);
  const remedies = [
    ...mendingRemedies(context, finding, site),
    ...(site ? [...acceptFinding(site), ...setLevel(site)] : []),
  ];
  return remedies.map((remedy) => quickFix(context, remedy, [finding]));
}

/** Mending many findings, offered before it is worked out: `fixAll` does that once it is chosen. */
export interface FixAllOffer {
  readonly title: string;
  readonly code: string;
}

/**
 * The checks of some findings that have more findings in the file which may be mended alike.
 *
 * @param findings those under the cursor.
 * @param ofFile all of the file.
 */
export function fixAllOffers(
  findings: readonly PublishedFinding[],
  ofFile: readonly PublishedFinding[],
): FixAllOffer[] {
  const codes = [...new Set(findings.filter(canBeMended).map(({ code }) => code))];
  return codes.flatMap((code) => {
    const count = ofFile.filter((finding) => finding.code === code && canBeMended(finding)).length;
    if (count < 2) return [];
    const which = count > MOST_AT_ONCE ? `the first ${MOST_AT_ONCE} of ${count}` : "all";
    return [{ code, title: `Mend ${which} findings of ${code} in this file` }];
  });
}

/**
 * One edit for the findings of a check in the file, each mended by its preferred fix; undefined where none can be. At most
 * the first 200: the others are found again afterwards.
 *
 * @param ofFile all findings of the file, in order.
 */
export function fixAll(
  context: FeatureContext,
  code: string,
  ofFile: readonly PublishedFinding[],
): QuickFix | undefined {
  const mended: PublishedFinding[] = [];
  const reserved = new Set<string>();
  let edit: BookEdit = new Map();
  for (const finding of ofFile) {
    if (finding.code !== code || finding.file !== context.file.path) continue;
    if (mended.length === MOST_AT_ONCE) break;
    const site = siteOfFinding(context, finding, reserved);
    const remedy = mendingRemedies(context, finding, site).find(({ isPreferred }) => isPreferred);
    const joined = remedy && joinEdits(edit, remedy.edit);
    if (!joined) continue;
    edit = joined;
    mended.push(finding);
    if (remedy.newId !== undefined) reserved.add(remedy.newId);
  }
  if (mended.length === 0) return undefined;
  const title = `Mend ${plural(mended.length, "finding")} of ${code} in this file`;
  return { title, kind: "fix all", edit, newFiles: newFilesOf(context, edit), isPreferred: false, findings: mended };
}

function canBeMended({ code, suggestion }: PublishedFinding): boolean {
  return suggestion !== undefined || code === ACCEPT_UNUSED || Object.hasOwn(FIXERS, code);
}

/** @param site undefined for a finding that stands on no key or value, such as one of a comment */
function mendingRemedies(
  context: FeatureContext,
  finding: PublishedFinding,
  site: FindingSite | undefined,
): readonly Remedy[] {
  if (finding.code === ACCEPT_UNUSED) return takeAwayAccept(context, finding);
  if (!site) return [];
  const { code } = site.finding;
  const fixer = Object.hasOwn(FIXERS, code) ? FIXERS[code] : undefined;
  return [...didYouMean(site), ...(fixer?.(site) ?? [])];
}

function quickFix(
  context: FeatureContext,
  { title, edit, isPreferred = false, placeholder }: Remedy,
  findings: readonly PublishedFinding[],
): QuickFix {
  const place = placeholder === undefined ? undefined : placeAfterEdits(edit, placeholder);
  return {
    title,
    kind: "fix",
    edit,
    newFiles: newFilesOf(context, edit),
    isPreferred,
    findings,
    ...(place && { placeholder: place }),
  };
}

function newFilesOf({ book }: FeatureContext, edit: BookEdit): string[] {
  return [...edit.keys()].filter((path) => !book.files.some((file) => file.path === path));
}
