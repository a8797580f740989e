import {
  CompletionItemKind,
  InsertTextFormat,
  InsertTextMode,
  LSPErrorCodes,
  ResponseError,
  type Connection,
} from "vscode-languageserver";
import { formatDay, formatMinute } from "../base/days.ts";
import { completionsAt, type CompletionItem } from "../features/completion.ts";
import { formatting } from "../features/formatting.ts";
import { prepareRename, rename } from "../features/rename.ts";
import type { FeatureHost } from "./feature-host.ts";
import { asked, editsOf, workspaceEditOf } from "./located.ts";

const KINDS: Readonly<Record<CompletionItem["kind"], CompletionItemKind>> = {
  key: CompletionItemKind.Property,
  word: CompletionItemKind.EnumMember,
  id: CompletionItemKind.Reference,
  time: CompletionItemKind.Event,
  figure: CompletionItemKind.Value,
  record: CompletionItemKind.Snippet,
};

/** What changes the text at the keeper's wish: completion, rename, formatting. */
export function registerEditing(connection: Connection, host: FeatureHost): void {
  connection.onCompletion(async ({ textDocument, position }, token) => {
    const file = await asked(host, textDocument.uri, token);
    if (!file) return [];
    const clock = { today: formatDay(host.host.today()), now: formatMinute(host.host.now()) };
    const canDoSnippets = host.capabilities.textDocument?.completion?.completionItem?.snippetSupport ?? false;
    return completionsAt(file.context, file.offset(position), clock)
      .filter((item) => canDoSnippets || !item.isSnippet)
      .map((item) => ({
        label: item.label,
        kind: KINDS[item.kind],
        detail: item.detail,
        documentation: item.documentation,
        sortText: item.sortText,
        filterText: item.filterText,
        insertTextFormat: item.isSnippet ? InsertTextFormat.Snippet : InsertTextFormat.PlainText,
        insertTextMode: InsertTextMode.asIs,
        textEdit: { range: file.range(item.replace), newText: item.insertText },
        ...(item.asksAgain &&
          host.hasEditorCommands && { command: { title: "Suggest", command: "editor.action.triggerSuggest" } }),
      }));
  });

  connection.onPrepareRename(async ({ textDocument, position }, token) => {
    const file = await asked(host, textDocument.uri, token);
    if (!file) return null;
    const place = prepareRename(file.context, file.offset(position));
    if ("problem" in place) throw new ResponseError(LSPErrorCodes.RequestFailed, place.problem);
    return { range: file.range(place.span), placeholder: place.id };
  });

  connection.onRenameRequest(async ({ textDocument, position, newName }, token) => {
    const file = await asked(host, textDocument.uri, token);
    if (!file) return null;
    const edit = rename(file.context, file.offset(position), newName);
    if ("problem" in edit) throw new ResponseError(LSPErrorCodes.RequestFailed, edit.problem);
    return workspaceEditOf(host, file.book, edit) ?? null;
  });

  connection.onDocumentFormatting(async ({ textDocument }, token) => {
    const file = await asked(host, textDocument.uri, token);
    return file?.settings.format ? editsOf(file, formatting(file.context)) : [];
  });

  connection.onDocumentRangeFormatting(async ({ textDocument, range }, token) => {
    const file = await asked(host, textDocument.uri, token);
    return file?.settings.format
      ? editsOf(file, formatting(file.context, { start: file.offset(range.start), end: file.offset(range.end) }))
      : [];
  });
}
