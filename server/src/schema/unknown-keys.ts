import { closest } from "../base/closest.ts";
import type { Pointer } from "../base/pointer.ts";
import { keyName, resolved } from "../syntax/tree-queries.ts";
import type { SyntaxNode } from "../syntax/tree.ts";
import { isOwnKey, shapeOfOtherKey } from "./read-value.ts";
import type { SchemaProblem } from "./schema-problem.ts";
import type { Shape } from "./shape.ts";

/** Every key of a record that its schema does not know, in the order written. */
export function unknownKeys(root: SyntaxNode, shape: Shape): SchemaProblem[] {
  const problems: SchemaProblem[] = [];
  look(root, shape, [], problems);
  return problems;
}

function look(written: SyntaxNode, shape: Shape, pointer: Pointer, problems: SchemaProblem[]): void {
  if (shape.isFree) return;
  const node = resolved(written);
  if (node.type === "list" && shape.isList && shape.items) {
    node.items.forEach((item, i) => look(item, shape.items!, [...pointer, i], problems));
  }
  if (node.type !== "map" || !shape.isMap) return;
  const seen = new Set<string>();
  for (const { key, value } of node.entries) {
    const name = keyName(key);
    const inner = shape.keys.get(name);
    if (inner) look(value, inner, [...pointer, name], problems);
    else if (!isOwnKey(name) && !seen.has(name)) {
      const other = resolved(key).type === "scalar" ? shapeOfOtherKey(name, shape) : undefined;
      if (other) look(value, other, [...pointer, name], problems);
      else problems.push(unknownKey(key, name, shape, pointer));
    }
    seen.add(name);
  }
}

function unknownKey(key: SyntaxNode, name: string, shape: Shape, pointer: Pointer): SchemaProblem {
  const place = { code: "structure/unknown-key", pointer: [...pointer, name], part: "key" } as const;
  const noun = shape.schema["x-noun"] ?? "this part of the record";
  if (resolved(key).type !== "scalar") {
    // Such a key has no name to find it by: the map it stands in is the place.
    return {
      ...place,
      pointer,
      message: `a list or a map cannot be a key of ${noun}; write one word before the colon`,
    };
  }
  const shown = name.length > 40 ? `${name.slice(0, 40)}…` : name;
  const expected = shape.schema["x-expected-key"];
  if (expected !== undefined) return { ...place, message: `"${shown}" cannot stand here; the key must be ${expected}` };
  const suggestion = likelyKey(name, shape);
  if (suggestion !== undefined) {
    return { ...place, message: `"${shown}" is not a key of ${noun}; did you mean "${suggestion}"?`, suggestion };
  }
  const holder = [...shape.keys].find(
    ([, inner]) => (inner.items?.keys ?? inner.keys).has(name) || inner.keys.has(name),
  );
  const advice = holder
    ? `it belongs under "${holder[0]}"`
    : `take it out, or begin it with "x-" if it is a key of your own`;
  return { ...place, message: `"${shown}" is not a key of ${noun}; ${advice}` };
}

/** The key that was most likely meant: the same but for spaces, dashes and capitals, or a few letters apart. */
function likelyKey(name: string, shape: Shape): string | undefined {
  const plain = name.trim().toLowerCase().replace(/[\s-]/g, "_");
  return shape.keys.has(plain) ? plain : closest(name, shape.keys.keys());
}
