import { strict as assert } from "node:assert";
import fc from "fast-check";
import { stringify } from "yaml";
import { applyEdits } from "../../server/src/base/text.ts";
import type { TextEdit } from "../../server/src/base/text.ts";
import { appendItem, insertEntry, replaceScalar } from "../../server/src/syntax/edits.ts";
import { insertRecord } from "../../server/src/syntax/insert-record.ts";
import { parseText } from "../../server/src/syntax/parse.ts";
import { keyName } from "../../server/src/syntax/tree-queries.ts";
import type { PlainValue } from "../../server/src/syntax/tree-queries.ts";
import type { SyntaxNode } from "../../server/src/syntax/tree.ts";
import { writeRecord } from "../../server/src/syntax/write-scalar.ts";
import { SEASON_OF_EVERYTHING, readWithoutProblems, valueOf } from "./support.ts";

type Step = string | number;

/** Every value of a tree with the way to it, whether it lies in brackets; aliases are not entered. */
function* valuesOf(
  node: SyntaxNode,
  steps: Step[] = [],
  inFlow = false,
): Generator<{ node: SyntaxNode; steps: Step[]; inFlow: boolean }> {
  yield { node, steps, inFlow };
  const flow = inFlow || (node.type !== "scalar" && node.type !== "alias" && node.flow);
  if (node.type === "list") for (const [i, item] of node.items.entries()) yield* valuesOf(item, [...steps, i], flow);
  if (node.type === "map")
    for (const { key, value } of node.entries) yield* valuesOf(value, [...steps, keyName(key)], flow);
}

/** The value with the part at `steps` changed. */
function changed(value: unknown, steps: Step[], change: (part: never) => unknown): unknown {
  if (steps.length === 0) return change(value as never);
  const [step, ...rest] = steps as [Step, ...Step[]];
  if (Array.isArray(value)) return value.map((item, i) => (i === step ? changed(item, rest, change) : item));
  return Object.fromEntries(
    Object.entries(value as object).map(([key, item]) => [key, key === step ? changed(item, rest, change) : item]),
  );
}

/** Map keys in the order written too, which `deepEqual` does not look at. */
function ordered(value: unknown): string {
  return JSON.stringify(value, (_, inner: unknown) =>
    typeof inner === "number" && !Number.isFinite(inner) ? String(inner) : inner,
  );
}

function inserted(map: object, key: string, value: unknown, after: string | undefined): object {
  const entries = Object.entries(map);
  entries.splice(after === undefined ? 0 : Object.keys(map).indexOf(after) + 1, 0, [key, value]);
  return Object.fromEntries(entries);
}

const lineEndsOf = (text: string): string[] => [...new Set(text.match(/\r\n|\r|\n/g))];

/** Applies edits, and holds the result to the value expected, and its line ends to those of the text. */
function check(text: string, edits: TextEdit[], expected: unknown): void {
  const result = applyEdits(text, edits);
  const tree = parseText(result);
  const shown = JSON.stringify({ text, edits, result });
  assert.deepEqual(tree.problems, [], shown);
  assert.equal(ordered(valueOf(tree)), ordered(expected), shown);
  const lineEnds = lineEndsOf(text);
  if (lineEnds.length === 1)
    assert.ok(
      lineEndsOf(result).every((one) => one === lineEnds[0]),
      shown,
    );
  for (const { span } of edits) assert.ok(span.start >= 0 && span.end <= text.length);
}

const NEW_VALUES: PlainValue[] = ["new", "a: b, [c] #d", "12", "", 7, null, ["x", { y: "z, w" }], "two\nlines\n"];

/** Tries every edit at every place of a text; gives how many were made, and how many declined. */
function tryAll(text: string): { made: number; declined: number } {
  const root = readWithoutProblems(text);
  const value = valueOf({ root, problems: [] });
  const counts = { made: 0, declined: 0 };
  const run = (edits: TextEdit[], expected: () => unknown): void => {
    if (edits.length === 0) counts.declined++;
    else {
      counts.made++;
      check(text, edits, expected());
    }
  };
  for (const { node, steps, inFlow } of valuesOf(root)) {
    if (node.type === "scalar") {
      for (const next of ["plain words", "a: b", "12", "", "it's", 3.5, null, true, "two\nlines", "two\n\nlines\n"]) {
        run(replaceScalar(text, node, next, inFlow ? "flow" : "block"), () => changed(value, steps, () => next));
      }
    } else if (node.type === "map") {
      const keys = node.entries.map(({ key }) => keyName(key));
      for (const after of [undefined, ...keys]) {
        for (const next of NEW_VALUES) {
          run(insertEntry(text, node, "new key", next, after), () =>
            changed(value, steps, (map: object) =>
              inserted(map, "new key", next, keys.length === 0 ? undefined : after),
            ),
          );
        }
      }
    } else if (node.type === "list") {
      for (const next of NEW_VALUES) {
        run(appendItem(text, node, next), () => changed(value, steps, (list: unknown[]) => [...list, next]));
      }
    }
  }
  return counts;
}

describe("editing a text", () => {
  it("every edit, everywhere in what a keeper may write", () => {
    // A first entry is asked for where an explicit key stands first in a map: nowhere in this text.
    const counts = tryAll(SEASON_OF_EVERYTHING);
    assert.ok(counts.made > 700, JSON.stringify(counts));
    assert.equal(counts.declined, 0);
    tryAll(SEASON_OF_EVERYTHING.replaceAll("\n", "\r\n"));
    tryAll(SEASON_OF_EVERYTHING.trimEnd().replace(/\n# at the end$/, ""));
  });

  it("every edit in texts written in unusual ways", () => {
    for (const text of [
      "a: 1",
      "\uFEFFa: 1\nb: 2\n",
      "a: |+\n  x\n\n\nb: 1\n",
      "a:\n  b: |+\n    x\n\n\n\n# c\nd:\n- |+\n  y\n\n",
      "a: >-\n  x\n\n\nb:\n  - |\n    y\n\n  - z\n",
      "- - a\n  - b\n- - c\n-\n  - d\n",
      "- a: 1\n  b: 2\n-\n  c: 3\n- d:\n    e: 4\n",
      "a: { b: 1, c: , d, 'e': [ ], f: { }, }\n",
      "a: {b: 1,\n    c: 2, # two\n    d: 3 # three\n   }\n",
      "a: [ 1, # one\n  2,\n  {x: y},\n ]\n",
      'a: {"b":1,"c":[2,3],"d":{}}\n',
      "? a\n: 1\n? b\n:\n  - 2\n",
      "a: !!str 1\nb: !!seq\n  - &x 2\n  - !!int 3\nc: &y\n  d: 4\n  e: 5\n",
      "---\na:\n- 1\n- 2\nb:\n- c: 1\n  d: 2\n...\n",
      "a:\n\n  # first\n  b: 1 # one\n\n  # second\n  c: 2 # two\n\n  # last\n",
      "a: 'x\n  y'\nb: \"x\n\n  y\"\nc: x\n  y\nd: z\n",
      "a:    # none\nb:  \nc:\n  -   # none\n  -  \n",
      "'a b': 1\n\"c\\td\": 2\n",
    ]) {
      for (const one of [text, text.replaceAll("\n", "\r\n"), text.replace(/\n$/, "")]) {
        if (one === text || parseText(one).problems.length === 0) tryAll(one);
      }
    }
  });

  it("every edit in written values of any kind, in any style", () => {
    const key = fc.stringMatching(/^[a-z]{1,3}$/);
    const value = fc.letrec<{ node: unknown }>((tie) => ({
      node: fc.oneof(
        { maxDepth: 3 },
        fc.constantFrom("x", "a: b", "l1\nl2\n", "l1\n\n\n", "# c", "", "-", "12"),
        fc.integer({ min: 0, max: 99 }),
        fc.constant(null),
        fc.array(tie("node"), { maxLength: 3 }),
        fc.dictionary(key, tie("node"), { maxKeys: 3, noNullPrototype: true }),
      ),
    })).node;
    let made = 0;
    let declined = 0;
    fc.assert(
      fc.property(
        fc.dictionary(key, value, { minKeys: 1, maxKeys: 3, noNullPrototype: true }),
        fc.constantFrom("any" as const, "block" as const, "flow" as const),
        fc.constantFrom("PLAIN", "QUOTE_SINGLE", "QUOTE_DOUBLE", "BLOCK_LITERAL"),
        fc.boolean(),
        fc.constantFrom(1, 2, 4),
        fc.boolean(),
        (record, collectionStyle, defaultStringType, indentSeq, indent, crlf) => {
          const options = { collectionStyle, defaultStringType, indentSeq, indent, defaultKeyType: "PLAIN" } as const;
          const written = stringify(record, { ...options, lineWidth: 30, aliasDuplicateObjects: false });
          const text = crlf ? written.replaceAll("\n", "\r\n") : written;
          if (parseText(text, "fast").root === undefined) return;
          const counts = tryAll(text);
          made += counts.made;
          declined += counts.declined;
        },
      ),
      { numRuns: 300 },
    );
    assert.ok(made > 3000, `${made}`);
    assert.equal(declined, 0);
  });

  it("leaves the rest as it was: comments, quotes and spaces", () => {
    const text = "a:   'x'   # one\r\nb: [ 1,2 ]\r\n\r\n# end\r\n";
    const { root } = parseText(text);
    assert.ok(root?.type === "map");
    const [a, b] = root.entries;
    assert.ok(a!.value.type === "scalar" && b!.value.type === "list");
    assert.equal(applyEdits(text, replaceScalar(text, a!.value, "y", "block")), text.replace("'x'", "'y'"));
    assert.equal(applyEdits(text, insertEntry(text, root, "k", 1, "a")), text.replace("# one", "# one\r\nk: 1"));
    assert.equal(applyEdits(text, insertEntry(text, root, "k", 1)), `k: 1\r\n${text}`);
    assert.equal(applyEdits(text, appendItem(text, b!.value, 3)), text.replace("1,2", "1,2, 3"));
  });
});

describe("adding a record", () => {
  const record = writeRecord({ id: "new", field: "a: b", crew: ["mo"] });
  const value = { id: "new", field: "a: b", crew: ["mo"] };
  const add = (text: string, after?: number): string => applyEdits(text, insertRecord(text, "visits", record, after));

  it("after any record, or at the end", () => {
    for (const text of [SEASON_OF_EVERYTHING, SEASON_OF_EVERYTHING.replaceAll("\n", "\r\n")]) {
      const { visits } = valueOf(parseText(text)) as { visits: unknown[] };
      for (const after of [undefined, 0, 1, 2, 3]) {
        const expected = visits.toSpliced((after ?? 3) + 1, 0, value);
        check(text, insertRecord(text, "visits", record, after), { visits: expected });
      }
      assert.deepEqual(insertRecord(text, "visits", record, 4), []);
    }
  });

  it("in the column of the others, before comments that belong to none, and parted as they are", () => {
    assert.equal(
      add("visits:\n- a\n\n- b\n\n# end\n", 0),
      `visits:\n- a\n\n- ${record.replaceAll("\n", "\n  ")}\n\n- b\n\n# end\n`,
    );
    assert.equal(add("visits:\n    - a"), `visits:\n    - a\n    - ${record.replaceAll("\n", "\n      ")}\n`);
  });

  it("to a file that holds none yet", () => {
    const lines = `  - ${record.replaceAll("\n", "\n    ")}\n`;
    for (const [text, expected] of [
      ["", `visits:\n${lines}`],
      ["# c", `# c\nvisits:\n${lines}`],
      ["\uFEFF", `\uFEFFvisits:\n${lines}`],
      ["visits:", `visits:\n${lines.trimEnd()}`],
      ["visits:   # none yet\n# c\n", `visits:   # none yet\n${lines}# c\n`],
      ["visits: []\n", `visits:\n${lines}`],
      ["visits: [ ] # none yet\n", `visits:\n${lines.trimEnd()} # none yet\n`],
      ["visits: ~\n", `visits:\n${lines}`],
      ["x-note: y\n", `x-note: y\nvisits:\n${lines}`],
    ] as const) {
      assert.equal(add(text), expected);
      assert.deepEqual((valueOf(parseText(expected)) as { visits: unknown }).visits, [value]);
    }
  });

  it("to a file that is read whole, and not where the list is in brackets", () => {
    const text = "x-note: y\nvisits:\n- a # one\n- b\nx-more: z\n";
    check(text, insertRecord(text, "visits", record), { "x-note": "y", visits: ["a", "b", value], "x-more": "z" });
    check(text, insertRecord(text, "visits", record, 0), { "x-note": "y", visits: ["a", value, "b"], "x-more": "z" });
    for (const other of ["visits: [{ id: a }]\n", "{ visits: [] }", "- a\n", "visits: text\n"]) {
      assert.deepEqual(insertRecord(other, "visits", record), [], other);
    }
  });
});
