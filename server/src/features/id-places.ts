import { samePointer } from "../base/pointer.ts";
import type { Span } from "../base/text.ts";
import { entryIndex } from "../book/book-index.ts";
import type { Book } from "../book/book.ts";
import { entryTree, type RecordFile } from "../records/record-file.ts";
import type { FactRecord } from "../records/record.ts";
import { nodeAt } from "../syntax/tree-queries.ts";
import type { ScalarNode, SyntaxNode } from "../syntax/tree.ts";
import type { FeatureContext } from "./context.ts";
import { cursorAt } from "./cursor.ts";
import { fileOf } from "./places.ts";
import {
  definitionOf,
  sameDefinition,
  writtenIds,
  type Definition,
  type IdKind,
  type WrittenId,
} from "./written-ids.ts";

/** An id in a file's text. */
export interface IdPlace {
  readonly file: RecordFile;
  readonly record: FactRecord;
  readonly written: WrittenId;
  /** The letters of the id alone; of a value that is written with escapes or over several lines, the whole value. */
  readonly span: Span;
  /** The value that holds it, with its spans in the file's text moved by `offset`. */
  readonly node: SyntaxNode;
  readonly offset: number;
}

/** The id that is asked about, and what gives it its meaning, where the book has that. */
export interface AskedId {
  readonly place: IdPlace;
  readonly definition: Definition | undefined;
}

/** The id under an offset of the file; undefined on anything else. */
export function idAt(context: FeatureContext, at: number): AskedId | undefined {
  const cursor = cursorAt(context, at);
  if (!cursor || cursor.part !== "value") return undefined;
  const { record, root, offset, pointer } = cursor;
  const here = writtenIds(record).filter((one) => samePointer(one.pointer, pointer));
  const places = here.flatMap((written) => placeOf(context.file, record, written, root, offset) ?? []);
  const place =
    places.find(({ span }) => span.start <= at && at <= span.end) ??
    // In `boots/mo` the prefix stands for the person, too.
    (places.length === 1 ? places[0] : undefined);
  if (!place) return undefined;
  const definition = definitionOf(context.book, record, place.written);
  if (!definition && place.written.isLoose) return undefined;
  return { place, definition };
}

/** Every place where an id is written that means the same, in the order of the files and of each file. */
export function placesOfId(book: Book, asked: AskedId, onlyIn?: RecordFile): IdPlace[] {
  const places: IdPlace[] = [];
  for (const file of onlyIn ? [onlyIn] : book.files) {
    file.entries.forEach((entry, index) => {
      const { record } = entry.body;
      const same = writtenIds(record).filter((written) => isSame(book, asked, record, written));
      if (same.length === 0) return;
      const { node: root, offset } = entryTree(file, index);
      if (!root) return;
      const found = same.flatMap((written) => placeOf(file, record, written, root, offset) ?? []);
      places.push(...found.sort((a, b) => a.span.start - b.span.start));
    });
  }
  return places;
}

function isSame(book: Book, { place, definition }: AskedId, record: FactRecord, written: WrittenId): boolean {
  if (written.kind !== place.written.kind || written.id !== place.written.id) return false;
  const other = definitionOf(book, record, written);
  if (definition) return other !== undefined && sameDefinition(definition, other);
  return !other && !written.isLoose && ownerOf(record, written) === ownerOf(place.record, place.written);
}

/** What an undefined part is sought in: the same id in another visit is another thing. */
function ownerOf(record: FactRecord, { kind, within }: WrittenId): string {
  return within === "" && (kind === "patch" || kind === "dig") ? record.id : within;
}

function placeOf(
  file: RecordFile,
  record: FactRecord,
  written: WrittenId,
  root: SyntaxNode,
  offset: number,
): IdPlace | undefined {
  const node = nodeAt(root, written.pointer)?.value;
  if (!node || (node.type !== "scalar" && node.type !== "alias")) return undefined;
  return { file, record, written, node, offset, span: spanOfId(file.text, node, offset, written) };
}

function spanOfId(text: string, node: SyntaxNode, offset: number, { at, id }: WrittenId): Span {
  const whole = { start: node.span.start + offset, end: node.span.end + offset };
  if (node.type !== "scalar") return whole;
  const content = contentOf(text, node, offset);
  return content === undefined ? whole : { start: content + at, end: content + at + id.length };
}

/** Where the content of a scalar starts in the text, where it stands there letter by letter. */
export function contentOf(text: string, node: ScalarNode, offset: number): number | undefined {
  const start = node.span.start + offset + (node.style === "single" || node.style === "double" ? 1 : 0);
  if (node.style === "literal" || node.style === "folded") return undefined;
  const end = node.span.end + offset - (start - offset - node.span.start);
  return text.slice(start, end) === node.source ? start : undefined;
}

/** Where an id is defined. */
export function placeOfDefinition(book: Book, { kind, id, record, pointer }: Definition): IdPlace | undefined {
  const file = fileOf(book, record.file);
  if (!file) return undefined;
  const { node: root, offset } = entryTree(file, entryIndex(file, record));
  const written: WrittenId = { kind, id, pointer, at: 0, isDefinition: true, within: "" };
  return root && placeOf(file, record, written, root, offset);
}

const KIND_WORDS: Readonly<Record<IdKind, string>> = {
  field: "field",
  entrance: "entrance",
  equipment: "piece of equipment",
  crew: "member of the crew",
  grower: "grower",
  lab: "lab",
  visit: "visit",
  dig: "dig",
  patch: "patch",
  cleaning: "clean-down",
  sample: "sample",
};

export function kindInWords(kind: IdKind): string {
  return KIND_WORDS[kind];
}
