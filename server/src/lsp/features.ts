import type { ClientCapabilities, Connection, ServerCapabilities } from "vscode-languageserver";
import { SEMANTIC_TOKEN_MODIFIERS, SEMANTIC_TOKEN_TYPES } from "../features/semantic-tokens.ts";
import type { FeatureHost } from "./feature-host.ts";
import { registerCodeActions } from "./requests-code-actions.ts";
import { registerEditing } from "./requests-editing.ts";
import { registerLooking } from "./requests-looking.ts";
import { registerNavigation } from "./requests-navigation.ts";

/** What the features beside findings offer to a client. */
export function featureCapabilities({ textDocument }: ClientCapabilities): Partial<ServerCapabilities> {
  return {
    codeLensProvider: {},
    inlayHintProvider: true,
    hoverProvider: true,
    completionProvider: { triggerCharacters: [":", " ", "-", "[", ",", "#", "/"] },
    // Options are only for clients that say so.
    codeActionProvider: textDocument?.codeAction?.codeActionLiteralSupport
      ? { codeActionKinds: ["quickfix"], resolveProvider: true }
      : true,
    definitionProvider: true,
    referencesProvider: true,
    documentHighlightProvider: true,
    renameProvider: textDocument?.rename?.prepareSupport ? { prepareProvider: true } : true,
    documentSymbolProvider: true,
    workspaceSymbolProvider: true,
    foldingRangeProvider: true,
    selectionRangeProvider: true,
    documentLinkProvider: {},
    callHierarchyProvider: true,
    semanticTokensProvider: {
      legend: { tokenTypes: [...SEMANTIC_TOKEN_TYPES], tokenModifiers: [...SEMANTIC_TOKEN_MODIFIERS] },
      full: true,
      range: true,
    },
    documentFormattingProvider: true,
    documentRangeFormattingProvider: true,
  };
}

export function registerFeatures(connection: Connection, host: FeatureHost): void {
  registerLooking(connection, host);
  registerEditing(connection, host);
  registerCodeActions(connection, host);
  registerNavigation(connection, host);
}
