import { join } from "node:path";
import {
  ErrorCodes,
  ResponseError,
  type CancellationToken,
  type Location,
  type Position,
  type Range,
  type TextEdit,
  type WorkspaceEdit,
} from "vscode-languageserver";
import { LineIndex } from "../base/line-index.ts";
import type { Span, TextEdit as PlainEdit } from "../base/text.ts";
import { contextOf, type BookEdit, type FeatureContext, type FilePlace } from "../features/context.ts";
import type { DefinitionLink } from "../features/definition-link.ts";
import { linesOf } from "../rules/publish.ts";
import { shippedRegionText } from "../schema/region.ts";
import type { FeatureHost } from "./feature-host.ts";
import type { Settings } from "./settings.ts";
import type { WorkspaceBook } from "./workspace.ts";

/** A file that a request asks about: its context, and the ways between offsets and the protocol's positions. */
export interface Asked {
  readonly book: WorkspaceBook;
  readonly context: FeatureContext;
  readonly settings: Settings;
  offset(position: Position): number;
  range(span: Span): Range;
}

/**
 * Undefined for a file that belongs to no book. Waits until every edit so far has been taken in.
 *
 * @throws {ResponseError} where the client has cancelled the request meanwhile
 */
export async function asked(host: FeatureHost, uri: string, token?: CancellationToken): Promise<Asked | undefined> {
  await host.settled(token);
  const located = host.locate(uri);
  const context = located && contextOf(located.book.live.opened, located.path);
  if (!located || !context) return undefined;
  const lines = linesOf(context.file);
  return {
    book: located.book,
    context,
    settings: host.settingsOf(located.book.root),
    offset: (position) => lines.offset(wholePosition(position)),
    range: (span) => lines.range(span),
  };
}

/** @throws {ResponseError} for what is no position */
function wholePosition({ line, character }: Position): Position {
  if (!Number.isFinite(line) || !Number.isFinite(character))
    throw new ResponseError(ErrorCodes.InvalidParams, "A position has a line and a character, both counted from 0.");
  return { line: Math.trunc(line), character: Math.trunc(character) };
}

/** A place in a region pack that comes with the program. */
function placeInShipped({ host }: FeatureHost, name: string, span: Span): Location | undefined {
  const uri = host.packOf?.(name);
  const text = shippedRegionText(name);
  return uri === undefined || text === undefined ? undefined : { uri, range: new LineIndex(text).range(span) };
}

/** Where a definition lies, in the book or in what comes with the program. */
export function locationOfLink(
  host: FeatureHost,
  book: WorkspaceBook,
  { path, shippedPack }: DefinitionLink,
  span: Span,
): Location | undefined {
  return shippedPack === undefined ? locationOf(host, book, { path, span }) : placeInShipped(host, shippedPack, span);
}

/** Places in any file of a book as the protocol gives them. */
export function locationOf(host: FeatureHost, book: WorkspaceBook, { path, span }: FilePlace): Location | undefined {
  const file = book.live.book.files.find((candidate) => candidate.path === path);
  return file && { uri: host.uriOf(join(book.root, path)), range: linesOf(file).range(span) };
}

export function locationsOf(host: FeatureHost, book: WorkspaceBook, places: readonly FilePlace[]): Location[] {
  return places.flatMap((place) => locationOf(host, book, place) ?? []);
}

export function editsOf(asked: Pick<Asked, "range">, edits: readonly PlainEdit[]): TextEdit[] {
  return edits.map(({ span, newText }) => ({ range: asked.range(span), newText }));
}

/** Edits of several files; files that are not there yet are made first, which not every client can. */
export function workspaceEditOf(
  host: FeatureHost,
  book: WorkspaceBook,
  edit: BookEdit,
  newFiles: readonly string[] = [],
): WorkspaceEdit | undefined {
  const isNew = new Set(newFiles);
  const parts = [...edit].map(([path, edits]) => {
    const file = book.live.book.files.find((candidate) => candidate.path === path);
    const start = { line: 0, character: 0 };
    const range = (span: Span): Range => (file ? linesOf(file).range(span) : { start, end: start });
    return { path, uri: host.uriOf(join(book.root, path)), edits: editsOf({ range }, edits) };
  });
  const { workspaceEdit } = host.capabilities.workspace ?? {};
  if (newFiles.length > 0 && !workspaceEdit?.resourceOperations?.includes("create")) return undefined;
  if (!workspaceEdit?.documentChanges)
    return { changes: Object.fromEntries(parts.map(({ uri, edits }) => [uri, edits])) };
  return {
    documentChanges: parts.flatMap(({ path, uri, edits }) => [
      ...(isNew.has(path) ? [{ kind: "create" as const, uri, options: { ignoreIfExists: true } }] : []),
      { textDocument: { uri, version: null }, edits },
    ]),
  };
}
