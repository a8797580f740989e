import { join } from "node:path";
import {
  InlayHintKind,
  MarkupKind,
  SemanticTokensBuilder,
  type Command,
  type Connection,
  type MarkupContent,
  type SemanticTokens,
} from "vscode-languageserver";
import type { Span } from "../base/text.ts";
import { codeLenses, type LensTarget } from "../features/code-lenses.ts";
import { documentLinks } from "../features/document-links.ts";
import { foldingRanges } from "../features/folding.ts";
import { hover } from "../features/hover.ts";
import { inlayHints } from "../features/inlay-hints.ts";
import { SEMANTIC_TOKEN_MODIFIERS, SEMANTIC_TOKEN_TYPES, semanticTokens } from "../features/semantic-tokens.ts";
import type { FeatureHost } from "./feature-host.ts";
import { asked, locationsOf, type Asked } from "./located.ts";
import { plainHover } from "./plain-hover.ts";
import type { WorkspaceBook } from "./workspace.ts";

/** What is shown in and beside the text: lenses, hints, hovers, colours, folds, links. */
export function registerLooking(connection: Connection, host: FeatureHost): void {
  connection.onCodeLens(async ({ textDocument: { uri } }, token) => {
    const file = await asked(host, uri, token);
    if (!file?.settings.lenses) return [];
    return codeLenses(file.context).map(({ span, title, opens }) => ({
      range: file.range(span),
      command: opens ? lensCommand(host, file.book, uri, title, opens) : { title, command: "" },
    }));
  });

  connection.languages.inlayHint.on(async ({ textDocument, range }, token) => {
    const file = await asked(host, textDocument.uri, token);
    if (!file) return [];
    const span = { start: file.offset(range.start), end: file.offset(range.end) };
    return inlayHints(file.context, span, file.settings.inlayHints).map(({ at, label }) => ({
      position: file.range({ start: at, end: at }).start,
      label,
      kind: InlayHintKind.Type,
      paddingLeft: true,
    }));
  });

  connection.onHover(async ({ textDocument, position }, token) => {
    const file = await asked(host, textDocument.uri, token);
    const found = file && hover(file.context, file.offset(position));
    if (!file || !found) return null;
    const formats = host.capabilities.textDocument?.hover?.contentFormat;
    const contents = formats?.includes(MarkupKind.Markdown) === false ? plain(found.markdown) : marked(found.markdown);
    return { contents, range: file.range(found.span) };
  });

  connection.onFoldingRanges(async ({ textDocument }, token) => {
    const file = await asked(host, textDocument.uri, token);
    return file ? foldingRanges(file.context).map((fold) => ({ ...fold })) : [];
  });

  connection.onDocumentLinks(async ({ textDocument }, token) => {
    const file = await asked(host, textDocument.uri, token);
    if (!file) return [];
    return documentLinks(file.context).map(({ span, path }) => ({
      range: file.range(span),
      target: host.uriOf(join(file.book.root, path)),
    }));
  });

  connection.languages.semanticTokens.on(async ({ textDocument }, token) =>
    tokensOf(await asked(host, textDocument.uri, token)),
  );
  connection.languages.semanticTokens.onRange(async ({ textDocument, range }, token) => {
    const file = await asked(host, textDocument.uri, token);
    return tokensOf(file, file && { start: file.offset(range.start), end: file.offset(range.end) });
  });
}

function marked(value: string): MarkupContent {
  return { kind: MarkupKind.Markdown, value };
}

function plain(markdown: string): MarkupContent {
  return { kind: MarkupKind.PlainText, value: plainHover(markdown) };
}

/** The commands are the client's own; one that has none of them still shows what the lens says. */
function lensCommand(host: FeatureHost, book: WorkspaceBook, uri: string, title: string, opens: LensTarget): Command {
  const places = locationsOf(host, book, opens.places);
  return opens.kind === "soil"
    ? { title, command: "spadework.showSoil", arguments: [uri, opens.field, places] }
    : { title, command: "spadework.showPlaces", arguments: [title, places] };
}

function tokensOf(file: Asked | undefined, span?: Span): SemanticTokens {
  const builder = new SemanticTokensBuilder();
  for (const token of file ? semanticTokens(file.context, span) : []) {
    const { start, end } = file!.range(token.span);
    const modifiers = token.modifiers.reduce(
      (bits, modifier) => bits | (1 << SEMANTIC_TOKEN_MODIFIERS.indexOf(modifier)),
      0,
    );
    builder.push(
      start.line,
      start.character,
      end.character - start.character,
      SEMANTIC_TOKEN_TYPES.indexOf(token.type),
      modifiers,
    );
  }
  // Changes since an earlier answer are not offered, hence no id to ask for them by.
  return { data: builder.build().data };
}
