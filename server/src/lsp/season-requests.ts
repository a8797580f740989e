import { LSPErrorCodes, ResponseError, type CancellationToken, type Connection } from "vscode-languageserver";
import { formatDay } from "../base/days.ts";
import { oneLine } from "../base/safe-text.ts";
import { fieldRisks } from "../book/field-risk.ts";
import { RISK_STATUSES } from "../book/field-status.ts";
import { filePlaceOf } from "../features/places.ts";
import { readOutlines } from "../host/read-outlines.ts";
import { nextAction } from "../output/season/next-steps.ts";
import { seasonFacts, whyOfStatus } from "../output/season/season-facts.ts";
import { seasonPanel } from "../output/season/season-panel.ts";
import { SEASON_PANEL_STYLE } from "../output/season/season-panel-style.ts";
import { wholeBook } from "../output/season/viewpoint.ts";
import { isRecordKind } from "../schema/kinds.ts";
import type { FeatureHost } from "./feature-host.ts";
import { locationOf } from "./located.ts";
import type { WorkspaceBook } from "./workspace.ts";

/*
 * Requests behind the editor's picture of a season and its list of fields. Every client may use them:
 *
 * spadework/seasonPicture { uri }       → { title, html, style, replay }: a panel's content, of the book that a file is of
 * spadework/fieldList {}                → { root, season, asOf, fields: { id, name, grower, status, why, next, place }[] }[]
 * spadework/recordPlace { uri, record } → Location of what a mark of the picture leads to: [kind, id, ...path in the record]
 */

/** Answers what is asked by an editor that shows the season as a picture and as a list. */
export function registerSeasonRequests(connection: Connection, host: FeatureHost): void {
  connection.onRequest("spadework/seasonPicture", async (params: unknown, token: CancellationToken) => {
    const before = await bookOf(host, params, token);
    const outlines = await readOutlines(before.root, before.live.book);
    // While the outlines were read the records may have changed: the picture is of those that hold now.
    const { live } = await bookOf(host, params, token);
    return { ...seasonPanel(seasonFacts(wholeBook(live.book), outlines)), style: SEASON_PANEL_STYLE };
  });

  connection.onRequest("spadework/fieldList", async (_params: unknown, token: CancellationToken) => {
    await host.settled(token);
    const books = [...host.workspace.books].sort((a, b) => (a.root < b.root ? -1 : 1));
    return books.map((book) => fieldList(host, book));
  });

  connection.onRequest("spadework/recordPlace", async (params: unknown, token: CancellationToken) => {
    const book = await bookOf(host, params, token);
    const { record } = params as { readonly record?: unknown };
    const [kind, id, ...pointer] = Array.isArray(record) ? (record as unknown[]) : [];
    const steps = pointer.filter((step) => typeof step === "string" || typeof step === "number");
    const found =
      typeof kind === "string" && isRecordKind(kind) && typeof id === "string"
        ? book.live.book.record(kind, id)
        : undefined;
    const place = found && filePlaceOf(book.live.book, { record: found, pointer: idIfWhole(steps), part: "value" });
    const location = place && locationOf(host, book, place);
    if (!location) throw failure("This record is not there any more.");
    return location;
  });
}

/** A record is gone to at its id. */
function idIfWhole(pointer: readonly (string | number)[]): readonly (string | number)[] {
  return pointer.length === 0 ? ["id"] : pointer;
}

function fieldList(host: FeatureHost, book: WorkspaceBook) {
  const { book: records } = book.live;
  const view = wholeBook(records);
  const growers = new Map((records.season.growers ?? []).map(({ id, name }) => [id, name ?? id]));
  const rank = (status: (typeof RISK_STATUSES)[number]): number => RISK_STATUSES.indexOf(status);
  const risks = fieldRisks(records).filter(({ field }) => field !== "");
  risks.sort((a, b) => rank(a.status) - rank(b.status) || (a.name < b.name ? -1 : a.name > b.name ? 1 : 0));
  return {
    root: host.uriOf(book.root),
    season: records.seasonYear,
    asOf: formatDay(records.asOf),
    fields: risks.map((risk) => {
      const history = records.fieldHistory(risk.field);
      const why = whyOfStatus(history, risk, view);
      const next = nextAction(history, risk, view);
      const place = history.record && filePlaceOf(records, { record: history.record, pointer: ["id"], part: "value" });
      return {
        id: risk.field,
        name: oneLine(risk.name),
        grower: risk.grower === undefined ? undefined : oneLine(growers.get(risk.grower) ?? risk.grower),
        status: risk.status,
        why: why === undefined ? undefined : oneLine(why, 400),
        next: next === undefined ? undefined : oneLine(next, 400),
        place: place && locationOf(host, book, place),
      };
    }),
  };
}

async function bookOf(host: FeatureHost, params: unknown, token: CancellationToken): Promise<WorkspaceBook> {
  await host.settled(token);
  const { uri } = (typeof params === "object" && params !== null ? params : {}) as { readonly uri?: unknown };
  const found = typeof uri === "string" ? host.locate(uri)?.book : undefined;
  if (!found) throw failure("This file belongs to no record book: no folder above it holds a season.yaml.");
  return found;
}

function failure(message: string): ResponseError<void> {
  return new ResponseError(LSPErrorCodes.RequestFailed, message);
}
