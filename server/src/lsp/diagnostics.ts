import { join } from "node:path";
import { DiagnosticSeverity, type Diagnostic } from "vscode-languageserver";
import type { Level } from "../records/finding.ts";
import type { PublishedFinding } from "../rules/publish.ts";

const SEVERITY: Readonly<Record<Level, DiagnosticSeverity>> = {
  error: DiagnosticSeverity.Error,
  warning: DiagnosticSeverity.Warning,
  information: DiagnosticSeverity.Information,
  hint: DiagnosticSeverity.Hint,
};

export interface DiagnosticOptions {
  readonly uriOf: (path: string) => string;
  readonly withRelated: boolean;
  /** The address of a rule's page; undefined for a client that shows none. */
  readonly pageOf: (code: string) => string | undefined;
}

/** @param root absolute path of the book's root */
export function diagnosticOf(
  finding: PublishedFinding,
  root: string,
  { uriOf, withRelated, pageOf }: DiagnosticOptions,
): Diagnostic {
  const related = finding.related.map(({ file, range, message }) => ({
    location: { uri: uriOf(join(root, file)), range },
    message,
  }));
  const href = pageOf(finding.code);
  return {
    range: finding.range,
    severity: SEVERITY[finding.level],
    code: finding.code,
    ...(href !== undefined && { codeDescription: { href } }),
    source: "spadework",
    message: finding.message,
    ...(withRelated && related.length > 0 && { relatedInformation: related }),
  };
}
