import { Composer, Parser, isAlias, isMap, isPair, isScalar, isSeq } from "yaml";
import type { CST, Document, Node, Pair, ParsedNode, Scalar, YAMLMap, YAMLSeq } from "yaml";
import { findSecondDocument } from "./documents.ts";
import { MAX_NESTING } from "./limits.ts";
import { describeBreaks } from "./plain-words.ts";
import { fullTagOf } from "./scalars.ts";
import { blockScalarEnd } from "./text-scan.ts";
import type { NodeProperties } from "./tree-builder.ts";
import { TreeBuilder } from "./tree-builder.ts";
import type { ScalarStyle, SyntaxTree } from "./tree.ts";

/** Levels of the reader's own tokens that are kept; deeper ones are emptied before anything recursive sees them. */
const TOKEN_DEPTH = MAX_NESTING + 16;

const OPTIONS = {
  keepSourceTokens: true,
  uniqueKeys: false,
  schema: "failsafe",
  resolveKnownTags: false,
  logLevel: "silent",
} as const;

/**
 * Reads what can be read of any text, and says what cannot. `text` must be free of control characters and lone
 * carriage returns; see `parse.ts`.
 */
export function readTolerant(text: string, levelsAround: number): SyntaxTree {
  const tokens = [...new Parser().parse(text)];
  for (const token of tokens) emptyDeepTokens(token);
  const composer = new Composer(OPTIONS);
  const documents = ([...composer.compose(tokens)] as Document.Parsed[]).filter((document) => !isNothing(document));
  const builder = new TreeBuilder(levelsAround);
  const first = documents[0];
  const errors = first ? first.errors : composer.streamInfo().errors;
  if (first) {
    const token = tokens.find((one): one is CST.Document => one.type === "document" && one.offset >= first.range[0]);
    new TreeReader(text, builder, new Map(Object.entries(first.directives.tags))).node(
      first.contents,
      token?.start ?? [],
      0,
    );
  }
  for (const { span, message } of describeBreaks(text, errors, builder.root, builder.problems)) {
    builder.problem(span.start, span.end, message);
  }
  if (documents.length > 1) findSecondDocument(text, builder.root?.span.end ?? 0, builder);
  return { root: builder.root, problems: builder.problems };
}

/** A document that a lone `...` ends without there being anything in it. */
function isNothing({ contents, directives, errors }: Document.Parsed): boolean {
  if (errors.length > 0 || directives.docStart === true) return false;
  return (
    contents === null ||
    (isScalar(contents) && contents.range[0] === contents.range[1] && !contents.anchor && !contents.tag)
  );
}

/** Empties maps and lists below `TOKEN_DEPTH`, without recursion, so that no depth of nesting overflows the stack. */
function emptyDeepTokens(root: CST.Token): void {
  const waiting: { token: CST.Token; depth: number }[] = [{ token: root, depth: 0 }];
  for (let next = waiting.pop(); next; next = waiting.pop()) {
    const { token, depth } = next;
    if (token.type === "document") {
      if (token.value) waiting.push({ token: token.value, depth });
    } else if (token.type === "block-map" || token.type === "block-seq" || token.type === "flow-collection") {
      if (depth > TOKEN_DEPTH) token.items = [];
      for (const item of token.items) {
        if (item.key) waiting.push({ token: item.key, depth: depth + 1 });
        if (item.value) waiting.push({ token: item.value, depth: depth + 1 });
      }
    }
  }
}

const STYLES: Readonly<Record<string, ScalarStyle>> = {
  QUOTE_SINGLE: "single",
  QUOTE_DOUBLE: "double",
  BLOCK_LITERAL: "literal",
  BLOCK_FOLDED: "folded",
};

type Tokens = readonly CST.SourceToken[];

/** Walks a composed document beside its tokens and feeds the tree builder. */
class TreeReader {
  readonly #text: string;
  readonly #builder: TreeBuilder;
  readonly #handles: ReadonlyMap<string, string>;

  constructor(text: string, builder: TreeBuilder, handles: ReadonlyMap<string, string>) {
    this.#text = text;
    this.#builder = builder;
    this.#handles = handles;
  }

  /** `before`: the tokens that stand before the node (indicator, anchor, tag); `empty`: where it is, if it is empty. */
  node(node: ParsedNode | null, before: Tokens, empty: number): void {
    const builder = this.#builder;
    if (node === null) builder.scalar(empty, empty, "plain", "");
    else if (isAlias(node)) builder.alias(node.range![0], node.range![1], node.source);
    else if (isScalar(node)) this.#scalar(node, before, empty);
    else if (isMap(node)) this.#map(node as YAMLMap.Parsed, before);
    else if (isSeq(node)) this.#list(node as YAMLSeq.Parsed, before);
  }

  #scalar(node: Scalar.Parsed, before: Tokens, empty: number): void {
    const properties = this.#properties(node, before);
    const source = node.source;
    const style = STYLES[node.type ?? "PLAIN"] ?? "plain";
    let [start, end] = node.range;
    if (style === "literal" || style === "folded") end = blockScalarEnd(this.#text, start, end);
    if (style === "plain" && source === "") start = end = emptyPlace(before, empty);
    this.#builder.scalar(start, end, style, source, properties);
  }

  #map(node: YAMLMap.Parsed, before: Tokens): void {
    const flow = node.flow === true;
    const lonePair = flow && node.srcToken === undefined;
    this.#builder.open(true, flow, node.range[0], this.#properties(node, before));
    for (const pair of node.items) this.#pair(pair);
    this.#builder.close(flow && !lonePair ? node.range[1] : undefined);
  }

  #pair(pair: Pair<ParsedNode, ParsedNode | null>): void {
    const { start = [], sep = [] } = (pair.srcToken ?? {}) as { start?: Tokens; sep?: Tokens };
    // A list that stands in the way of keys is told as a mistake; as a key it would only mislead.
    if (isSeq(pair.key) && !pair.key.flow && !start.some(({ type }) => type === "explicit-key-ind")) return;
    const colon = sep.find((token) => token.type === "map-value-ind");
    this.node(pair.key, start, colon?.offset ?? pair.key.range[0]);
    this.node(pair.value, sep, this.#builder.keyEnd);
  }

  #list(node: YAMLSeq.Parsed, before: Tokens): void {
    const items = (node.srcToken as CST.BlockSequence | CST.FlowCollection | undefined)?.items ?? [];
    this.#builder.open(false, node.flow === true, node.range[0], this.#properties(node, before));
    let at = 0;
    for (const child of node.items) {
      if (isPair(child)) continue;
      at = indexOfItem(items, at, child);
      this.node(child, items[at]?.start ?? [], child.range[0]);
      at++;
    }
    this.#builder.close(node.flow === true ? node.range[1] : undefined);
  }

  #properties(node: Node, before: Tokens): NodeProperties | undefined {
    const anchor = isAlias(node) ? undefined : (node as { anchor?: string }).anchor;
    const tag = node.tag === undefined ? undefined : before.findLast((token) => token.type === "tag");
    if (anchor === undefined && tag === undefined) return undefined;
    return {
      anchor,
      tag: tag && fullTagOf(tag.source, this.#handles),
      tagWritten: tag?.source ?? "",
      tagSpan: tag ? { start: tag.offset, end: tag.offset + tag.source.length } : { start: 0, end: 0 },
    };
  }
}

/** The index of the token item that a list's child was made from; some token items make none. */
function indexOfItem(
  items: readonly (CST.BlockSequence | CST.FlowCollection)["items"][number][],
  from: number,
  child: ParsedNode,
): number {
  const pairItem = isMap(child) && child.srcToken === undefined ? child.items[0]?.srcToken : undefined;
  for (let at = from; at < items.length; at++) {
    const item = items[at]!;
    if (
      pairItem
        ? (item as unknown) === pairItem
        : child.srcToken
          ? item.value === child.srcToken
          : !item.value && hasIndicator(item.start)
    ) {
      return at;
    }
  }
  return from;
}

function hasIndicator(tokens: Tokens): boolean {
  return tokens.some((token) => PLACED_AFTER.has(token.type));
}

const PLACED_AFTER: ReadonlySet<string> = new Set([
  "seq-item-ind",
  "map-value-ind",
  "explicit-key-ind",
  "doc-start",
  "anchor",
  "tag",
]);

/** Where an empty node stands: right after the last of its colon, dash, anchor and tag. */
function emptyPlace(before: Tokens, otherwise: number): number {
  const last = before.findLast((token) => PLACED_AFTER.has(token.type));
  return last ? last.offset + last.source.length : otherwise;
}
