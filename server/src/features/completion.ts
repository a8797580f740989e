import { RULES } from "../../generated/rules.ts";
import type { Book } from "../book/book.ts";
import type { Pointer } from "../records/finding.ts";
import { factRecord, isKind, type FactRecord } from "../records/record.ts";
import { withRegionRules } from "../rules/region-rules.ts";
import { decodeRecord, decodeRegion, decodeSeason } from "../schema/decode.ts";
import type { JsonSchema } from "../schema/json-schema.ts";
import { isRecordKind, type RecordKind, type SchemaKind } from "../schema/kinds.ts";
import type { RecordFormat } from "../schema/record-format.ts";
import { schemaAt } from "../schema/schema-at.ts";
import { resolvedSchema } from "../schema/shape.ts";
import { lineEndingOf } from "../syntax/edits.ts";
import { parseText } from "../syntax/parse.ts";
import { parseRecordSlice } from "../syntax/records.ts";
import { lineStartAt } from "../syntax/text-scan.ts";
import { nodeAt } from "../syntax/tree-queries.ts";
import type { BlockFrame } from "./completion/block-scan.ts";
import { valueItems, type Clock, type CompletionItem } from "./completion/completion-item.ts";
import { keyItems, namedKeyItems } from "./completion/completion-keys.ts";
import { packKeys, packWords } from "./completion/completion-packs.ts";
import { partItem, recordItems } from "./completion/completion-records.ts";
import { at, valueProposals } from "./completion/completion-values.ts";
import { typingPlaceAt, type TypingPlace } from "./completion/typing-place.ts";
import type { ValueSite } from "./completion/value-site.ts";
import type { FeatureContext } from "./context.ts";
import { entryIndexAt } from "./cursor.ts";
import { rulePage } from "./rule-page.ts";

export type { Clock, CompletionItem } from "./completion/completion-item.ts";

/** Longer texts that are no plain list of records are not read again at every keystroke: what they held before counts. */
const LONGEST_READ_WHOLE = 200_000;

/**
 * What could be written at an offset of the context's file, the likeliest first. Works on text that is half typed: where
 * the cursor stands is told from the text before it, and the record is read without what is being typed.
 */
export function completionsAt(context: FeatureContext, offset: number, clock: Clock): CompletionItem[] {
  const { file } = context;
  if (file.kind === "weather" || offset < 0 || offset > file.text.length) return [];
  const kind: SchemaKind = file.kind;
  const typing = placeInFile(context, offset);
  if (!typing) return [];
  const { place, entry } = typing;
  return itemsAt(context, kind, place, entry, clock).sort((a, b) =>
    a.sortText < b.sortText ? -1 : a.sortText > b.sortText ? 1 : 0,
  );
}

function itemsAt(
  context: FeatureContext,
  kind: SchemaKind,
  place: TypingPlace,
  entry: number,
  clock: Clock,
): CompletionItem[] {
  const { file } = context;
  const lineEnding = lineEndingOf(file.text);
  if (isRecordKind(kind) && place.pointer.length < 2) return aroundRecords(context, kind, place, clock, lineEnding);
  const pointer = isRecordKind(kind) ? place.pointer.slice(2) : place.pointer;
  // A record that is still to be begun has nothing of the one above it.
  const isNew = pointer.length === 0 && place.what === "dash" && isRecordKind(kind);
  const record = isNew ? blankRecord(context, kind) : recordWithoutTyped(context, kind, place, entry);
  return inRecord({ context, kind, place, pointer, record, clock, lineEnding });
}

interface Asked {
  readonly context: FeatureContext;
  readonly kind: SchemaKind;
  readonly place: TypingPlace;
  /** From the record. */
  readonly pointer: Pointer;
  readonly record: FactRecord;
  readonly clock: Clock;
  readonly lineEnding: string;
}

function placeInFile(context: FeatureContext, offset: number): { place: TypingPlace; entry: number } | undefined {
  const { file } = context;
  const { text } = file;
  const root: BlockFrame = { type: "map", column: 0, keys: [], key: undefined, isEmpty: false };
  const entry = file.isSliced ? entryIndexAt(context, offset) : -1;
  const span = file.entries[entry]?.span;
  const frames: BlockFrame[] = span ? [{ ...root, keys: [file.kind], key: file.kind, isEmpty: true }] : [root];
  const start = span ? span.start : text.charCodeAt(0) === 0xfeff ? 1 : 0;
  const place = typingPlaceAt(text, offset, start, frames, span?.end ?? text.length);
  return place && { place, entry };
}

/** Outside all records: a new one, or the key under which they stand. */
function aroundRecords(
  context: FeatureContext,
  kind: RecordKind,
  place: TypingPlace,
  clock: Clock,
  lineEnding: string,
): CompletionItem[] {
  const { book, file } = context;
  const site: ValueSite = {
    book,
    file,
    record: blankRecord(context, kind),
    pointer: [],
    key: "",
    around: {},
    listed: [],
  };
  const records = (at: TypingPlace): CompletionItem[] => recordItems(at, kind, site, clock, lineEnding);
  if (place.isFlow) return [];
  if (place.what === "child") return records({ ...place, what: "dash" });
  if (place.what !== "key" || place.pointer.length > 0) return [];
  if (!place.keys.includes(kind)) {
    const description = schemaOfFile(kind);
    const dash = `${kind}:${lineEnding}  - `;
    return [
      {
        label: kind,
        detail: "required",
        documentation: description,
        kind: "key",
        insertText: dash,
        isSnippet: false,
        replace: place.replace,
        sortText: "a",
        filterText: kind,
        asksAgain: true,
      },
    ];
  }
  // At the left margin, below the records: the next one, where its dash belongs.
  const column = file.isSliced ? file.itemIndent : 2;
  const start = lineStartAt(file.text, place.typed.start);
  return records({
    ...place,
    what: "dash",
    column,
    replace: { start, end: place.replace.end },
    typed: { start: column === 0 ? start : start + 1, end: place.typed.end },
  });
}

function schemaOfFile(kind: RecordKind): string {
  return `The list of ${kind}; each item begins with a dash.`;
}

function inRecord(asked: Asked): CompletionItem[] {
  const { place, pointer, record } = asked;
  const schema = schemaAt(formatOf(asked), pointer, record.facts);
  const named = ofPack(asked);
  if (named) return named;
  if (schema === undefined) return [];
  switch (place.what) {
    case "key":
      return keys(asked, schema);
    case "value":
      return values(asked, schema);
    case "item":
    case "dash":
      return items(asked, schema);
    case "child": {
      if (schema.type === "object") return keys(asked, schema);
      if (schema.type !== "array") return values(asked, schema);
      const item = schemaAt(formatOf(asked), [...pointer, 0], record.facts);
      return item ? items({ ...asked, place: { ...place, what: "dash" }, pointer: [...pointer, 0] }, item) : [];
    }
  }
}

/** Keys and words of a region pack that its schema does not list. */
function ofPack({ context, place, pointer, record }: Asked): CompletionItem[] | undefined {
  if (!isKind(record, "region")) return undefined;
  const { book, file } = context;
  if (place.what === "key" || place.what === "child") {
    const keysOfPack = packKeys(record.facts, pointer, book, file);
    if (keysOfPack) return namedKeyItems(place, keysOfPack);
  }
  const words = place.what === "value" || place.what === "item" ? packWords(pointer, record.facts, book, file) : [];
  return words.length === 0
    ? undefined
    : valueItems(
        place,
        words.map((text) => ({ text, kind: "word" as const })),
      );
}

function keys({ context, place, kind, pointer, record, lineEnding }: Asked, schema: JsonSchema): CompletionItem[] {
  const isLevels = pointer.length === 1 && pointer[0] === "rules" && (kind === "season" || kind === "region");
  if (isLevels)
    return namedKeyItems(
      place,
      withRegionRules(RULES, context.book).map(({ code, level }) => ({
        name: code,
        detail: `${level} by itself`,
        documentation: firstWords(code, context.book),
      })),
    );
  // Keys that the text around the cursor does not show, such as those on lines of another column.
  const read = place.what === "key" ? at(record.facts, pointer) : undefined;
  const present = read !== null && typeof read === "object" && !Array.isArray(read) ? Object.keys(read) : [];
  return keyItems(place, schema, present, (inner) => resolvedSchema(inner, kind), lineEnding);
}

/** What a rule's page begins with. */
function firstWords(code: string, book: Book): string {
  return rulePage(code, book)?.split("\n\n")[1] ?? "";
}

function values(asked: Asked, schema: JsonSchema): CompletionItem[] {
  const { place, pointer, record } = asked;
  if (schema.type !== "array") return valueItems(place, valueProposals(schema, siteOf(asked, pointer), asked.clock));
  if (place.quote !== "" || place.what === "child") return [];
  if (pointer.at(-1) === "ratings") return ratings(asked);
  const item = schemaAt(formatOf(asked), [...pointer, 0], record.facts);
  if (!item || item.type === "object" || schema.prefixItems) return [];
  return valueItems(place, valueProposals(item, siteOf(asked, [...pointer, 0]), asked.clock), "list");
}

/** All plants healthy, to begin with. */
function ratings({ place, record, pointer }: Asked): CompletionItem[] {
  const plants = at(record.facts, [...pointer.slice(0, -1), "plants"]);
  if (typeof plants !== "number") return [];
  return valueItems(place, [
    { text: `[${plants}, 0, 0, 0]`, isPlain: true, detail: "all plants rated 0", kind: "figure" },
  ]);
}

function items(asked: Asked, schema: JsonSchema): CompletionItem[] {
  const { place, kind, pointer, lineEnding, clock } = asked;
  if (pointer.length === 0) {
    const site = siteOf(asked, []);
    const records =
      place.isFlow || place.keys.length > 0 ? [] : recordItems(place, kind as RecordKind, site, clock, lineEnding);
    return place.isFlow ? [] : [...records, ...keys(asked, schema)];
  }
  const site = siteOf(asked, pointer);
  if (schema.type !== "object")
    return schema.type === "array" ? [] : valueItems(place, valueProposals(schema, site, clock));
  const whole =
    place.keys.length > 0 ? undefined : partItem(place, schema, (inner) => resolvedSchema(inner, kind), site);
  if (place.isFlow) return whole ? [whole] : [];
  return [...(whole ? [whole] : []), ...keys(asked, schema)];
}

function siteOf({ context, record }: Asked, pointer: Pointer): ValueSite {
  const { book, file } = context;
  const isItem = typeof pointer.at(-1) === "number";
  const holder = isItem ? pointer.slice(0, -1) : pointer;
  const list = isItem ? at(record.facts, holder) : undefined;
  const around = at(record.facts, holder.slice(0, -1));
  return {
    book,
    file,
    record,
    pointer,
    key: String(holder.at(-1) ?? ""),
    around: around !== null && typeof around === "object" ? (around as Record<string, unknown>) : {},
    listed: Array.isArray(list) ? (list as unknown[]) : [],
  };
}

function formatOf({ context, kind }: Asked): RecordFormat {
  return context.book.formats[kind];
}

function blankRecord({ file }: FeatureContext, kind: SchemaKind): FactRecord {
  return factRecord(kind, file.path, "", {});
}

/** The record around the cursor, read as if what is being typed were not there. */
function recordWithoutTyped(context: FeatureContext, kind: SchemaKind, place: TypingPlace, entry: number): FactRecord {
  const { file } = context;
  const known = file.entries[entry === -1 ? Number(place.pointer[1] ?? 0) : entry]?.body.record;
  const { start, end } = place.replace;
  const span = file.entries[entry]?.span ?? { start: 0, end: file.text.length };
  const blank = blankRecord(context, kind);
  if (entry === -1 && span.end > LONGEST_READ_WHOLE) return known ?? blank;
  const text = file.text.slice(span.start, start) + place.missingBrackets + file.text.slice(end, span.end);
  let facts: object | undefined;
  if (kind === "season" || kind === "region") {
    const root = parseText(text).root;
    facts = (kind === "season" ? decodeSeason(root) : decodeRegion(root)).value;
  } else {
    const node =
      file.isSliced && entry !== -1
        ? parseRecordSlice(text, file.itemIndent).node
        : nodeAt(parseText(text).root, place.pointer.slice(0, 2))?.value;
    facts = node && decodeRecord(kind, node, context.book.formats[kind]).value;
  }
  const id = (facts as { id?: unknown } | undefined)?.id;
  return factRecord(kind, file.path, typeof id === "string" ? id : "", facts ?? {});
}
