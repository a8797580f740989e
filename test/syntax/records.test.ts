import { strict as assert } from "node:assert";
import fc from "fast-check";
import { stringify } from "yaml";
import { parseText } from "../../server/src/syntax/parse.ts";
import { parseRecordSlice, sliceRecords } from "../../server/src/syntax/records.ts";
import type { RecordSlices } from "../../server/src/syntax/records.ts";
import type { SyntaxNode, SyntaxProblem } from "../../server/src/syntax/tree.ts";
import { entryOf } from "../../server/src/syntax/tree-queries.ts";
import { makeBook } from "../bench/make-book.mjs";
import { SEASON_OF_EVERYTHING, shown, valueOf } from "./support.ts";

/** The texts of the parts, header first and tail last. */
function parts(text: string, key = "visits"): string[] | string {
  const sliced = sliceRecords(text, key);
  if (!sliced.sliceable) return sliced.reason;
  return [sliced.header, ...sliced.slices, sliced.tail].map(({ start, end }) => text.slice(start, end));
}

function moved<T>(value: T, by: number): T {
  return JSON.parse(JSON.stringify(value), (key, inner: unknown) =>
    key === "start" || key === "end" ? (inner as number) + by : inner,
  ) as T;
}

interface Read {
  readonly nodes: (SyntaxNode | undefined)[];
  readonly problems: SyntaxProblem[];
}

function readSlices(text: string, sliced: RecordSlices & { sliceable: true }): Read {
  const nodes: (SyntaxNode | undefined)[] = [];
  const problems: SyntaxProblem[] = [];
  for (const { start, end } of sliced.slices) {
    const read = parseRecordSlice(text.slice(start, end), sliced.itemIndent);
    nodes.push(read.node && moved(read.node, start));
    problems.push(...moved(read.problems, start));
  }
  return { nodes, problems };
}

/** Holds the slices of a well-formed text to a reading of the whole; false when the text is not cut. */
function agreesWithWhole(text: string, key = "visits"): boolean {
  const sliced = sliceRecords(text, key);
  if (!sliced.sliceable) return false;
  const whole = parseText(text);
  assert.ok(whole.root?.type === "map", JSON.stringify(text));
  assert.deepEqual(
    whole.root.entries.map((entry) => entry.key.type === "scalar" && entry.key.source),
    [key],
  );
  const list = entryOf(whole.root, key)!.value;
  assert.ok(list.type === "list" && !list.flow);
  const { nodes, problems } = readSlices(text, sliced);
  assert.equal(JSON.stringify(nodes), JSON.stringify(list.items), JSON.stringify(text));
  assert.deepEqual(problems, whole.problems, JSON.stringify(text));
  return true;
}

describe("cutting a record file", () => {
  it("into header, records and tail, without gaps", () => {
    assert.deepEqual(parts("visits:\n  - id: a\n    x: 1\n  - id: b\n"), [
      "visits:\n",
      "  - id: a\n    x: 1\n",
      "  - id: b\n",
      "",
    ]);
    assert.deepEqual(parts("visits:\n- a\n- b"), ["visits:\n", "- a\n", "- b", ""]);
    assert.deepEqual(parts("\uFEFF# c\n---\nvisits: # c\r\n  -\r\n  - b\r\n"), [
      "\uFEFF# c\n---\nvisits: # c\r\n",
      "  -\r\n",
      "  - b\r\n",
      "",
    ]);
  });

  it("comment lines directly above a record belong to it", () => {
    const text =
      "visits:\n  # one\n  - a\n\n  # apart\n\n# two\n  # two\n  - b\n    # in b\n  - c\n\n  # after all\n\n# end\n";
    assert.deepEqual(parts(text), [
      "visits:\n",
      "  # one\n  - a\n\n  # apart\n\n",
      "# two\n  # two\n  - b\n    # in b\n",
      "  - c\n\n",
      "  # after all\n\n# end\n",
    ]);
  });

  it("not at what only looks like a record", () => {
    for (const text of [
      "visits:\n  - note: |\n      - id: x\n\n      # no comment\n    b: 1\n  - c\n",
      "visits:\n- note: |\n  - id: x\n- c\n",
      'visits:\n- note: "\n   - id: x\n   # no comment"\n- c\n',
      "visits:\n- note: a\n   - b\n- [\n  a,\n   b,\n # c\n   c ]\n- c\n",
      "visits:\n  - - a\n    - b\n  -\n    - c\n  - ? d\n    : e\n",
      "visits:\n  - |+\n    a\n\n\n  - >2\n      b\n\n  # c\n",
      "visits:\n  - -a: b\n  - -1\n  - --- x\n",
      "visits:\n  - a\n # comment - x\n  - b\n\t\n  \t# tab\n  - c\n",
    ]) {
      assert.ok(agreesWithWhole(text), text);
    }
  });

  it("only where the text is of the plain form", () => {
    for (const [text, reason] of [
      ["", "there is nothing in the text"],
      ["# c\n", "there is nothing in the text"],
      ["fields:\n  - a\n", 'the first line is not "visits:"'],
      ["visits :\n  - a\n", 'the first line is not "visits:"'],
      ["visits: [a]\n", 'something stands after "visits:" on its line'],
      ["visits: &x\n  - a\n", 'something stands after "visits:" on its line'],
      ["visits:\n", "there are no records"],
      ["visits:\n  a: 1\n", "the list does not start with a dash"],
      ["visits:\n\t- a\n", "the list does not start with a dash"],
      ["visits:\n  - a\nx-note: b\n", "there are other top-level keys"],
      ["visits:\n  - a\nx-note:\n  - b\n", "there are other top-level keys"],
      ["visits:\n  - a\n? b\n", "there are other top-level keys"],
      ["visits:\n  - a\n---\nvisits:\n  - b\n", "there are several documents"],
      ["visits:\n  - a\n...\n", "there are several documents"],
      ["%YAML 1.2\n---\nvisits:\n  - a\n", 'the first line is not "visits:"'],
      ["visits:\n  - &a x\n  - *a\n", "values are named and repeated (&name, *name)"],
      ["visits:\n  - {a: &a x, b: [*a]}\n", "values are named and repeated (&name, *name)"],
      ['x-a: "\n- b"\nvisits:\n- c\n', 'the first line is not "visits:"'],
      ["visits:\n  - a\nx-note: one\n  - two\n", "there are other top-level keys"],
    ] as const) {
      assert.equal(parts(text), reason, JSON.stringify(text));
    }
    assert.ok(Array.isArray(parts("visits:\n  - note: R&D, 5 * 3 * 2 &c\n")));
  });

  it("agrees with a reading of the whole: what a keeper may write, and made-up books", () => {
    assert.ok(agreesWithWhole(SEASON_OF_EVERYTHING));
    assert.ok(agreesWithWhole(SEASON_OF_EVERYTHING.replaceAll("\n", "\r\n")));
    let records = 0;
    for (let seed = 1; seed <= 10; seed++) {
      for (const [path, text] of makeBook({ fields: 3, years: 1, seed })) {
        const kind = path.split(".").at(-2)!.split("/").at(-1)!;
        if (path !== "season.yaml") assert.ok(agreesWithWhole(text, path.split("/").at(-1)!.split(".").at(-2)!), kind);
        records += text.split("\n  - ").length - 1;
      }
    }
    assert.ok(records > 300, `${records}`);
  });

  it("agrees with a reading of the whole: lists made of well-formed lines in any order", () => {
    // Pieces that are each fine somewhere; whatever well-formed text they make has to be cut right.
    const pieces = fc.constantFrom(
      ..."- a|- b: 1|-|- |  - c|  c: |  d: |  d: 2|    e|  - f|# c|  # c|    # c||  |\t|  b: 1|- \"q|  r\"|   - s|- 'q|  t'|- [u,|  v,|  w]|  {x: y}".split(
        "|",
      ),
      ...'- |!- >!- |+!- k: |!  k: >-!  k: |2!   text!    more!  - text!- text! text!- ? x!  : y!- !!str z!- &a b!  - - g!x!x: y!- x: "y!    z"'.split(
        "!",
      ),
    );
    let cut = 0;
    let wellFormed = 0;
    fc.assert(
      fc.property(
        fc.array(pieces, { minLength: 1, maxLength: 9 }),
        fc.nat(3),
        fc.constantFrom("\n", "\r\n"),
        fc.boolean(),
        (lines, indent, lineEnd, ended) => {
          const body = lines.map((line) => (line === "" ? "" : " ".repeat(indent) + line));
          const text = ["visits:", "- first".padStart(7 + indent), ...body].join(lineEnd) + (ended ? lineEnd : "");
          if (parseText(text, "fast").root === undefined) return;
          wellFormed++;
          if (agreesWithWhole(text)) cut++;
        },
      ),
      { numRuns: 20_000 },
    );
    assert.ok(cut > 500 && cut > wellFormed / 2, `${cut} of ${wellFormed}`);
  });

  it("agrees with a reading of the whole: written values in any style", () => {
    const value = fc.letrec((tie) => ({
      node: fc.oneof(
        { maxDepth: 3 },
        fc.constantFrom("- a", "a\n- b\n", "# c", "a #b\n\n- c", "", "x: y\n", "---", "*a", "a\n\n\n"),
        fc.string(),
        fc.constant(null),
        fc.integer(),
        fc.array(tie("node"), { maxLength: 3 }),
        fc.dictionary(fc.stringMatching(/^[a-z]{1,5}$/), tie("node"), { maxKeys: 3, noNullPrototype: true }),
      ),
    })).node;
    let cut = 0;
    fc.assert(
      fc.property(
        fc.array(value, { minLength: 1, maxLength: 5 }),
        fc.constantFrom("PLAIN", "QUOTE_DOUBLE", "QUOTE_SINGLE", "BLOCK_LITERAL", "BLOCK_FOLDED"),
        fc.boolean(),
        fc.constantFrom(1, 2, 4),
        fc.constantFrom("any" as const, "block" as const),
        (items, defaultStringType, indentSeq, indent, collectionStyle) => {
          const options = {
            defaultStringType,
            defaultKeyType: "PLAIN",
            indentSeq,
            indent,
            collectionStyle,
            lineWidth: 20,
            aliasDuplicateObjects: false,
          } as const;
          const text = stringify({ visits: items }, options);
          if (parseText(text, "fast").root === undefined) return;
          if (agreesWithWhole(text)) cut++;
        },
      ),
      { numRuns: 1500 },
    );
    assert.ok(cut > 1000, `${cut}`);
  });
});

describe("reading one record", () => {
  const around = (middle: string): string => `visits:\n  - id: v1\n    field: a\n${middle}  - id: v2\n    field: b\n`;

  it("a mistake inside one record stays inside it", () => {
    for (const middle of [
      '    note: "open\n    ground: dry\n',
      "    crew: [mo\n",
      "\tground: dry\n",
      " ground: dry\n",
      "ground: dry\n",
      "    crew: [mo\nground: dry\n",
      "ground\n",
      "    note: a: b\n",
      "<<<<<<< HEAD\n",
      "    note: *x\n",
      "    ground: |x\n",
      "- id: v1b\n",
    ]) {
      const text = around(middle);
      const sliced = sliceRecords(text, "visits");
      assert.ok(sliced.sliceable, middle);
      const { nodes, problems } = readSlices(text, sliced);
      assert.equal(nodes.length, 2);
      assert.notEqual(problems.length, 0, middle);
      const end = text.indexOf("  - id: v2");
      for (const { span } of problems) assert.ok(span.start >= 10 && span.end <= end, middle);
      assert.deepEqual(valueOf({ root: nodes[1], problems: [] }), { id: "v2", field: "b" });
      const first = valueOf({ root: nodes[0], problems: [] }) as Record<string, unknown>;
      assert.equal(first["id"], "v1", middle);
    }
  });

  it("both readers give a record the same places", () => {
    const sliced = sliceRecords(SEASON_OF_EVERYTHING, "visits");
    assert.ok(sliced.sliceable);
    for (const { start, end } of sliced.slices) {
      const slice = SEASON_OF_EVERYTHING.slice(start, end);
      const fast = parseRecordSlice(slice, sliced.itemIndent, "fast");
      assert.deepEqual(fast, parseRecordSlice(slice, sliced.itemIndent, "tolerant"));
      assert.deepEqual(fast.problems, []);
    }
  });

  it("what is left over is told at its place", () => {
    const told = (slice: string): string[] => shown(slice, parseRecordSlice(slice, 2));
    const message = "this does not belong to the record above it; start each record with a dash in column 3";
    assert.deepEqual(told("  - a\n  - b\n"), [`2:5 ‹b› ${message}`]);
    assert.deepEqual(told("a: 1\n"), [`1:1 ‹a: 1› ${message}`]);
    assert.deepEqual(told("# only\n"), [`1:1 ‹# only› ${message}`]);
    assert.deepEqual(told("[a]\n"), [`1:1 ‹[a]› ${message}`]);
    assert.equal(parseRecordSlice("  - a\n  - b\n", 2).node?.type, "scalar");
    assert.equal(parseRecordSlice("a: 1\n", 2).node, undefined);
  });
});
