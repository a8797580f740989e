import type { Pointer } from "../base/pointer.ts";
import type { ListNode, MapNode, ScalarNode, SyntaxNode } from "./tree.ts";

export type { Pointer };

/** A value as JSON knows it. Maps have no prototype to speak of, so that no key (`__proto__`, `toString`) is special. */
export type PlainValue = string | number | boolean | null | PlainValue[] | PlainMap;
export interface PlainMap {
  [key: string]: PlainValue;
}

/**
 * Makes maps for `toPlain`. Objects made by a constructor keep V8's fast layout, which `Object.create(null)` loses;
 * the prototype is itself an object without prototype and without properties.
 */
const EmptyMap = function () {} as unknown as new () => PlainMap;
EmptyMap.prototype = Object.freeze(Object.create(null));

/** The node an alias stands for; any other node itself. */
export function resolved(node: SyntaxNode): ScalarNode | MapNode | ListNode {
  return node.type === "alias" ? node.target : node;
}

/**
 * The name of a key: its text as written, without quotes. A key that is a list or a map has no text; it goes by a name
 * of fixed length, since keys inside keys, written out, would double with every level.
 */
export function keyName(key: SyntaxNode): string {
  const node = resolved(key);
  if (node.type === "scalar") return node.source;
  return node.type === "list" ? "[…]" : "{…}";
}

/** The entry of a map under a key; of a key written twice, the later one, as `toPlain` has it. */
export function entryOf(node: SyntaxNode | undefined, key: string): { key: SyntaxNode; value: SyntaxNode } | undefined {
  if (node === undefined) return undefined;
  const map = resolved(node);
  if (map.type !== "map") return undefined;
  for (let i = map.entries.length - 1; i >= 0; i--) {
    const entry = map.entries[i]!;
    if (keyName(entry.key) === key) return entry;
  }
  return undefined;
}

/** The value at a pointer, and the key it stands under when its parent is a map; undefined where nothing is. */
export function nodeAt(
  root: SyntaxNode | undefined,
  pointer: Pointer,
): { readonly key?: SyntaxNode; readonly value: SyntaxNode } | undefined {
  if (root === undefined) return undefined;
  let found: { key?: SyntaxNode; value: SyntaxNode } = { value: root };
  for (const step of pointer) {
    const node = resolved(found.value);
    if (node.type === "list") {
      const item = typeof step === "number" ? node.items[step] : undefined;
      if (item === undefined) return undefined;
      found = { value: item };
    } else {
      const entry = entryOf(node, String(step));
      if (entry === undefined) return undefined;
      found = { key: entry.key, value: entry.value };
    }
  }
  return found;
}

/**
 * The innermost value or key whose span holds `offset` (its end included, so that a cursor right after a word is on
 * it). Between the parts of a map or list, the pointer of that map or list, `on: "value"`.
 */
export function pathAt(
  root: SyntaxNode | undefined,
  offset: number,
): { readonly pointer: (string | number)[]; readonly on: "key" | "value"; readonly node: SyntaxNode } | undefined {
  if (root === undefined || !holds(root, offset)) return undefined;
  const pointer: (string | number)[] = [];
  let node = root;
  for (;;) {
    if (node.type === "list") {
      const index = childAt(node.items, offset);
      if (index === -1) return { pointer, on: "value", node };
      pointer.push(index);
      node = node.items[index]!;
    } else if (node.type === "map") {
      const entry = node.entries.find(({ key, value }) => holds(key, offset) || holds(value, offset));
      if (entry === undefined) return { pointer, on: "value", node };
      pointer.push(keyName(entry.key));
      if (holds(entry.key, offset)) return { pointer, on: "key", node: entry.key };
      node = entry.value;
    } else return { pointer, on: "value", node };
  }
}

function holds(node: SyntaxNode, offset: number): boolean {
  return node.span.start <= offset && offset <= node.span.end;
}

/** The index of the item that holds `offset`, by bisection, or -1. */
function childAt(items: readonly SyntaxNode[], offset: number): number {
  let low = 0;
  let high = items.length - 1;
  while (low <= high) {
    const middle = (low + high) >> 1;
    const item = items[middle]!;
    if (offset < item.span.start) high = middle - 1;
    else if (offset > item.span.end) low = middle + 1;
    else return middle;
  }
  return -1;
}

/**
 * The JSON value of a node. Of a key written twice the later value counts. NaN and infinities stay numbers. Aliases are
 * written out: reading has bounded what they bring in.
 */
export function toPlain(node: SyntaxNode): PlainValue {
  switch (node.type) {
    case "scalar":
      return node.value;
    case "alias":
      return toPlain(node.target);
    case "list": {
      const list: PlainValue[] = [];
      for (const item of node.items) list.push(toPlain(item));
      return list;
    }
    case "map": {
      const map = new EmptyMap();
      for (const { key, value } of node.entries) map[keyName(key)] = toPlain(value);
      return map;
    }
  }
}
