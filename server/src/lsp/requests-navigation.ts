import { join } from "node:path";
import {
  DocumentHighlightKind,
  SymbolKind as ProtocolSymbolKind,
  type CallHierarchyItem,
  type Connection,
  type DocumentSymbol as ProtocolSymbol,
  type Range,
  type SelectionRange,
  type SymbolInformation,
} from "vscode-languageserver";
import {
  incomingCalls,
  outgoingCalls,
  prepareCallHierarchy,
  soilItemData,
  type SoilItem,
} from "../features/call-hierarchy.ts";
import { definition } from "../features/definition.ts";
import { documentHighlights } from "../features/document-highlights.ts";
import { references } from "../features/references.ts";
import { selectionRanges } from "../features/selection-ranges.ts";
import { documentSymbols, type DocumentSymbol, type SymbolKind } from "../features/symbols.ts";
import { workspaceSymbols } from "../features/workspace-symbols.ts";
import { linesOf } from "../rules/publish.ts";
import type { FeatureHost } from "./feature-host.ts";
import { asked, locationOf, locationOfLink, locationsOf, type Asked } from "./located.ts";
import type { WorkspaceBook } from "./workspace.ts";

const KINDS: Readonly<Record<SymbolKind, ProtocolSymbolKind>> = {
  field: ProtocolSymbolKind.Namespace,
  entrance: ProtocolSymbolKind.Interface,
  equipment: ProtocolSymbolKind.Class,
  rotation: ProtocolSymbolKind.Array,
  crop: ProtocolSymbolKind.Property,
  visit: ProtocolSymbolKind.Event,
  patch: ProtocolSymbolKind.Object,
  dig: ProtocolSymbolKind.Object,
  cleaning: ProtocolSymbolKind.Method,
  step: ProtocolSymbolKind.Field,
  sample: ProtocolSymbolKind.Constant,
  grower: ProtocolSymbolKind.Package,
  crew: ProtocolSymbolKind.Variable,
  lab: ProtocolSymbolKind.Module,
  check: ProtocolSymbolKind.Function,
  group: ProtocolSymbolKind.Object,
};

/** Finding one's way: definitions, uses, symbols, and the ways of the soil as a call hierarchy. */
export function registerNavigation(connection: Connection, host: FeatureHost): void {
  connection.onDefinition(async ({ textDocument, position }, token) => {
    const file = await asked(host, textDocument.uri, token);
    const found = file && definition(file.context, file.offset(position));
    const target = found && locationOfLink(host, file.book, found, found.target);
    const selection = found && locationOfLink(host, file.book, found, found.selection);
    if (!file || !found || !target || !selection) return null;
    if (!host.capabilities.textDocument?.definition?.linkSupport) return selection;
    const link = { targetUri: target.uri, targetRange: target.range, targetSelectionRange: selection.range };
    return [{ originSelectionRange: file.range(found.origin), ...link }];
  });

  connection.onReferences(async ({ textDocument, position, context }, token) => {
    const file = await asked(host, textDocument.uri, token);
    const withDefinition = context.includeDeclaration;
    return file
      ? locationsOf(host, file.book, references(file.context, file.offset(position), { withDefinition }))
      : [];
  });

  connection.onDocumentHighlight(async ({ textDocument, position }, token) => {
    const file = await asked(host, textDocument.uri, token);
    if (!file) return [];
    return documentHighlights(file.context, file.offset(position)).map(({ span, kind }) => ({
      range: file.range(span),
      kind: kind === "definition" ? DocumentHighlightKind.Write : DocumentHighlightKind.Read,
    }));
  });

  connection.onSelectionRanges(async ({ textDocument, positions }, token) => {
    const file = await asked(host, textDocument.uri, token);
    if (!file) return [];
    return positions.map((position) => {
      const spans = selectionRanges(file.context, file.offset(position));
      const outermostFirst = [...spans].sort((a, b) => b.end - b.start - (a.end - a.start));
      let nested: SelectionRange | undefined;
      for (const span of outermostFirst) nested = { range: file.range(span), ...(nested && { parent: nested }) };
      return nested ?? { range: { start: position, end: position } };
    });
  });

  connection.onDocumentSymbol(async ({ textDocument }, token) => {
    const file = await asked(host, textDocument.uri, token);
    if (!file) return [];
    const symbols = documentSymbols(file.context);
    if (host.capabilities.textDocument?.documentSymbol?.hierarchicalDocumentSymbolSupport)
      return symbols.map((symbol) => symbolOf(symbol, file));
    return symbols.flatMap((symbol) => flatSymbols(symbol, file, textDocument.uri));
  });

  connection.onWorkspaceSymbol(async ({ query }, token) => {
    await host.settled(token);
    const found = host.workspace.books.flatMap((book) =>
      workspaceSymbols(book.live.book, query).map((symbol) => ({ book, symbol })),
    );
    found.sort((a, b) => a.symbol.rank - b.symbol.rank);
    return found.flatMap(({ book, symbol }) => {
      const location = locationOf(host, book, symbol);
      return location ? { name: symbol.name, kind: KINDS[symbol.kind], location, containerName: symbol.detail } : [];
    });
  });

  connection.languages.callHierarchy.onPrepare(async ({ textDocument, position }, token) => {
    const file = await asked(host, textDocument.uri, token);
    const item = file && prepareCallHierarchy(file.context, file.offset(position));
    const made = item && itemOf(host, file.book, item);
    return made ? [made] : null;
  });

  connection.languages.callHierarchy.onIncomingCalls(async ({ item }, token) => {
    const file = await asked(host, item.uri, token);
    const data = soilItemData(item.data);
    if (!file || !data) return [];
    return incomingCalls(file.book.live.book, data).flatMap((call) => {
      const from = itemOf(host, file.book, call.item);
      return from ? { from, fromRanges: rangesIn(file.book, call.item.path, call.spans) } : [];
    });
  });

  connection.languages.callHierarchy.onOutgoingCalls(async ({ item }, token) => {
    const file = await asked(host, item.uri, token);
    const data = soilItemData(item.data);
    if (!file || !data) return [];
    const { path } = file.context.file;
    return outgoingCalls(file.book.live.book, data, path).flatMap((call) => {
      const to = itemOf(host, file.book, call.item);
      return to ? { to, fromRanges: rangesIn(file.book, path, call.spans) } : [];
    });
  });
}

function symbolOf({ name, detail, kind, span, selection, children }: DocumentSymbol, file: Asked): ProtocolSymbol {
  return {
    name,
    detail,
    kind: KINDS[kind],
    range: file.range(span),
    selectionRange: file.range(selection),
    children: children.map((child) => symbolOf(child, file)),
  };
}

/** The same for a client that knows no symbols within symbols. */
function flatSymbols(symbol: DocumentSymbol, file: Asked, uri: string, containerName?: string): SymbolInformation[] {
  const { name, kind, span, children } = symbol;
  const container = containerName === undefined ? {} : { containerName };
  const own = { name, kind: KINDS[kind], location: { uri, range: file.range(span) }, ...container };
  return [own, ...children.flatMap((child) => flatSymbols(child, file, uri, name))];
}

function itemOf(host: FeatureHost, book: WorkspaceBook, item: SoilItem): CallHierarchyItem | undefined {
  const whole = locationOf(host, book, item);
  const selection = locationOf(host, book, { path: item.path, span: item.selection });
  if (!whole || !selection) return undefined;
  return {
    name: item.name,
    detail: item.detail,
    kind: item.kind === "field" ? ProtocolSymbolKind.Namespace : ProtocolSymbolKind.Class,
    uri: host.uriOf(join(book.root, item.path)),
    range: whole.range,
    selectionRange: selection.range,
    data: item.data,
  };
}

function rangesIn(book: WorkspaceBook, path: string, spans: readonly { start: number; end: number }[]): Range[] {
  const file = book.live.book.files.find((candidate) => candidate.path === path);
  return file ? spans.map((span) => linesOf(file).range(span)) : [];
}
