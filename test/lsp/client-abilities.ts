import {
  InsertTextFormat,
  type ClientCapabilities,
  type CodeAction,
  type CompletionItem,
  type ServerCapabilities,
  type WorkspaceEdit,
} from "vscode-languageserver";

type Ability = (client: ClientCapabilities, params: never) => boolean | undefined;

/** What a client must have said in `initialize` before the server may send it these (LSP 3.17). */
const ABILITIES: Readonly<Record<string, Ability>> = {
  "window/workDoneProgress/create": ({ window }) => window?.workDoneProgress,
  "$/progress": ({ window }) => window?.workDoneProgress,
  "workspace/configuration": ({ workspace }) => workspace?.configuration,
  "workspace/codeLens/refresh": ({ workspace }) => workspace?.codeLens?.refreshSupport,
  "workspace/inlayHint/refresh": ({ workspace }) => workspace?.inlayHint?.refreshSupport,
  "workspace/semanticTokens/refresh": ({ workspace }) => workspace?.semanticTokens?.refreshSupport,
  "workspace/diagnostic/refresh": ({ workspace }) => workspace?.diagnostics?.refreshSupport,
  "workspace/applyEdit": ({ workspace }, { edit }: { edit: WorkspaceEdit }) => {
    const { documentChanges, resourceOperations = [] } = workspace?.workspaceEdit ?? {};
    const changes = edit.documentChanges ?? [];
    return (
      workspace?.applyEdit &&
      (edit.documentChanges === undefined || documentChanges) &&
      changes.every((change) => !("kind" in change) || resourceOperations.includes(change.kind))
    );
  },
  "textDocument/publishDiagnostics": ({ textDocument }, { diagnostics }: { diagnostics: readonly object[] }) => {
    const has = (property: string): boolean => diagnostics.some((one) => property in one);
    const client = textDocument?.publishDiagnostics;
    return (
      (client?.relatedInformation || !has("relatedInformation")) &&
      (client?.codeDescriptionSupport || !has("codeDescription")) &&
      (client?.tagSupport !== undefined || !has("tags"))
    );
  },
  "client/registerCapability": (client, params: { registrations: readonly { method: string }[] }) =>
    params.registrations.every(({ method }) => {
      const { workspace, textDocument } = client;
      const capabilities: Readonly<Record<string, { dynamicRegistration?: boolean } | undefined>> = {
        "workspace/didChangeWatchedFiles": workspace?.didChangeWatchedFiles,
        "workspace/didChangeConfiguration": workspace?.didChangeConfiguration,
        // Folders are told of where the client has them at all; the protocol has no flag of its own for that.
        "workspace/didChangeWorkspaceFolders": { dynamicRegistration: workspace?.workspaceFolders === true },
        "textDocument/diagnostic": textDocument?.diagnostic,
      };
      return capabilities[method]?.dynamicRegistration === true;
    }),
  "window/logMessage": () => true,
  "window/showMessage": () => true,
  "window/showMessageRequest": ({ window }) => window?.showMessage !== undefined,
};

/** What of a message the client cannot take; undefined where it can. */
export function whatClientLacks(
  { method, params }: { readonly method?: string; readonly params?: unknown },
  client: ClientCapabilities,
): string | undefined {
  const ability = method !== undefined && Object.hasOwn(ABILITIES, method) ? ABILITIES[method] : undefined;
  return ability?.(client, params as never) ? undefined : JSON.stringify(params ?? method)?.slice(0, 120);
}

type AnswerAbility = (client: ClientCapabilities, result: never) => boolean | undefined;

/** The same of what the server answers. */
const ANSWER_ABILITIES: Readonly<Record<string, AnswerAbility>> = {
  initialize: ({ textDocument }, { capabilities }: { capabilities: ServerCapabilities }) =>
    (textDocument?.rename?.prepareSupport || typeof capabilities.renameProvider === "boolean") &&
    (textDocument?.codeAction?.codeActionLiteralSupport || typeof capabilities.codeActionProvider === "boolean") &&
    (textDocument?.diagnostic !== undefined || capabilities.diagnosticProvider === undefined),
  "textDocument/hover": ({ textDocument }, result: { contents: { kind: string } } | null) =>
    !result || textDocument?.hover?.contentFormat?.includes(result.contents.kind as never) !== false,
  "textDocument/completion": ({ textDocument }, items: readonly CompletionItem[]) =>
    textDocument?.completion?.completionItem?.snippetSupport ||
    items.every(({ insertTextFormat }) => insertTextFormat !== InsertTextFormat.Snippet),
  "textDocument/definition": ({ textDocument }, result: unknown) =>
    textDocument?.definition?.linkSupport || !JSON.stringify(result).includes("targetUri"),
  "textDocument/documentSymbol": ({ textDocument }, symbols: readonly object[]) =>
    textDocument?.documentSymbol?.hierarchicalDocumentSymbolSupport || symbols.every((one) => !("children" in one)),
  "textDocument/codeAction": ({ textDocument, workspace }, actions: readonly CodeAction[]) => {
    const client = textDocument?.codeAction;
    const canResolve = client?.dataSupport && client.resolveSupport?.properties.includes("edit");
    return actions.every(
      ({ edit }) =>
        client?.codeActionLiteralSupport &&
        (edit !== undefined || canResolve) &&
        (edit?.documentChanges === undefined || workspace?.workspaceEdit?.documentChanges),
    );
  },
  "textDocument/rename": ({ workspace }, edit: WorkspaceEdit | null) =>
    edit?.documentChanges === undefined || workspace?.workspaceEdit?.documentChanges,
};

/** What of an answer the client cannot take; undefined where it can. */
export function whatOfAnswerClientLacks(
  method: string,
  result: unknown,
  client: ClientCapabilities,
): string | undefined {
  const ability = Object.hasOwn(ANSWER_ABILITIES, method) ? ANSWER_ABILITIES[method] : undefined;
  return !ability || ability(client, result as never) ? undefined : JSON.stringify(result).slice(0, 120);
}
