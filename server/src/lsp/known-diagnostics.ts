import type { Diagnostic } from "vscode-languageserver";
import type { PublishedFinding } from "../rules/publish.ts";
import { diagnosticOf, type DiagnosticOptions } from "./diagnostics.ts";
import type { LocatedFile } from "./workspace.ts";

/** What a client was last told of a file. */
export interface KnownResult {
  /** Another one whenever the diagnostics are others. */
  readonly id: string;
  readonly diagnostics: readonly Diagnostic[];
}

/** What was last sent or answered of each file, by absolute path: so that nothing is sent twice, and nothing made twice. */
export class KnownDiagnostics {
  readonly #known = new Map<string, KnownResult>();
  #made = new WeakMap<PublishedFinding, Diagnostic>();
  #count = 0;

  /** The present result of a file; empty for one that belongs to no book. `isNew`: it says something else than the last. */
  update(
    path: string,
    located: LocatedFile | undefined,
    options: DiagnosticOptions,
  ): { readonly result: KnownResult; readonly isNew: boolean } {
    const findings = located?.book.live.findings(located.path) ?? [];
    const diagnostics = findings.map((finding) => this.#diagnostic(finding, located!.book.root, options));
    const before = this.#known.get(path);
    if (before && isSameList(before.diagnostics, diagnostics)) return { result: before, isNew: false };
    const result = { id: String(++this.#count), diagnostics };
    this.#known.set(path, result);
    return { result, isNew: before !== undefined || diagnostics.length > 0 };
  }

  /** The client calls a file by another URI than before. */
  makeAnew(): void {
    this.#made = new WeakMap();
  }

  #diagnostic(finding: PublishedFinding, root: string, options: DiagnosticOptions): Diagnostic {
    let diagnostic = this.#made.get(finding);
    if (!diagnostic) this.#made.set(finding, (diagnostic = diagnosticOf(finding, root, options)));
    return diagnostic;
  }
}

function isSameList(a: readonly Diagnostic[], b: readonly Diagnostic[]): boolean {
  // Most are the very same objects.
  return a.length === b.length && a.every((one, i) => one === b[i] || JSON.stringify(one) === JSON.stringify(b[i]));
}
