import type { Span } from "../base/text.ts";
import type { SyntaxNode } from "../syntax/tree.ts";
import type { Pointer } from "./finding.ts";
import { entryTree, firstPart, type EntryBody, type RecordFile } from "./record-file.ts";

/**
 * The stretch of a file's text that a place names. A part that is not there gives the nearest part above it that is, and of
 * that its first key: a missing key underlines the first key of the record it is missing from.
 */
export function spanOfPlace(file: RecordFile, entryIndex: number, pointer: Pointer, part: "key" | "value"): Span {
  const entry = file.entries[entryIndex];
  if (!entry) return { start: 0, end: 0 };
  if (!file.isSliced) return findSpan(file, entryIndex, pointer, part);
  // A record that is read again only because another one was edited has its places where they were, from its own start.
  const { start } = entry.span;
  let known = knownSpans.get(entry.body);
  if (!known) knownSpans.set(entry.body, (known = []));
  let place = known.find((one) => one.part === part && samePointer(one.pointer, pointer));
  if (!place) {
    const found = findSpan(file, entryIndex, pointer, part);
    known.push((place = { pointer, part, span: { start: found.start - start, end: found.end - start } }));
  }
  return { start: place.span.start + start, end: place.span.end + start };
}

interface KnownPlace {
  readonly pointer: Pointer;
  readonly part: "key" | "value";
  /** From the start of the entry. */
  readonly span: Span;
}

const knownSpans = new WeakMap<EntryBody, KnownPlace[]>();

function samePointer(a: Pointer, b: Pointer): boolean {
  return a.length === b.length && a.every((step, i) => step === b[i]);
}

function findSpan(file: RecordFile, entryIndex: number, pointer: Pointer, part: "key" | "value"): Span {
  const { node, offset } = entryTree(file, entryIndex);
  if (!node) {
    const start = file.entries[entryIndex]!.span.start;
    return { start, end: start };
  }
  const span = spanInNode(node, pointer, part);
  return { start: span.start + offset, end: span.end + offset };
}

export function spanInNode(root: SyntaxNode, pointer: Pointer, part: "key" | "value"): Span {
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
