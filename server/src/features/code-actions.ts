import type { Span } from "../base/text.ts";
import type { PublishedFinding } from "../rules/publish.ts";
import type { BookEdit, FeatureContext } from "./context.ts";
import { acceptFinding } from "./fixes/accept-finding.ts";
import { didYouMean } from "./fixes/did-you-mean.ts";
import { digForPatch } from "./fixes/dig-for-patch.ts";
import { siteOfFinding, type Fixer, type Remedy } from "./fixes/finding-site.ts";
import { joinEdits, placeAfterEdits } from "./fixes/join-edits.ts";
import { missingCleanDown } from "./fixes/missing-clean-down.ts";
import { ratingsTotal } from "./fixes/ratings-total.ts";
import { sampleForDig } from "./fixes/sample-for-dig.ts";
import { setLevel } from "./fixes/set-level.ts";
import { strengthFromMix } from "./fixes/strength-from-mix.ts";

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
};

const NOTHING_RESERVED: ReadonlySet<string> = new Set();

/**
 * What could be done about findings of the context's file: what mends each, then all of its kind, then accepting it or
 * giving its check another level.
 *
 * @param findings those under the cursor.
 * @param ofFile all of the file, in order.
 */
export function quickFixes(
  context: FeatureContext,
  findings: readonly PublishedFinding[],
  ofFile: readonly PublishedFinding[],
): QuickFix[] {
  const codes = [...new Set(findings.map(({ code }) => code))];
  return [
    ...findings.flatMap((finding) => mend(context, finding).map((remedy) => quickFix(context, remedy, [finding]))),
    ...codes.flatMap((code) => fixAll(context, code, ofFile) ?? []),
    ...findings.flatMap((finding) => {
      const site = siteOfFinding(context, finding, NOTHING_RESERVED);
      return site
        ? [...acceptFinding(site), ...setLevel(site)].map((remedy) => quickFix(context, remedy, [finding]))
        : [];
    }),
  ];
}

/** One edit for all findings of a check in the file that can be mended, each by its preferred fix; undefined for fewer than two. */
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
    const remedy = mend(context, finding, reserved).find(({ isPreferred }) => isPreferred);
    const joined = remedy && joinEdits(edit, remedy.edit);
    if (!joined) continue;
    edit = joined;
    mended.push(finding);
    if (remedy.newId !== undefined) reserved.add(remedy.newId);
  }
  if (mended.length < 2) return undefined;
  const title = `Mend all ${mended.length} findings of ${code} in this file`;
  return { title, kind: "fix all", edit, newFiles: newFilesOf(context, edit), isPreferred: false, findings: mended };
}

function mend(context: FeatureContext, finding: PublishedFinding, reserved = NOTHING_RESERVED): readonly Remedy[] {
  const site = siteOfFinding(context, finding, reserved);
  if (!site) return [];
  const fixer = Object.hasOwn(FIXERS, finding.code) ? FIXERS[finding.code] : undefined;
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
