import type { Span } from "../base/text.ts";
import { decodeRecord, decodeRegion, decodeSeason, type SchemaProblem } from "../schema/decode.ts";
import { isRecordKind, recordIdKey, type FileKind, type RecordKind } from "../schema/kinds.ts";
import { SHIPPED_FORMATS, type RecordFormat, type RecordFormats } from "../schema/record-format.ts";
import { parseText } from "../syntax/parse.ts";
import { parseRecordSlice, sliceRecords } from "../syntax/records.ts";
import type { SyntaxNode, SyntaxProblem } from "../syntax/tree.ts";
import { findAcceptComments, type AcceptComment } from "./accept-comments.ts";
import { reusableEntries } from "./reusable-entries.ts";
import { sameFacts } from "./same-facts.ts";
import { factRecord, type FactRecord } from "./record.ts";
import { shareWrittenAlike } from "./written-alike.ts";

/** One record as it stands in its file. */
export interface RecordEntry {
  readonly body: EntryBody;
  /** The stretch of the file that is this record's own, comments above it included. */
  readonly span: EntrySpan;
}

export interface EntrySpan extends Span {
  /** The line it starts on, counted from 0; given where the file `isSliced`: there a record starts at a line's first character. */
  readonly line?: number;
}

/** What a record's own text gives, wherever in the file it stands: the same object as long as that text is the same. */
export interface EntryBody {
  readonly record: FactRecord;
  /** What breaks the format, by pointer. */
  readonly problems: readonly SchemaProblem[];
  /** What could not be read; spans from the start of the entry. */
  readonly syntaxProblems: readonly SyntaxProblem[];
  /** Spans from the start of the entry. */
  readonly accepts: readonly AcceptComment[];
}

/** Something wrong with the file as a whole, outside its records. */
export interface FileProblem {
  readonly code: "structure/syntax" | "structure/schema" | "structure/unknown-key";
  readonly span: Span;
  readonly message: string;
  readonly suggestion?: string;
}

export interface RecordFile {
  /** From the book's root, with forward slashes. */
  readonly path: string;
  readonly kind: FileKind;
  readonly text: string;
  /** In the order written. `season.yaml` and a region pack are one record each. */
  readonly entries: readonly RecordEntry[];
  readonly problems: readonly FileProblem[];
  /** Why its text is not what lies on disk; the first of its problems. */
  readonly trouble?: FileProblem;
  /** It was set aside unread, because the book is written in a newer format. */
  readonly isUnread?: true;
  /** Accept comments outside every entry; spans in the file. */
  readonly accepts: readonly AcceptComment[];
  /** Whether each entry can be read again from its own text alone. */
  readonly isSliced: boolean;
  /** The column of the dashes, where `isSliced`. */
  readonly itemIndent: number;
  /** Whether broken records were made sense of as far as can be; not so where there are too many. */
  readonly readsBroken: boolean;
  /** What its records may hold, the keys that the book's region adds included; undefined where it holds no records. */
  readonly format: RecordFormat | undefined;
}

const MAX_TEXT_LENGTH = 20_000_000;
const MOST_BROKEN_LENGTH = 1_000_000;

/**
 * Reads a file of records. Never throws: what cannot be read is a problem with its place, and the rest is read.
 *
 * @param previous the same file before an edit: records whose text is unchanged are taken over as they are, and records
 *   whose facts are unchanged keep their identity.
 * @param formats what the records of the book may hold; without them, what `previous` could, or as the kinds are shipped
 */
export function readRecordFile(
  path: string,
  kind: FileKind,
  text: string,
  previous?: RecordFile,
  formats?: RecordFormats,
): RecordFile {
  const format = isRecordKind(kind) ? (formats?.[kind] ?? previous?.format ?? SHIPPED_FORMATS[kind]) : undefined;
  if (text.length > MAX_TEXT_LENGTH) return { ...tooLong(path, kind, text), format };
  if (!isRecordKind(kind) || !format) return readWhole(path, kind, text, previous, undefined);
  const slices = sliceRecords(text, kind);
  if (!slices.sliceable) return readWhole(path, kind, text, previous, format);
  const { itemIndent } = slices;
  const { entries, readsBroken } = readSlices({ path, kind, itemIndent, format }, text, slices.slices, previous);
  const accepts = [slices.header, slices.tail].flatMap(({ start, end }) =>
    findAcceptComments(text.slice(start, end)).map((comment) => ({
      ...comment,
      span: { start: comment.span.start + start, end: comment.span.end + start },
    })),
  );
  return { path, kind, text, entries, problems: [], accepts, isSliced: true, itemIndent, readsBroken, format };
}

/** What is the same for every record of a file. */
interface FileRead {
  readonly path: string;
  readonly kind: RecordKind;
  readonly itemIndent: number;
  readonly format: RecordFormat;
}

/**
 * Reads each record by itself. Making sense of a broken one takes a hundred times as long as reading a sound one; where
 * more than a million characters stand in broken records, none is made sense of, so that no file can take minutes.
 */
function readSlices(
  file: FileRead,
  text: string,
  spans: readonly EntrySpan[],
  previous: RecordFile | undefined,
): { readonly entries: RecordEntry[]; readonly readsBroken: boolean } {
  const before = previous?.isSliced && previous.itemIndent === file.itemIndent ? previous : undefined;
  // What another region made of a text says nothing of what this one does.
  const isSameFormat = before?.format === file.format;
  const reuse = reusableEntries(text, spans, before);
  const read = (readsBroken: boolean): RecordEntry[] | undefined => {
    let broken = 0;
    const entries: RecordEntry[] = [];
    for (const [i, span] of spans.entries()) {
      const kept = reuse.at(i);
      const isSound = kept?.entry.body.syntaxProblems.length === 0;
      const entry =
        kept?.sameText && isSameFormat && (isSound || before?.readsBroken === readsBroken)
          ? { body: kept.entry.body, span }
          : readSlice(file, text.slice(span.start, span.end), span, kept?.entry, readsBroken);
      if (entry.body.syntaxProblems.length > 0) broken += span.end - span.start;
      if (readsBroken && broken > MOST_BROKEN_LENGTH) return undefined;
      entries.push(entry);
    }
    return entries;
  };
  const entries = read(true);
  return entries ? { entries, readsBroken: true } : { entries: read(false) ?? [], readsBroken: false };
}

function readSlice(
  file: FileRead,
  slice: string,
  span: EntrySpan,
  previous: RecordEntry | undefined,
  readsBroken: boolean,
): RecordEntry {
  const { node, problems: syntaxProblems } = parseRecordSlice(slice, file.itemIndent, readsBroken ? undefined : "fast");
  return makeEntry(file, node, span, syntaxProblems, findAcceptComments(slice, node), previous);
}

function makeEntry(
  { path, kind, format }: Pick<RecordFile, "path" | "kind" | "format">,
  node: SyntaxNode | undefined,
  span: EntrySpan,
  syntaxProblems: readonly SyntaxProblem[],
  accepts: readonly AcceptComment[],
  previous: RecordEntry | undefined,
): RecordEntry {
  const { value, problems } = decode(kind, format, node);
  const facts = value ?? {};
  shareWrittenAlike(kind, facts as Record<string, unknown>);
  const before = previous?.body.record;
  const record =
    before?.kind === kind && sameFacts(before.facts, facts) ? before : factRecord(kind, path, idOf(kind, facts), facts);
  return { body: { record, problems, syntaxProblems, accepts }, span };
}

function decode(
  kind: FileKind,
  format: RecordFormat | undefined,
  node: SyntaxNode | undefined,
): { value: object | undefined; problems: readonly SchemaProblem[] } {
  if (kind === "season") return decodeSeason(node);
  if (kind === "region") return decodeRegion(node);
  // A slice that could not be read at all has told its syntax problem already.
  if (node === undefined) return { value: undefined, problems: [] };
  return decodeRecord(kind as RecordKind, node, format);
}

function idOf(kind: FileKind, facts: object): string {
  if (kind === "season" || kind === "region" || kind === "weather") return "";
  const id = (facts as Record<string, unknown>)[recordIdKey(kind)];
  return typeof id === "string" ? id : "";
}

/** A file that is not of the plain form (`kind:` and a block list): read as one text, cut afterwards. */
function readWhole(
  path: string,
  kind: FileKind,
  text: string,
  previous: RecordFile | undefined,
  format: RecordFormat | undefined,
): RecordFile {
  const joined = kind === "season" || kind === "region" ? { text, marks: [] } : joinedDocuments(text);
  const tree = parseText(joined.text);
  const base = { path, kind, text, isSliced: false, itemIndent: 0, readsBroken: true, format };
  // The list's own key stands again in every further document; that is the mark's fault, told already.
  const again = joined.marks.length > 0 ? keysNamed(tree.root, kind).slice(1) : [];
  const problems: FileProblem[] = [
    ...joined.marks.map((span) => ({ span, message: SEVERAL_DOCUMENTS })),
    ...tree.problems.filter(({ span }) => !again.some((key) => key.start === span.start)),
  ].map(({ span, message }) => ({ code: "structure/syntax", span, message }));
  const before = previous && !previous.isSliced ? previous.entries : [];
  if (kind === "season" || kind === "region") {
    const entry = makeEntry(
      base,
      tree.root,
      { start: 0, end: text.length },
      [],
      findAcceptComments(text, tree.root),
      before[0],
    );
    return { ...base, entries: [entry], problems, accepts: [] };
  }
  const accepts = findAcceptComments(text, tree.root);
  const items = tree.root ? topLevelItems(kind, tree.root, problems) : [];
  if (tree.root === undefined && tree.problems.length === 0) {
    // An empty file is a file that holds no records yet: nothing is wrong with it.
    return { ...base, entries: [], problems, accepts };
  }
  const entries = items.map((node, i) => makeEntry(base, node, node.span, [], [], before[i]));
  return { ...base, entries, problems, accepts };
}

const SEVERAL_DOCUMENTS =
  "a second document starts here, and a file of records is one; take this line out, or move what follows to a file of its own";

/**
 * A text of several documents as one: the marks between them become comments of the same length, so that the records behind
 * the first mark are read like all others. Spans of the marks.
 */
function joinedDocuments(text: string): { readonly text: string; readonly marks: readonly Span[] } {
  const marks: Span[] = [];
  for (const found of text.matchAll(/^(?:---|\.\.\.)(?=[ \t\r\n]|$)/gm)) {
    const before = text.slice(0, found.index).replace(/^[ \t]*[#%\uFEFF].*$/gm, "");
    if (marks.length > 0 || before.trim() !== "") marks.push({ start: found.index, end: found.index + 3 });
    // A file of nothing but marks is no file of records.
    if (marks.length > MOST_MARKS) break;
  }
  let joined = text;
  for (const { start } of marks) joined = `${joined.slice(0, start)}#${joined.slice(start + 1)}`;
  return { text: joined, marks };
}

const MOST_MARKS = 50;

function keysNamed(root: SyntaxNode | undefined, name: string): Span[] {
  if (root?.type !== "map") return [];
  return root.entries.flatMap(({ key }) => (key.type === "scalar" && key.source === name ? [key.span] : []));
}

function topLevelItems(kind: FileKind, root: SyntaxNode, problems: FileProblem[]): readonly SyntaxNode[] {
  if (root.type !== "map") {
    problems.push({
      code: "structure/schema",
      span: firstPart(root),
      message: `this file should begin with "${kind}:" and hold its records as a list below it`,
    });
    return [];
  }
  let items: readonly SyntaxNode[] | undefined;
  for (const { key, value } of root.entries) {
    const name = key.type === "scalar" ? key.source : "";
    if (name === kind) items = [...(items ?? []), ...recordsUnder(kind, value, problems)];
    else if (!name.startsWith("x-") && name !== "note") {
      problems.push({
        code: "structure/unknown-key",
        span: key.span,
        message: `"${name}" is not a key of this file; a *.${kind}.yaml file holds one list, "${kind}:"`,
      });
    }
  }
  if (items === undefined) {
    problems.push({
      code: "structure/schema",
      span: firstPart(root),
      message: `"${kind}:" is missing: the file's records stand in a list below that key`,
    });
  }
  return items ?? [];
}

function recordsUnder(kind: FileKind, value: SyntaxNode, problems: FileProblem[]): readonly SyntaxNode[] {
  const list = value.type === "alias" ? value.target : value;
  if (list.type === "list") return list.items;
  if (list.type === "scalar" && list.value === null) return [];
  problems.push({
    code: "structure/schema",
    span: firstPart(value),
    message: `"${kind}" should hold a list: each record begins with a dash`,
  });
  return [];
}

/** A place small enough to underline: the first key of a map, the first item of a list, or the node itself. */
export function firstPart(node: SyntaxNode): Span {
  if (node.type === "map" && node.entries[0]) return node.entries[0].key.span;
  if (node.type === "list" && node.items[0]) return firstPart(node.items[0]);
  return node.span;
}

function tooLong(path: string, kind: FileKind, text: string): Omit<RecordFile, "format"> {
  const message = `this file is ${(text.length / 1e6).toFixed(0)} MB, too long to be read (20 MB at most); split it by year or by month`;
  return {
    path,
    kind,
    text: "",
    entries: [],
    problems: [{ code: "structure/syntax", span: { start: 0, end: 0 }, message }],
    accepts: [],
    isSliced: false,
    itemIndent: 0,
    readsBroken: true,
  };
}

/** The entry's own tree, read again; spans from `offset`. Reading a record takes microseconds, keeping all trees does not pay. */
export function entryTree(file: RecordFile, index: number): { node: SyntaxNode | undefined; offset: number } {
  const entry = file.entries[index];
  if (!entry) return { node: undefined, offset: 0 };
  if (file.isSliced) {
    let node = recentTrees.get(entry.body);
    if (!recentTrees.has(entry.body)) {
      const slice = file.text.slice(entry.span.start, entry.span.end);
      node = parseRecordSlice(slice, file.itemIndent, file.readsBroken ? undefined : "fast").node;
      if (recentTrees.size >= MOST_RECENT_TREES) recentTrees.clear();
      recentTrees.set(entry.body, node);
    }
    return { node, offset: entry.span.start };
  }
  const root = wholeTree(file);
  if (file.kind === "season" || file.kind === "region") return { node: root, offset: 0 };
  const items = root ? topLevelItems(file.kind, root, []) : [];
  return { node: items[index], offset: 0 };
}

/** Places are asked for record by record, a few of each and of its neighbours: their trees are worth keeping that long. */
const recentTrees = new Map<EntryBody, SyntaxNode | undefined>();
const MOST_RECENT_TREES = 500;

const wholeTrees = new WeakMap<RecordFile, SyntaxNode>();

function wholeTree(file: RecordFile): SyntaxNode | undefined {
  const known = wholeTrees.get(file);
  if (known) return known;
  const isList = file.kind !== "season" && file.kind !== "region";
  const root = parseText(isList ? joinedDocuments(file.text).text : file.text).root;
  if (root) wholeTrees.set(file, root);
  return root;
}
