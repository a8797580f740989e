import { byCodeUnits } from "../base/code-units.ts";
import type { Book } from "../book/book.ts";
import { isKind, type FactRecord } from "../records/record.ts";
import type { Pointer } from "../records/finding.ts";
import type { FilePlace } from "./context.ts";
import { filePlaceOf } from "./places.ts";
import { oneLine } from "./safe-text.ts";
import { recordLabel, type SymbolKind } from "./symbols.ts";
import { seasonRecord } from "./written-ids.ts";

export interface WorkspaceSymbol extends FilePlace {
  readonly name: string;
  readonly detail: string;
  readonly kind: SymbolKind;
  /** How well it answers the query, the smaller the better: for putting the answers of several books in one order. */
  readonly rank: number;
}

const MOST_SYMBOLS = 200;
const LONGEST_QUERY = 100;

/**
 * The records, people and labs of a book whose id or name holds the letters of a query in order, the best first and
 * `most` at most. Digs and patches are left out: every visit has its `d1`.
 */
export function workspaceSymbols(book: Book, query: string, most = MOST_SYMBOLS): WorkspaceSymbol[] {
  const wanted = query.slice(0, LONGEST_QUERY).toLowerCase().replace(/\s+/g, "");
  const found: Ranked[] = [];
  for (const candidate of candidatesOf(book)) {
    const rank = rankOf(candidate, wanted);
    if (rank !== undefined) found.push({ ...candidate, rank });
  }
  // Sorting is stable: equals stay in the order of the files. Places are looked up for those alone that are shown.
  found.sort((a, b) => a.rank - b.rank || byCodeUnits(a.id, b.id));
  return found.slice(0, most).flatMap(({ record, pointer, id, name, kind, rank }) => {
    const place = filePlaceOf(book, { record, pointer, part: "value" });
    if (!place) return [];
    const detail = kind === "grower" || kind === "crew" || kind === "lab" ? (name ?? "") : detailOf(record, book);
    return { ...place, name: oneLine(id, 100), detail: oneLine(detail, 120), kind, rank };
  });
}

interface Candidate {
  readonly record: FactRecord;
  readonly pointer: Pointer;
  readonly kind: SymbolKind;
  readonly id: string;
  readonly name: string | undefined;
}

interface Ranked extends Candidate {
  readonly rank: number;
}

const KINDS: Readonly<Partial<Record<FactRecord["kind"], SymbolKind>>> = {
  fields: "field",
  equipment: "equipment",
  rotations: "rotation",
  visits: "visit",
  cleanings: "cleaning",
  samples: "sample",
};

function* candidatesOf(book: Book): Generator<Candidate> {
  const season = seasonRecord(book);
  if (season && isKind(season, "season")) {
    const { growers = [], crew = [], labs = [] } = season.facts;
    yield* peopleOf(season, "growers", "grower", growers);
    yield* peopleOf(season, "crew", "crew", crew);
    yield* peopleOf(season, "labs", "lab", labs);
  }
  for (const file of book.files) {
    const kind = KINDS[file.kind];
    if (!kind) continue;
    for (const { body } of file.entries) {
      const { record } = body;
      if (record.id === "") continue;
      const name = isKind(record, "fields") || isKind(record, "equipment") ? record.facts.name : undefined;
      yield { record, pointer: [kind === "rotation" ? "field" : "id"], kind, id: record.id, name };
    }
  }
}

function* peopleOf(
  record: FactRecord,
  list: string,
  kind: SymbolKind,
  people: readonly { readonly id?: string; readonly name?: string }[],
): Generator<Candidate> {
  for (const [i, { id, name }] of people.entries()) if (id) yield { record, pointer: [list, i, "id"], kind, id, name };
}

function detailOf(record: FactRecord, book: Book): string {
  return recordLabel(record, book)?.detail ?? "";
}

function rankOf({ id, name }: Candidate, wanted: string): number | undefined {
  const byId = matchRank(id, wanted);
  const byName = name === undefined ? undefined : matchRank(name, wanted);
  return byId === undefined || (byName !== undefined && byName < byId) ? byName : byId;
}

/**
 * How well a text answers a query in small letters: 0 the same, then what starts with it, has a word that starts with it,
 * holds it, and what holds its letters in order (the closer together the better); undefined for what does not.
 */
export function matchRank(text: string, wanted: string): number | undefined {
  if (wanted === "") return 0;
  const letters = text.slice(0, 400).toLowerCase().replace(/\s+/g, "");
  const at = letters.indexOf(wanted);
  if (at === 0) return letters.length === wanted.length ? 0 : 1;
  if (at > 0) return /[._/-]/.test(letters[at - 1]!) || startsWord(text.toLowerCase(), wanted) ? 2 : 3;
  let from = -1;
  let first = -1;
  for (const letter of wanted) {
    from = letters.indexOf(letter, from + 1);
    if (from < 0) return undefined;
    if (first < 0) first = from;
  }
  const between = from - first + 1 - wanted.length;
  return 4 + between / (between + wanted.length);
}

function startsWord(text: string, wanted: string): boolean {
  return text.split(/[\s._/-]+/).some((word) => word.startsWith(wanted));
}
