import {
  CodeActionKind,
  ErrorCodes,
  ResponseError,
  type CodeAction,
  type Connection,
  type Diagnostic,
  type Range,
  type WorkspaceEdit,
} from "vscode-languageserver";
import { fixAll, fixAllOffers, quickFixes, type QuickFix } from "../features/code-actions.ts";
import type { PublishedFinding } from "../rules/publish.ts";
import type { FeatureHost } from "./feature-host.ts";
import { asked, workspaceEditOf, type Asked } from "./located.ts";

/** What the client hands back to have a fix of many findings worked out once it is chosen. */
interface FixAllData {
  readonly uri: string;
  readonly code: string;
}

/** Quick fixes of the findings under the cursor, and of all findings of their kind. */
export function registerCodeActions(connection: Connection, host: FeatureHost): void {
  connection.onCodeAction(async ({ textDocument: { uri }, range, context }, token) => {
    const file = await asked(host, uri, token);
    // A client without actions of their own kind knows commands alone, and the server has none.
    if (!file || !host.capabilities.textDocument?.codeAction?.codeActionLiteralSupport) return [];
    const all = file.book.live.findings(file.context.file.path);
    const here = all.filter((finding) => touches(finding.range, range));
    const actions = here.flatMap((finding) =>
      quickFixes(file.context, finding).flatMap(
        (fix) => actionOf(host, file, fix, diagnosticOf(finding, context.diagnostics)) ?? [],
      ),
    );
    const offers = fixAllOffers(here, all).flatMap(({ title, code }): CodeAction[] => {
      const offer = { title, kind: CodeActionKind.QuickFix };
      const data: FixAllData = { uri, code };
      if (canResolve(host)) return [{ ...offer, data }];
      const edit = editOfAll(host, file, code);
      return edit ? [{ ...offer, edit }] : [];
    });
    return [...actions, ...offers].filter(({ kind }) => isAsked(kind, context.only));
  });

  connection.onCodeActionResolve(async (action, token) => {
    if (typeof (action as Partial<CodeAction> | null)?.title !== "string")
      throw new ResponseError(ErrorCodes.InvalidParams, "Only a code action that was offered can be worked out.");
    const { uri, code } = (action.data ?? {}) as Partial<FixAllData>;
    const file = typeof uri === "string" && typeof code === "string" ? await asked(host, uri, token) : undefined;
    const edit = file && editOfAll(host, file, code!);
    return edit ? { ...action, edit } : action;
  });
}

/** Whether the edit of an offer may be worked out once it is chosen. */
function canResolve({ capabilities }: FeatureHost): boolean {
  const { resolveSupport, dataSupport } = capabilities.textDocument?.codeAction ?? {};
  return dataSupport === true && resolveSupport?.properties.includes("edit") === true;
}

function editOfAll(host: FeatureHost, file: Asked, code: string): WorkspaceEdit | undefined {
  const fix = fixAll(file.context, code, file.book.live.findings(file.context.file.path));
  return fix && workspaceEditOf(host, file.book, fix.edit, fix.newFiles);
}

function actionOf(
  host: FeatureHost,
  file: Asked,
  fix: QuickFix,
  diagnostic: Diagnostic | undefined,
): CodeAction | undefined {
  const edit = workspaceEditOf(host, file.book, fix.edit, fix.newFiles);
  if (!edit) return undefined;
  return {
    title: fix.title,
    kind: CodeActionKind.QuickFix,
    edit,
    ...(fix.isPreferred && { isPreferred: true }),
    ...(diagnostic && { diagnostics: [diagnostic] }),
  };
}

function diagnosticOf({ code, range }: PublishedFinding, diagnostics: readonly Diagnostic[]): Diagnostic | undefined {
  return diagnostics.find(
    (one) =>
      one.code === code &&
      one.range.start.line === range.start.line &&
      one.range.start.character === range.start.character,
  );
}

function isAsked(kind: string | undefined, only: readonly string[] | undefined): boolean {
  return !only || only.some((asked) => kind === asked || kind?.startsWith(`${asked}.`) === true);
}

function touches(a: Range, b: Range): boolean {
  return !isBefore(a.end, b.start) && !isBefore(b.end, a.start);
}

function isBefore(a: Range["start"], b: Range["start"]): boolean {
  return a.line < b.line || (a.line === b.line && a.character < b.character);
}
