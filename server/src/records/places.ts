import { samePointer } from "../base/pointer.ts";
import type { Range, Span } from "../base/text.ts";
import type { SyntaxNode } from "../syntax/tree.ts";
import type { Pointer } from "./finding.ts";
import { linesOf } from "./lines.ts";
import { entryTree, firstPart, type EntryBody, type RecordEntry, type RecordFile } from "./record-file.ts";

/**
 * The stretch of a file's text that a place names. A part that is not there gives the nearest part above it that is, and of
 * that its first key: a missing key underlines the first key of the record it is missing from.
 */
export function spanOfPlace(file: RecordFile, entryIndex: number, pointer: Pointer, part: "key" | "value"): Span {
  const entry = file.entries[entryIndex];
  if (!entry) return { start: 0, end: 0 };
  if (!file.isSliced) return findSpan(file, entryIndex, pointer, part);
  const { start } = entry.span;
  const { span } = knownPlace(file, entryIndex, pointer, part);
  return { start: span.start + start, end: span.end + start };
}

/** The same as a range of lines and characters. */
export function rangeOfPlace(file: RecordFile, entryIndex: number, pointer: Pointer, part: "key" | "value"): Range {
  const entry = file.entries[entryIndex];
  if (!entry || !file.isSliced) return linesOf(file).range(spanOfPlace(file, entryIndex, pointer, part));
  const place = knownPlace(file, entryIndex, pointer, part);
  place.range ??= rangeWithin(file.text, entry.span.start, place.span);
  return movedDown(place.range, entry.span.line ?? 0);
}

/** A stretch within one record, given from the record's start, as a range in the file. */
export function rangeInEntry(file: RecordFile, { span }: RecordEntry, within: Span): Range {
  if (span.line !== undefined) return movedDown(rangeWithin(file.text, span.start, within), span.line);
  return linesOf(file).range({ start: within.start + span.start, end: within.end + span.start });
}

function movedDown({ start, end }: Range, lines: number): Range {
  return {
    start: { line: start.line + lines, character: start.character },
    end: { line: end.line + lines, character: end.character },
  };
}

interface KnownPlace {
  readonly pointer: Pointer;
  readonly part: "key" | "value";
  /** From the start of the entry. */
  readonly span: Span;
  /** With lines counted from the entry's first. */
  range?: Range;
}

/** A record that is read again only because another one was edited has its places where they were, from its own start. */
const knownPlaces = new WeakMap<EntryBody, KnownPlace[]>();

function knownPlace(file: RecordFile, entryIndex: number, pointer: Pointer, part: "key" | "value"): KnownPlace {
  const { body, span } = file.entries[entryIndex]!;
  let known = knownPlaces.get(body);
  if (!known) knownPlaces.set(body, (known = []));
  let place = known.find((one) => one.part === part && samePointer(one.pointer, pointer));
  if (!place) {
    const found = findSpan(file, entryIndex, pointer, part);
    const within = { start: found.start - span.start, end: found.end - span.start };
    known.push((place = { pointer, part, span: within }));
  }
  return place;
}

/** Lines counted from the one that `origin` stands at the start of. Lines end as in `LineIndex`. */
function rangeWithin(text: string, origin: number, { start, end }: Span): Range {
  const limit = Math.min(text.length, origin + end);
  const from = Math.max(0, Math.min(text.length, origin + start));
  let line = 0;
  let lineStart = origin;
  let first = { line, character: from - lineStart };
  for (let at = origin; at < limit; at++) {
    const code = text.charCodeAt(at);
    if (code !== LINE_FEED && (code !== CARRIAGE_RETURN || text.charCodeAt(at + 1) === LINE_FEED)) continue;
    line++;
    lineStart = at + 1;
    if (lineStart <= from) first = { line, character: from - lineStart };
  }
  return { start: first, end: { line, character: limit - lineStart } };
}

const LINE_FEED = 10;
const CARRIAGE_RETURN = 13;

function findSpan(file: RecordFile, entryIndex: number, pointer: Pointer, part: "key" | "value"): Span {
  const { node, offset } = entryTree(file, entryIndex);
  if (!node) {
    const start = file.entries[entryIndex]!.span.start;
    return { start, end: start };
  }
  const span = spanInNode(node, pointer, part);
  return { start: span.start + offset, end: span.end + offset };
}

function spanInNode(root: SyntaxNode, pointer: Pointer, part: "key" | "value"): Span {
  let node: SyntaxNode = root;
  let key: SyntaxNode | undefined;
  for (const step of pointer) {
    const here: SyntaxNode = node.type === "alias" ? node.target : node;
    if (here.type === "map") {
      const entry = here.entries.findLast((e) => e.key.type === "scalar" && e.key.source === String(step));
      if (!entry) return firstPart(here);
      key = entry.key;
      node = entry.value;
    } else if (here.type === "list") {
      const item = here.items[Number(step)];
      if (!item) return firstPart(here);
      key = undefined;
      node = item;
    } else return node.span;
  }
  if (part === "key") return key ? key.span : firstPart(node);
  // An empty value has no text of its own to underline: its key stands for it.
  return node.span.start === node.span.end && key ? key.span : node.span;
}
