import { EVENT_ID, COLLECTION_STYLE, SCALAR_STYLE, getScalarValue, parseEvents } from "js-yaml";
import type { DocumentEvent, Event, MappingEvent, ScalarEvent, SequenceEvent } from "js-yaml";
import { findSecondDocument, rootMarkerEnd } from "./documents.ts";
import { MAX_NESTING } from "./limits.ts";
import { fullTagOf } from "./scalars.ts";
import {
  COLON,
  COMMA,
  DASH,
  DOT,
  QUESTION_MARK,
  blockScalarEnd,
  isSpaceOrEnd,
  lineStartAt,
  skipSpaceAndComments,
} from "./text-scan.ts";
import type { NodeProperties } from "./tree-builder.ts";
import { TreeBuilder } from "./tree-builder.ts";
import type { SyntaxTree } from "./tree.ts";

/** Room for the reader's own counting, which adds a level or two; the tree builder holds the true limit. */
const READER_DEPTH = MAX_NESTING + 36;

const OPEN_BRACE = 123;

/**
 * Reads well-formed YAML. Throws on anything else; the caller then takes the tolerant way.
 */
export function readFast(text: string, levelsAround: number): SyntaxTree {
  const events = parseEvents(text, { maxDepth: READER_DEPTH });
  const builder = new TreeBuilder(levelsAround);
  const document = events[0];
  if (document?.type !== EVENT_ID.DOCUMENT) return { root: undefined, problems: [] };
  const cursor = document.explicitStart ? rootMarkerEnd(text) : 0;
  const next = buildNode(text, events, 1, builder, cursor, handlesOf(document));
  // What follows the node is the document's end; anything more is a second document.
  if (next + 1 < events.length) findSecondDocument(text, builder.root?.span.end ?? 0, builder);
  return { root: builder.root, problems: builder.problems };
}

/**
 * Feeds the node that starts at `events[from]` to the builder; returns the index of the
 * event after it.
 *
 * The reader's events say where values stand, but not where collections end, nor where an empty value would be written:
 * `cursor`, the end of what has been placed so far, finds both.
 */
function buildNode(
  text: string,
  events: readonly Event[],
  from: number,
  builder: TreeBuilder,
  cursor: number,
  handles: ReadonlyMap<string, string>,
): number {
  /** For each open collection, whether it ends with a bracket of its own. */
  const bracketed: boolean[] = [];
  let index = from;
  do {
    const event = events[index]!;
    switch (event.type) {
      case EVENT_ID.SCALAR: {
        const properties = propertiesOf(text, event, handles);
        if (event.valueStart === -1) {
          cursor = properties ? propertiesEnd(event) : emptyPlace(text, cursor, builder);
          builder.scalar(cursor, cursor, "plain", "", properties);
        } else if (event.style === SCALAR_STYLE.PLAIN) {
          cursor = event.valueEnd;
          const source = event.fast ? text.slice(event.valueStart, cursor) : getScalarValue(text, event);
          builder.scalar(event.valueStart, cursor, "plain", source, properties);
        } else if (event.style === SCALAR_STYLE.SINGLE_QUOTED || event.style === SCALAR_STYLE.DOUBLE_QUOTED) {
          cursor = event.valueEnd + 1;
          const style = event.style === SCALAR_STYLE.SINGLE_QUOTED ? "single" : "double";
          builder.scalar(event.valueStart - 1, cursor, style, getScalarValue(text, event), properties);
        } else {
          const start = blockHeader(text, Math.max(cursor, propertiesEnd(event)));
          cursor = blockScalarEnd(text, start, event.valueEnd);
          const style = event.style === SCALAR_STYLE.LITERAL_BLOCK ? "literal" : "folded";
          builder.scalar(start, cursor, style, getScalarValue(text, event), properties);
        }
        break;
      }
      case EVENT_ID.SEQUENCE:
      case EVENT_ID.MAPPING: {
        const isMap = event.type === EVENT_ID.MAPPING;
        const flow = event.style === COLLECTION_STYLE.FLOW;
        const hasBrackets = flow && !(isMap && isLonePair(text, event, events[index + 1]!));
        bracketed.push(hasBrackets);
        builder.open(isMap, flow, event.start, propertiesOf(text, event, handles));
        cursor = Math.max(cursor, hasBrackets ? event.start + 1 : event.start);
        break;
      }
      case EVENT_ID.ALIAS:
        cursor = event.anchorEnd;
        builder.alias(event.anchorStart - 1, cursor, text.slice(event.anchorStart, cursor));
        break;
      case EVENT_ID.POP:
        if (bracketed.pop()) {
          cursor = closingBracket(text, cursor) + 1;
          builder.close(cursor);
        } else builder.close();
        break;
      default:
        throw new Error("a document inside a document");
    }
    index++;
  } while (bracketed.length > 0);
  return index;
}

const NO_HANDLES: ReadonlyMap<string, string> = new Map();

function handlesOf(event: DocumentEvent): ReadonlyMap<string, string> {
  if (event.directives.length === 0) return NO_HANDLES;
  const handles = new Map<string, string>();
  for (const directive of event.directives) {
    if (directive.kind === "tag") handles.set(directive.handle, directive.prefix);
  }
  return handles;
}

function propertiesOf(
  text: string,
  event: ScalarEvent | SequenceEvent | MappingEvent,
  handles: ReadonlyMap<string, string>,
): NodeProperties | undefined {
  if (event.tagStart === -1 && event.anchorStart === -1) return undefined;
  const tagWritten = event.tagStart === -1 ? "" : text.slice(event.tagStart, event.tagEnd);
  return {
    anchor: event.anchorStart === -1 ? undefined : text.slice(event.anchorStart, event.anchorEnd),
    tag: event.tagStart === -1 ? undefined : fullTagOf(tagWritten, handles),
    tagWritten,
    tagSpan: { start: event.tagStart, end: event.tagEnd },
  };
}

function propertiesEnd(event: ScalarEvent): number {
  return Math.max(event.tagEnd, event.anchorEnd);
}

/**
 * Whether a flow map event is a pair that stands alone in a flow list (`[a: b]`), without braces. When its key is
 * itself a map in braces, both events start at the same brace.
 */
function isLonePair(
  text: string,
  event: MappingEvent,
  next: { readonly type: number; readonly start?: number },
): boolean {
  if (text.charCodeAt(event.start) !== OPEN_BRACE) return true;
  return next.type === EVENT_ID.MAPPING && next.start === event.start;
}

/** Where an empty node without tag or anchor stands: right after its colon, dash or question mark. */
function emptyPlace(text: string, cursor: number, builder: TreeBuilder): number {
  const at = skipSpaceAndComments(text, cursor);
  const code = text.charCodeAt(at);
  switch (builder.insideMap) {
    case true:
      if (builder.expectsKey) {
        const comma = code === COMMA ? skipSpaceAndComments(text, at + 1) : at;
        return text.charCodeAt(comma) === QUESTION_MARK && isSpaceOrEnd(text.charCodeAt(comma + 1)) ? comma + 1 : comma;
      }
      return code === COLON && isValueIndicator(text, at, builder) ? at + 1 : cursor;
    case false:
      return code === DASH && !builder.insideFlow ? at + 1 : cursor;
    default:
      return cursor;
  }
}

function isValueIndicator(text: string, colon: number, builder: TreeBuilder): boolean {
  if (builder.insideFlow) return true;
  if (!isSpaceOrEnd(text.charCodeAt(colon + 1))) return false;
  // After a key of several lines (`? key`), the colon of this map stands in the map's own column.
  const line = lineStartAt(text, colon);
  if (line <= builder.keyEnd) return true;
  return colon - line === builder.openedAt - lineStartAt(text, builder.openedAt);
}

/** The `|` or `>` of the block scalar whose header comes next. */
function blockHeader(text: string, from: number): number {
  let at = skipSpaceAndComments(text, from);
  for (;;) {
    const code = text.charCodeAt(at);
    // The dots are those of a `...` before the document.
    if (code !== COLON && code !== DASH && code !== QUESTION_MARK && code !== DOT) return at;
    at = skipSpaceAndComments(text, at + 1);
  }
}

/** The closing bracket of the flow collection whose last child ends at `from`. */
function closingBracket(text: string, from: number): number {
  let at = skipSpaceAndComments(text, from);
  while (text.charCodeAt(at) === COMMA || text.charCodeAt(at) === COLON) at = skipSpaceAndComments(text, at + 1);
  return at;
}
