import type { Span } from "../base/text.ts";
import { entryTree } from "../records/record-file.ts";
import { isKind, type FactRecord } from "../records/record.ts";
import { keyName, type Pointer } from "../syntax/tree-queries.ts";
import type { SyntaxNode } from "../syntax/tree.ts";
import type { FeatureContext } from "./context.ts";
import { entryIndexAt } from "./cursor.ts";
import {
  cleaningHints,
  namesOfIds,
  rotationHints,
  visitHints,
  type HintLabel,
  type InlayHintKind,
} from "./inlay-hint-labels.ts";
import { oneLine } from "./safe-text.ts";

export { INLAY_HINT_KINDS, type InlayHintKind } from "./inlay-hint-labels.ts";

/** A kind that is not set is shown. */
export type InlayHintOptions = Readonly<Partial<Record<InlayHintKind, boolean>>>;

export interface InlayHint {
  /** The offset in the file's text after which it is shown. */
  readonly at: number;
  readonly label: string;
  readonly kind: InlayHintKind;
}

/** The hints of a stretch of a file, in its order; only the records it touches are read again. */
export function inlayHints(context: FeatureContext, span: Span, options: InlayHintOptions = {}): InlayHint[] {
  const { file } = context;
  const hints: InlayHint[] = [];
  const first = Math.max(0, entryIndexAt(context, span.start));
  for (let i = first; i < file.entries.length && file.entries[i]!.span.start <= span.end; i++) {
    const entry = file.entries[i]!;
    const labels = labelsOf(entry.body.record, context).filter(({ kind }) => options[kind] !== false);
    if (labels.length === 0) continue;
    const { node, offset } = entryTree(file, i);
    for (const { after, label, kind } of labels) {
      const ends = after.flatMap((pointer) => endOfValue(node, pointer, file.text, offset) ?? []);
      const at = Math.max(...ends);
      if (ends.length < after.length || at < span.start || at > span.end) continue;
      hints.push({ at, label: oneLine(label, 80), kind });
    }
  }
  return hints.sort((a, b) => a.at - b.at);
}

function labelsOf(record: FactRecord, { book }: FeatureContext): HintLabel[] {
  const names = namesOfIds(record, book);
  if (isKind(record, "visits")) return [...visitHints(record), ...names];
  if (isKind(record, "cleanings")) return [...cleaningHints(record), ...names];
  if (isKind(record, "rotations")) return [...rotationHints(record, book), ...names];
  return names;
}

/**
 * Where the value at a pointer ends in the file. A value reached through an alias is written elsewhere, perhaps for several
 * places: there is none. After a list with a line for each item the hint would look like the last item's: it stands after
 * the list's own key.
 */
function endOfValue(root: SyntaxNode | undefined, pointer: Pointer, text: string, offset: number): number | undefined {
  let node = root;
  let key: SyntaxNode | undefined;
  for (const step of pointer) {
    if (node?.type === "list") {
      node = node.items[Number(step)];
      key = undefined;
    } else if (node?.type === "map") {
      const entry = node.entries.findLast((one) => keyName(one.key) === String(step));
      node = entry?.value;
      key = entry?.key;
    } else return undefined;
  }
  if (!node) return undefined;
  if (node.type === "list" && !node.flow && key) {
    const colon = text.indexOf(":", key.span.end + offset);
    return colon < 0 ? undefined : colon + 1;
  }
  return node.span.end + offset;
}
