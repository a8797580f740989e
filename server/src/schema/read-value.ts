import { resolved, toPlain } from "../syntax/tree-queries.ts";
import type { MapNode, SyntaxNode } from "../syntax/tree.ts";
import type { Shape } from "./shape.ts";

export interface ReadValue {
  readonly value: unknown;
  /** A key stands somewhere that the schema does not know; the value is without it. */
  readonly hasUnknownKeys: boolean;
}

/**
 * Turns a tree into the plain value its shape asks for. Where a text is wanted, a number, date or `yes` stays as it was
 * written; an empty value stays null. A list or map where none may stand becomes an empty one, for the validator to
 * refuse. Of a key written twice the later counts, as everywhere.
 *
 * Depth and size of the result are bounded, because the tree is (see `syntax/limits.ts`).
 */
export function readValue(node: SyntaxNode, shape: Shape): ReadValue {
  sawUnknownKey = false;
  const value = read(node, shape);
  return { value, hasUnknownKeys: sawUnknownKey };
}

// Set while reading: sixty thousand records pass here, and none should carry an object for what hardly ever happens.
let sawUnknownKey = false;

function read(written: SyntaxNode, shape: Shape): unknown {
  if (shape.isFree) return toPlain(written);
  const node = written.type === "alias" ? written.target : written;
  if (node.type === "scalar") return shape.wantsText && node.value !== null ? node.source : node.value;
  if (node.type === "map") return shape.isMap ? readMap(node, shape) : {};
  const list: unknown[] = [];
  if (shape.isList && shape.items) for (const item of node.items) list.push(read(item, shape.items));
  return list;
}

function readMap(node: MapNode, shape: Shape): Record<string, unknown> {
  const map: Record<string, unknown> = shape.isDictionary ? (Object.create(null) as Record<string, unknown>) : {};
  for (const { key: writtenKey, value } of node.entries) {
    const key = resolved(writtenKey);
    const name = key.type === "scalar" ? key.source : "";
    const known = shape.keys.get(name);
    if (known) map[name] = read(value, known);
    else if (isOwnKey(name)) map[name] = toPlain(value);
    else {
      const other = key.type === "scalar" ? shapeOfOtherKey(name, shape) : undefined;
      if (other) map[name] = read(value, other);
      else sawUnknownKey = true;
    }
  }
  return map;
}

/** Whether a key is the keeper's own. */
export function isOwnKey(name: string): boolean {
  return name.charCodeAt(0) === 0x78 && name.charCodeAt(1) === 0x2d;
}

/** The shape of a key that the schema does not name, where it allows such keys. */
export function shapeOfOtherKey(name: string, shape: Shape): Shape | undefined {
  for (const [pattern, inner] of shape.patterns) if (pattern.test(name)) return inner;
  // Maps with keys from a list of names have the plain object's prototype, whose own names cannot be used as keys.
  return shape.isDictionary || name !== "__proto__" ? shape.otherKeys : undefined;
}
