import type { ClientCapabilities } from "vscode-languageserver";

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
  "workspace/applyEdit": ({ workspace }) => workspace?.applyEdit,
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
};

/** What of a message the client cannot take; undefined where it can. */
export function whatClientLacks(
  { method, params }: { readonly method?: string; readonly params?: unknown },
  client: ClientCapabilities,
): string | undefined {
  const ability = method !== undefined && Object.hasOwn(ABILITIES, method) ? ABILITIES[method] : undefined;
  return ability?.(client, params as never) ? undefined : JSON.stringify(params ?? method)?.slice(0, 120);
}
