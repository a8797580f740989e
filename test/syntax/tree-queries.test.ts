import { strict as assert } from "node:assert";
import { parseText } from "../../server/src/syntax/parse.ts";
import { keyName, nodeAt, pathAt, toPlain } from "../../server/src/syntax/tree-queries.ts";
import { SEASON_OF_EVERYTHING, nodesOf } from "./support.ts";

const text =
  "visits:\n  - id: v1\n    digs:\n      - { plants: 20, ratings: [18, 2] }\n    'a b': &x { y: 1 }\n    c: *x\n    12: n\n    id: v2\n";
const { root } = parseText(text);

describe("asking a tree", () => {
  it("for the value and key at a pointer", () => {
    const show = (...pointer: (string | number)[]): [string | undefined, string] | undefined => {
      const found = nodeAt(root, pointer);
      if (!found) return undefined;
      const { key, value } = found;
      return [key && text.slice(key.span.start, key.span.end), text.slice(value.span.start, value.span.end)];
    };
    assert.deepEqual(show("visits", 0, "digs", 0, "ratings", 1), [undefined, "2"]);
    assert.deepEqual(show("visits", 0, "digs", 0, "plants"), ["plants", "20"]);
    assert.deepEqual(show("visits", 0, "a b"), ["'a b'", "{ y: 1 }"]);
    assert.deepEqual(show("visits", 0, "c", "y"), ["y", "1"]);
    assert.deepEqual(show("visits", 0, "12"), ["12", "n"]);
    assert.deepEqual(show("visits", 0, 12), ["12", "n"]);
    // Of a key written twice, the later one, as its value has it.
    assert.deepEqual(show("visits", 0, "id"), ["id", "v2"]);
    assert.equal(show("visits", 1), undefined);
    assert.equal(show("visits", "0"), undefined);
    assert.equal(show("visits", 0, "digs", 0, "plants", "x"), undefined);
    assert.equal(show("visits", 0, "toString"), undefined);
    assert.equal(nodeAt(undefined, []), undefined);
  });

  it("for the pointer at an offset", () => {
    const show = (offset: number): string => {
      const found = pathAt(root, offset);
      return found ? `${found.on} ${found.pointer.join("/")}` : "nothing";
    };
    const on = (words: string): string => show(text.indexOf(words) + 1);
    assert.equal(on("visits"), "key visits");
    assert.equal(on("v1"), "value visits/0/id");
    assert.equal(show(text.indexOf("v1") + 2), "value visits/0/id");
    assert.equal(on("18"), "value visits/0/digs/0/ratings/0");
    assert.equal(on("plants"), "key visits/0/digs/0/plants");
    assert.equal(on("'a b'"), "key visits/0/a b");
    assert.equal(on("*x"), "value visits/0/c");
    assert.equal(show(text.indexOf("{ plants") + 1), "value visits/0/digs/0");
    assert.equal(show(text.indexOf("- id")), "value visits");
    assert.equal(show(text.length), "nothing");
    assert.equal(pathAt(undefined, 0), undefined);
  });

  it("the two are each other's inverse", () => {
    const tree = parseText(SEASON_OF_EVERYTHING).root;
    let checked = 0;
    for (const node of nodesOf(tree)) {
      if (node.type !== "scalar" || node.span.start === node.span.end) continue;
      const found = pathAt(tree, node.span.start + 1)!;
      assert.equal(found.node, node);
      const back = nodeAt(tree, found.pointer)!;
      assert.equal(found.on === "key" ? back.key : back.value, node, found.pointer.join("/"));
      checked++;
    }
    assert.ok(checked > 60);
  });

  it("for plain values that no key can harm", () => {
    const value = toPlain(parseText("__proto__: 1\na: { constructor: 2, __proto__: { x: 3 } }\n").root!) as Record<
      string,
      unknown
    >;
    assert.deepEqual(Object.keys(value), ["__proto__", "a"]);
    assert.equal(value["__proto__"], 1);
    assert.equal(value["toString"], undefined);
    assert.equal(JSON.stringify(value), '{"__proto__":1,"a":{"constructor":2,"__proto__":{"x":3}}}');
    assert.equal(({} as { x?: unknown }).x, undefined);
    assert.equal(
      (Object.getPrototypeOf(value) as object | null) && Object.getPrototypeOf(Object.getPrototypeOf(value)),
      null,
    );
  });

  it("for the names of keys, of any kind", () => {
    const map = parseText("a: 1\n'b c': 1\n12: 1\n~: 1\n: 1\n? [x]\n: 1\n? {y: z}\n: 1\n").root;
    assert.ok(map?.type === "map");
    assert.deepEqual(
      map.entries.map(({ key }) => keyName(key)),
      ["a", "b c", "12", "~", "", "[…]", "{…}"],
    );
  });
});
