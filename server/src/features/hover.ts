import { samePointer } from "../base/pointer.ts";
import type { Span } from "../base/text.ts";
import { BOOTS_PREFIX, referencesOf } from "../book/references.ts";
import type { Book } from "../book/book.ts";
import type { AcceptComment } from "../records/accept-comments.ts";
import type { RecordFile } from "../records/record-file.ts";
import { isKind, type FactRecord } from "../records/record.ts";
import { nodeAt, type Pointer } from "../syntax/tree-queries.ts";
import type { FeatureContext } from "./context.ts";
import { cursorAt, entryIndexAt, type Cursor } from "./cursor.ts";
import { figureAt } from "./hover/figures.ts";
import { keyHelp, valueHelp } from "./hover/keys.ts";
import { definedIdAt, inBrief } from "./hover/records.ts";
import { figurePath, parentHelp } from "./packs/parent-figures.ts";
import { rulePageHover } from "./rule-page.ts";

export { rulePageHover } from "./rule-page.ts";

export interface Hover {
  /** Safe whatever the records hold: what they say is escaped. */
  readonly markdown: string;
  /** What it speaks of, in the file's text. */
  readonly span: Span;
}

/**
 * Help for what stands at an offset: on a key its meaning, on an id the record that it names, on a figure how it comes
 * about, on an accept comment the page of its rule. Undefined where there is nothing to add to what is written.
 */
export function hover(context: FeatureContext, at: number): Hover | undefined {
  const accepted = acceptCommentAt(context, at);
  if (accepted) {
    const markdown = rulePageHover(accepted.code, context.book);
    return markdown === undefined ? undefined : { markdown, span: accepted.span };
  }
  const cursor = cursorAt(context, at);
  if (!cursor) return undefined;
  const { part, span } = cursor;
  const markdown = part === "key" ? ofKey(cursor, context) : ofValue(cursor, context);
  return markdown === undefined ? undefined : { markdown, span };
}

function ofKey({ record, pointer }: Cursor, { book, file }: FeatureContext): string | undefined {
  // Under `rules:` each key is the code of a rule.
  if ((record.kind === "season" || record.kind === "region") && pointer.length === 2 && pointer[0] === "rules") {
    return rulePageHover(String(pointer[1]), book);
  }
  return joined([
    keyHelp(record, pointer, book),
    figureAt(record, pointer, "key", book),
    ofParent(record, pointer, file, book),
  ]);
}

/** What a figure of a pack is in its parent. */
function ofParent(record: FactRecord, pointer: Pointer, file: RecordFile, book: Book): string | undefined {
  if (!isKind(record, "region")) return undefined;
  const path = pointer[0] === "unknown" ? String(pointer[1] ?? "") : figurePath(record.facts, pointer);
  return path === undefined || path === "" ? undefined : parentHelp(book, file, path);
}

function ofValue({ record, root, pointer }: Cursor, { book, file }: FeatureContext): string | undefined {
  const node = nodeAt(root, pointer)?.value;
  // The blanks between the parts of a record belong to the record as a whole, which needs no help.
  if (!node || node.type === "map" || (node.type === "list" && pointer.length === 0)) return undefined;
  const reference = referencesOf(record).find((one) => samePointer(one.pointer, pointer));
  if (reference) {
    const kind = reference.kind === "carrier" && !reference.id.startsWith(BOOTS_PREFIX) ? "equipment" : reference.kind;
    return inBrief({ kind, id: reference.id, within: reference.within === "" ? record.id : reference.within }, book);
  }
  const defined = definedIdAt(record, pointer);
  if (defined) return inBrief(defined, book);
  const figure = figureAt(record, pointer, "value", book);
  const help = figure ?? (node.type === "list" ? undefined : valueHelp(record, pointer, book));
  return joined([help, ofParent(record, pointer, file, book)]);
}

function acceptCommentAt(context: FeatureContext, at: number): AcceptComment | undefined {
  const { file } = context;
  const holds = ({ span }: AcceptComment, offset: number): boolean =>
    span.start <= at - offset && at - offset <= span.end;
  const entry = file.entries[entryIndexAt(context, at)];
  const own = entry?.body.accepts.find((comment) => holds(comment, entry.span.start));
  if (own && entry)
    return { ...own, span: { start: own.span.start + entry.span.start, end: own.span.end + entry.span.start } };
  return file.accepts.find((comment) => holds(comment, 0));
}

function joined(parts: readonly (string | undefined)[]): string | undefined {
  const present = parts.filter((part) => part !== undefined);
  return present.length > 0 ? present.join("\n\n---\n\n") : undefined;
}
