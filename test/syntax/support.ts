import { strict as assert } from "node:assert";
import { LineIndex } from "../../server/src/base/line-index.ts";
import { parseText } from "../../server/src/syntax/parse.ts";
import { toPlain } from "../../server/src/syntax/tree-queries.ts";
import type { ScalarNode, SyntaxNode, SyntaxTree } from "../../server/src/syntax/tree.ts";

/** A value for `deepEqual`: objects get the ordinary prototype back, the key `__proto__` stays a key. */
export function plain(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(plain);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, plain(item)]));
}

/** The JSON value of a text; undefined when it holds nothing. */
export function valueOf(tree: SyntaxTree): unknown {
  return tree.root && plain(toPlain(tree.root));
}

/** Reads a text that must be well formed, both ways, and holds the two to the same tree. */
export function readBothWays(text: string): SyntaxTree {
  const fast = parseText(text, "fast");
  const tolerant = parseText(text, "tolerant");
  assert.deepEqual(fast, tolerant, `the two readers differ on ${JSON.stringify(text)}`);
  return fast;
}

export function readWithoutProblems(text: string): SyntaxNode {
  const { root, problems } = readBothWays(text);
  assert.deepEqual(problems, [], JSON.stringify(text));
  assert.ok(root, "the text holds nothing");
  return root;
}

/** Problems as `line:column ‹place› message`, lines and columns from 1. */
export function shown(text: string, { problems }: Pick<SyntaxTree, "problems">): string[] {
  const index = new LineIndex(text);
  return problems.map(({ span, message }) => {
    const { line, character } = index.position(span.start);
    return `${line + 1}:${character + 1} ‹${text.slice(span.start, span.end)}› ${message}`;
  });
}

/** Every node of a tree, keys included, in the order written; what aliases stand for is not entered. */
export function* nodesOf(node: SyntaxNode | undefined): Generator<SyntaxNode> {
  if (node === undefined) return;
  yield node;
  if (node.type === "list") for (const item of node.items) yield* nodesOf(item);
  if (node.type === "map") {
    for (const { key, value } of node.entries) {
      yield* nodesOf(key);
      yield* nodesOf(value);
    }
  }
}

export function scalarsOf(node: SyntaxNode | undefined): ScalarNode[] {
  return [...nodesOf(node)].filter((one) => one.type === "scalar");
}

/** Everything the format allows a record keeper to write, in one file. */
export const SEASON_OF_EVERYTHING = `# Visits of August, as written in the truck.
visits:   # one for each gate
  # the first of the month
  - id: v-0801-long-meadow
    field: long-meadow
    arrived: 2026-08-01T09:40
    left: 2026-08-01T11:05     # rain
    crew: [mo, 'al''s', "b\\u00e9a"]
    equipment:
    - dig-kit
    -
    - { id: probe, touches_soil: true, note: }
    ground: dry
    stage: 83
    area: 1.50
    code: 007
    empty:
    tilde: ~
    patches: []
    soil: {}
    note: |
      Walked from the gate: # not a comment
        deeper

      - not an item
    long: >-
      folded text
      over lines

      and a paragraph
    plain: text that runs
      over two lines
    quoted: "over
      two lines # not a comment"
    "key in quotes": yes
    ? explicit key
    : explicit value

# between two records

  # directly above the second
  - id: v-0802
    digs:
      - { id: d1, ratings: [18, 1, 1, 0],
          place: entrance }   # in two lines
      - id: d2
        plants: 20
  - just text
  -
    id: v-0803
    note: "# quoted"
# at the end
`;
