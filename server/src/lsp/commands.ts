import { join } from "node:path";
import {
  LSPErrorCodes,
  ResponseError,
  type CancellationToken,
  type Connection,
  type Position,
  type Range,
} from "vscode-languageserver";
import { LineIndex } from "../base/line-index.ts";
import { MINUTES_PER_DAY, parseDay } from "../base/days.ts";
import { capitalised } from "../base/words.ts";
import { fieldIdOfRecord } from "../book/references.ts";
import { GitTrouble } from "../host/git.ts";
import { cursorAt } from "../features/cursor.ts";
import { idAt } from "../features/id-places.ts";
import { newVisitEdit } from "../features/new-visit.ts";
import { seasonSummary } from "../features/season-summary.ts";
import { resolveRegion, shippedRegionNames } from "../schema/region.ts";
import type { FeatureHost } from "./feature-host.ts";
import { registerSeasonRequests } from "./season-requests.ts";
import { asked, locationOf, workspaceEditOf, type Asked } from "./located.ts";
import { pathOfUri } from "./paths.ts";
import { bookAround, ChangeReviews } from "./review-change.ts";
import { soilStory } from "./soil-story.ts";
import type { WorkspaceBook } from "./workspace.ts";

/*
 * Requests beyond the protocol, by which an editor's own commands ask the server. Every client may use them:
 *
 * spadework/soilMovement { uri, field? | position? }  → { field, title, text, links: { range, target }[] }
 * spadework/season { uri? }                           → (SeasonSummary & { root: uri })[], of one book or of all
 * spadework/newVisit { uri, field, today? }           → { edit: WorkspaceEdit, uri, range } of the record once it is there
 * spadework/reviewChange { uri }                      → { root: uri, text, links: { range, target }[] }; runs git in the folder
 *                                                       of the book that the file or folder lies in
 * spadework/regions {}                                → { id, title }[], the region packs that come with the server
 *
 * What cannot be answered is an error whose message may be shown to the keeper.
 */

/** Answers what the editor's commands ask: the soil's story, where the season stands, the record of a new visit. */
export function registerCommands(connection: Connection, host: FeatureHost): void {
  connection.onRequest("spadework/soilMovement", async (params: unknown, token: CancellationToken) => {
    const { field, position } = readParams(params);
    const file = await fileOfBook(host, params, token);
    const { book } = file.context;
    const id = typeof field === "string" ? field : isPosition(position) ? fieldAt(file, position) : undefined;
    if (id === undefined) throw failure("Put the cursor on a field, or in a record that names one.");
    if (!book.fieldIds().includes(id)) throw failure(`There is no field "${id}" in these records.`);
    const { title, text, links } = soilStory(book, id);
    const lines = new LineIndex(text);
    return {
      field: id,
      title,
      text,
      links: links.flatMap(({ span, place }) => {
        const target = locationOf(host, file.book, place);
        return target ? [{ range: lines.range(span), target }] : [];
      }),
    };
  });

  const reviews = new ChangeReviews();
  connection.onRequest("spadework/reviewChange", async (params: unknown, token: CancellationToken) => {
    await host.settled(token);
    const { uri } = readParams(params);
    const path = typeof uri === "string" ? pathOfUri(uri) : undefined;
    const book = path === undefined ? undefined : bookAround(path, host.workspace.books);
    if (!book) throw failure("This belongs to no record book: no folder above it holds a season.yaml.");
    const { text, places } = await reviews
      .review(book, () => host.workspace.books)
      .catch((error: unknown) => {
        throw error instanceof GitTrouble ? failure(`${capitalised(error.message)}.`) : error;
      });
    const lines = new LineIndex(text);
    const links = places.map(({ span, file, range }) => ({
      range: lines.range(span),
      target: { uri: host.uriOf(join(book.root, file)), range },
    }));
    return { root: host.uriOf(book.root), text, links };
  });

  connection.onRequest("spadework/season", async (params: unknown, token: CancellationToken) => {
    await host.settled(token);
    const { uri } = readParams(params);
    const only = typeof uri === "string" ? host.locate(uri)?.book : undefined;
    const books = typeof uri === "string" ? (only ? [only] : []) : host.workspace.books;
    const sorted = [...books].sort((a, b) => (a.root < b.root ? -1 : 1));
    return sorted.map((book) => ({ root: host.uriOf(book.root), ...seasonSummary(book.live.book, levelsOf(book)) }));
  });

  connection.onRequest("spadework/newVisit", async (params: unknown, token: CancellationToken) => {
    const { field, today } = readParams(params);
    const { book, context } = await fileOfBook(host, params, token);
    if (typeof field !== "string" || !context.book.record("fields", field))
      throw failure(`There is no field "${String(field)}" in these records.`);
    const visit = newVisitEdit(context.book, field, minuteOf(host, today), context.file.path);
    const edit = visit && workspaceEditOf(host, book, visit.edit, visit.isNewFile ? [visit.path] : []);
    if (!visit || !edit)
      throw failure("The visits are written in a way that no record can be added to; add it by hand.");
    const range: Range = new LineIndex(visit.text).range(visit.span);
    return { edit, uri: host.uriOf(join(book.root, visit.path)), range };
  });

  registerSeasonRequests(connection, host);

  connection.onRequest("spadework/regions", () =>
    shippedRegionNames().map((id) => ({ id, title: resolveRegion(id, () => undefined).pack.title ?? id })),
  );
}

/** The field under the cursor, else the one whose record it stands in, or which the record names. */
function fieldAt({ context, offset }: Asked, position: Position): string | undefined {
  const at = offset(position);
  const written = idAt(context, at)?.place.written;
  if (written?.kind === "field") return written.id;
  const record = cursorAt(context, at)?.record;
  return record && fieldIdOfRecord(record);
}

function* levelsOf({ live }: WorkspaceBook) {
  for (const [, findings] of live.allFindings()) for (const { level } of findings) yield level;
}

/** Now, or the same time of another day. */
function minuteOf({ host }: FeatureHost, today: unknown): number {
  const now = host.now();
  const day = typeof today === "string" ? parseDay(today) : undefined;
  return day === undefined ? now : day * MINUTES_PER_DAY + (now % MINUTES_PER_DAY);
}

async function fileOfBook(host: FeatureHost, params: unknown, token: CancellationToken): Promise<Asked> {
  const { uri } = readParams(params);
  const file = typeof uri === "string" ? await asked(host, uri, token) : undefined;
  if (!file) throw failure("This file belongs to no record book: no folder above it holds a season.yaml.");
  return file;
}

function readParams(params: unknown): Readonly<Record<string, unknown>> {
  return typeof params === "object" && params !== null ? (params as Readonly<Record<string, unknown>>) : {};
}

function isPosition(value: unknown): value is Position {
  const { line, character } = readParams(value);
  return Number.isInteger(line) && Number.isInteger(character);
}

function failure(message: string): ResponseError<void> {
  return new ResponseError(LSPErrorCodes.RequestFailed, message);
}
