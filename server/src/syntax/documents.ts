import { BYTE_ORDER_MARK, DASH, isDocumentMarker, nextLineAt, skipBlanks, skipSpaceAndComments } from "./text-scan.ts";
import type { TreeBuilder } from "./tree-builder.ts";

/** The offset after the first `---` that starts a line, or 0: where an empty document would hold its value. */
export function rootMarkerEnd(text: string): number {
  for (let line = text.charCodeAt(0) === BYTE_ORDER_MARK ? 1 : 0; line < text.length; line = nextLineAt(text, line)) {
    if (text.charCodeAt(line) === DASH && isDocumentMarker(text, line)) return line + 3;
  }
  return 0;
}

/** Reports that a second document starts after `from`, the end of the first one's content. */
export function findSecondDocument(text: string, from: number, builder: TreeBuilder): void {
  let at = from;
  for (let line = nextLineAt(text, from); line < text.length; line = nextLineAt(text, line)) {
    if (!isDocumentMarker(text, line)) continue;
    at = line;
    if (text.charCodeAt(line) === DASH) break;
    // After `...`, a document may start without a marker of its own.
    const content = skipSpaceAndComments(text, line + 3);
    if (!isDocumentMarker(text, content)) {
      at = content;
      break;
    }
  }
  const end = isDocumentMarker(text, at) ? at + 3 : Math.max(at + 1, skipBlanks(text, at));
  builder.problem(
    at,
    Math.min(end, text.length),
    "only one document is read from a file, and a second one starts here; move what follows to a file of its own",
  );
}
