import type { Span } from "../base/text.ts";
import { MAX_ALIASED_NODES, MAX_ALIAS_USES, MAX_NESTING, MAX_PROBLEMS } from "./limits.ts";
import type { CoreType } from "./scalars.ts";
import { coreTypeOf, resolvePlain, resolveTagged } from "./scalars.ts";
import type { ListNode, MapEntry, MapNode, ScalarNode, ScalarStyle, SyntaxNode, SyntaxProblem } from "./tree.ts";

/** The anchor and tag that stand before a node; `tag` is the full tag, `tagSpan` where it is written. */
export interface NodeProperties {
  readonly anchor: string | undefined;
  readonly tag: string | undefined;
  readonly tagWritten: string;
  readonly tagSpan: Span;
}

interface Anchored {
  /** Undefined while the node is still open: an alias to it would hold itself. */
  node: ScalarNode | MapNode | ListNode | undefined;
  /** How many nodes, and how many levels, one use of it brings in. */
  size: number;
  height: number;
}

interface Frame {
  readonly isMap: boolean;
  readonly flow: boolean;
  readonly start: number;
  readonly entries: MapEntry[];
  readonly items: SyntaxNode[];
  readonly anchored: Anchored | undefined;
  key: SyntaxNode | undefined;
  /** Where the last child ends. */
  end: number;
  size: number;
  height: number;
}

/** Above this many entries, keys are compared through a set instead of one with another. */
const FEW_KEYS = 12;

/**
 * Puts a tree together from nodes in the order in which they are written, and finds what no grammar finds: keys
 * written twice, aliases that lead nowhere or bring in too much, unknown tags, nesting without measure. Both ways of
 * reading feed it, so that they report the same.
 */
export class TreeBuilder {
  readonly problems: SyntaxProblem[] = [];
  root: SyntaxNode | undefined;

  readonly #stack: Frame[] = [];
  readonly #anchors = new Map<string, Anchored>();
  #top: Frame | undefined;
  #aliasUses = 0;
  #aliasedNodes = 0;
  /** How many maps and lists may be open at once. */
  readonly #levels: number;

  /** @param levelsAround the levels that the text lies inside already, when it is a part of a larger one. */
  constructor(levelsAround: number) {
    this.#levels = MAX_NESTING - levelsAround;
  }

  /** Whether the next node is a key of a map. */
  get expectsKey(): boolean {
    return this.#top !== undefined && this.#top.isMap && this.#top.key === undefined;
  }

  /** Whether the innermost open collection is a map; undefined outside all. */
  get insideMap(): boolean | undefined {
    return this.#top?.isMap;
  }

  get insideFlow(): boolean {
    return this.#top !== undefined && this.#top.flow;
  }

  /** Where the innermost open collection starts, as given to `open`. */
  get openedAt(): number {
    return this.#top?.start ?? 0;
  }

  /** Where the innermost open collection's key ends, when a value is due. */
  get keyEnd(): number {
    return this.#top?.key?.span.end ?? 0;
  }

  problem(start: number, end: number, message: string): void {
    if (this.problems.length < MAX_PROBLEMS) this.problems.push({ span: { start, end }, message });
  }

  scalar(start: number, end: number, style: ScalarStyle, source: string, properties?: NodeProperties): void {
    const tag = properties?.tag;
    let value = style === "plain" ? resolvePlain(source) : source;
    if (tag !== undefined) value = this.#taggedValue(source, tag, properties!);
    const node: ScalarNode = { type: "scalar", span: { start, end }, style, source, value };
    if (properties?.anchor !== undefined && this.#stack.length <= this.#levels) {
      this.#anchors.set(properties.anchor, { node, size: 1, height: 0 });
    }
    this.#add(node, 1, 0);
  }

  /** Opens a map or a list; `start` is the opening bracket, the first dash, or the start of the first key. */
  open(isMap: boolean, flow: boolean, start: number, properties?: NodeProperties): void {
    let anchored: Anchored | undefined;
    if (properties !== undefined) {
      if (properties.tag !== undefined) this.#checkCollectionTag(isMap ? "map" : "seq", properties);
      if (properties.anchor !== undefined && this.#stack.length < this.#levels) {
        anchored = { node: undefined, size: 0, height: 0 };
        this.#anchors.set(properties.anchor, anchored);
      }
    }
    const frame: Frame = {
      isMap,
      flow,
      start,
      entries: isMap ? [] : NO_ENTRIES,
      items: isMap ? NO_ITEMS : [],
      anchored,
      key: undefined,
      end: start,
      size: 1,
      height: 0,
    };
    this.#stack.push(frame);
    this.#top = frame;
    if (this.#stack.length === this.#levels + 1) {
      this.problem(
        start,
        start + 1,
        `lists and maps lie more than ${MAX_NESTING} levels inside one another here; what lies deeper is not read, so take some levels out`,
      );
    }
  }

  /** Closes the innermost collection; `flowEnd` is the offset after its closing bracket, when it has one. */
  close(flowEnd?: number): void {
    const frame = this.#stack.pop()!;
    this.#top = this.#stack[this.#stack.length - 1];
    if (this.#stack.length >= this.#levels) {
      const at = frame.start;
      this.#add({ type: "scalar", span: { start: at, end: at }, style: "plain", source: "", value: null }, 1, 0);
      return;
    }
    const end = flowEnd ?? frame.end;
    let node: MapNode | ListNode;
    if (frame.isMap) {
      // A block map, and a lone pair in a flow list, start with their first key, whatever stands before it.
      const first = flowEnd === undefined ? frame.entries[0]?.key.span.start : undefined;
      const start = first ?? frame.start;
      node = { type: "map", span: { start, end }, flow: frame.flow, entries: frame.entries };
      this.#findRepeatedKeys(frame.entries);
    } else {
      node = { type: "list", span: { start: frame.start, end }, flow: frame.flow, items: frame.items };
    }
    if (frame.anchored) {
      frame.anchored.node = node;
      frame.anchored.size = frame.size;
      frame.anchored.height = frame.height;
    }
    this.#add(node, frame.size, frame.height);
  }

  alias(start: number, end: number, name: string): void {
    const anchored = this.#anchors.get(name);
    const refusal = this.#refuseAlias(name, anchored);
    if (refusal !== undefined || anchored?.node === undefined) {
      this.problem(start, end, refusal ?? "");
      this.#add({ type: "scalar", span: { start, end }, style: "plain", source: "", value: null }, 1, 0);
      return;
    }
    this.#aliasedNodes += anchored.size;
    this.#add({ type: "alias", span: { start, end }, name, target: anchored.node }, anchored.size, anchored.height);
  }

  #refuseAlias(name: string, anchored: Anchored | undefined): string | undefined {
    if (anchored === undefined)
      return `nothing above is named &${name}; write the value out, in quotes if it is a text that starts with "*"`;
    if (anchored.node === undefined)
      return `*${name} stands inside the value that it repeats; write the value out here`;
    if (++this.#aliasUses > MAX_ALIAS_USES) {
      return `this file uses more than ${MAX_ALIAS_USES} repeats (*name), and this one is not read; write the value out here`;
    }
    if (this.#aliasedNodes + anchored.size > MAX_ALIASED_NODES) {
      return `the repeats (*name) of this file stand for more than ${MAX_ALIASED_NODES} values, and this one is not read; write the value out here`;
    }
    if (this.#stack.length + anchored.height > this.#levels) {
      return `*${name} brings in more than ${MAX_NESTING} levels of lists and maps, and is not read; write a simpler value here`;
    }
    return undefined;
  }

  #add(node: SyntaxNode, size: number, height: number): void {
    const top = this.#top;
    if (top === undefined) {
      this.root ??= node;
      return;
    }
    top.size += size;
    // A scalar counts no level of its own; a collection counts one.
    const level = node.type === "scalar" ? 0 : height + 1;
    if (level > top.height) top.height = level;
    if (node.span.end > top.end) top.end = node.span.end;
    if (!top.isMap) top.items.push(node);
    else if (top.key === undefined) top.key = node;
    else {
      top.entries.push({ key: top.key, value: node });
      top.key = undefined;
    }
  }

  #findRepeatedKeys(entries: readonly MapEntry[]): void {
    if (entries.length > FEW_KEYS) {
      const seen = new Set<string>();
      for (const { key } of entries) {
        if (key.type !== "scalar") continue;
        if (seen.has(key.source)) this.#reportRepeatedKey(key);
        else seen.add(key.source);
      }
      return;
    }
    for (let later = 1; later < entries.length; later++) {
      const key = entries[later]!.key;
      if (key.type !== "scalar") continue;
      for (let earlier = 0; earlier < later; earlier++) {
        const other = entries[earlier]!.key;
        if (other.type === "scalar" && other.source === key.source) {
          this.#reportRepeatedKey(key);
          break;
        }
      }
    }
  }

  #reportRepeatedKey(key: ScalarNode): void {
    const name = key.source.length > 40 ? `${key.source.slice(0, 40)}…` : key.source;
    this.problem(key.span.start, key.span.end, `"${name}" is written twice here; keep one of the two, or rename one`);
  }

  #taggedValue(source: string, tag: string, properties: NodeProperties): ScalarNode["value"] {
    const type = coreTypeOf(tag);
    if (type === undefined) {
      this.#reportUnknownTag(properties);
      return source;
    }
    const resolved = resolveTagged(source, type);
    if (resolved) return resolved.value;
    // An empty `!!map` or `!!seq` is what it says it is, only without anything in it.
    this.#reportMisfit(type, properties);
    return source;
  }

  #checkCollectionTag(is: "map" | "seq", properties: NodeProperties): void {
    const tag = properties.tag!;
    if (tag === "!") return;
    const type = coreTypeOf(tag);
    if (type === undefined) this.#reportUnknownTag(properties);
    else if (type !== is) this.#reportMisfit(type, properties);
  }

  #reportUnknownTag({ tagSpan, tagWritten }: NodeProperties): void {
    this.problem(
      tagSpan.start,
      tagSpan.end,
      `the mark ${tagWritten} means nothing in a record; take it out, or put the value in quotes`,
    );
  }

  #reportMisfit(type: CoreType, { tagSpan, tagWritten }: NodeProperties): void {
    this.problem(
      tagSpan.start,
      tagSpan.end,
      `${tagWritten} says that what follows is ${CORE_TYPE_IN_WORDS[type]}, and it is not; take the mark out, or change the value`,
    );
  }
}

const NO_ENTRIES: MapEntry[] = [];
const NO_ITEMS: SyntaxNode[] = [];

const CORE_TYPE_IN_WORDS: Readonly<Record<CoreType, string>> = {
  str: "text",
  int: "a whole number",
  float: "a number",
  bool: "true or false",
  null: "empty",
  map: "a group of keys and values",
  seq: "a list",
};
