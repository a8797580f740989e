import { byCodeUnits } from "../base/code-units.ts";
import { printable } from "./printable.ts";
import type { BaselineEntry, CheckReport, ReportedFinding } from "./report.ts";
import { countLevels } from "./summary.ts";

const VERSION = 1;
const LONGEST_PLACE = 200;
const HOW_TO_RENEW = "write it anew with --write-baseline";

/** All findings as a baseline: JSON, sorted by code, place and fingerprint, so that the same findings give the same bytes. */
export function baselineJson(findings: readonly ReportedFinding[]): string {
  const entries = findings.map(({ fingerprint, code, file, record, place }) => {
    const full = [record.kind, record.id, place].filter((part) => part !== "").join("/");
    return { code, place: printable(full.slice(0, LONGEST_PLACE)), file, fingerprint };
  });
  entries.sort(
    (a, b) => byCodeUnits(a.code, b.code) || byCodeUnits(a.place, b.place) || byCodeUnits(a.fingerprint, b.fingerprint),
  );
  return `${JSON.stringify({ baseline: VERSION, findings: entries }, null, 2)}\n`;
}

/** Reads a baseline; a text that is none comes back as the sentence that says why. */
export function readBaseline(text: string): readonly BaselineEntry[] | string {
  let value: unknown;
  try {
    value = JSON.parse(text.replace(/^\uFEFF/, ""));
  } catch {
    return `is not JSON; ${HOW_TO_RENEW}`;
  }
  const { baseline, findings } = isMap(value) ? value : {};
  if (typeof baseline !== "number" || !Array.isArray(findings)) return `is no baseline; ${HOW_TO_RENEW}`;
  if (baseline !== VERSION)
    return `is a baseline of version ${baseline}, and only ${VERSION} can be read; ${HOW_TO_RENEW}`;
  const entries: BaselineEntry[] = [];
  for (const [i, entry] of (findings as unknown[]).entries()) {
    const { fingerprint, code, file, place } = isMap(entry) ? entry : {};
    if (typeof fingerprint !== "string" || typeof code !== "string")
      return `has no fingerprint or no code in its finding ${i + 1}; ${HOW_TO_RENEW}`;
    const words = (part: unknown): string => (typeof part === "string" ? part : "");
    entries.push({ fingerprint, code, file: words(file), place: words(place) });
  }
  return entries;
}

/** The report without the findings that a baseline knows, and with what of the baseline is gone. */
export function withoutKnown(report: CheckReport, baseline: readonly BaselineEntry[]): CheckReport {
  const known = new Set(baseline.map(({ fingerprint }) => fingerprint));
  const occurring = new Set(report.findings.map(({ fingerprint }) => fingerprint));
  const findings = report.findings.filter(({ fingerprint }) => !known.has(fingerprint));
  return {
    ...report,
    findings,
    counts: countLevels(findings),
    baseline: {
      known: report.findings.length - findings.length,
      gone: baseline.filter(({ fingerprint }) => !occurring.has(fingerprint)),
    },
  };
}

function isMap(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
