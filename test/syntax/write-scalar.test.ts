import { strict as assert } from "node:assert";
import fc from "fast-check";
import type { PlainValue } from "../../server/src/syntax/tree-queries.ts";
import {
  writeEntry,
  writeLiteral,
  writeRecord,
  writeScalar,
  writeValue,
} from "../../server/src/syntax/write-scalar.ts";
import { plain, readBothWays, valueOf } from "./support.ts";

/** Texts that could be taken for something else. */
const hostile = fc.oneof(
  fc.constantFrom(
    "",
    " ",
    "~",
    "null",
    "Null",
    "true",
    "False",
    "12",
    "-1",
    "+.5",
    "0o7",
    "0x1",
    "1e3",
    ".inf",
    ".nan",
    "-",
  ),
  fc.constantFrom(
    "- a",
    "a: b",
    "a:",
    ":",
    ": a",
    "a #b",
    "#a",
    "a# b",
    "&a",
    "*a",
    "!t",
    "|",
    ">",
    "%a",
    "@",
    "`",
    "?",
    "? a",
  ),
  fc.constantFrom(
    "'",
    '"',
    "it's",
    "a'b\"c",
    "[",
    "]",
    "{a}",
    "a, b",
    ",",
    "---",
    "--- a",
    "...",
    "... a",
    "<<",
    "=",
    "__proto__",
  ),
  fc.constantFrom(
    "a\nb",
    "\n",
    "a\n",
    "\r\n",
    "\t",
    "a\tb",
    "\0",
    "\x7F",
    "\x85",
    "\u2028",
    "\uFEFF",
    "\uD800",
    "a\uDC00",
    "\\",
  ),
  fc.constantFrom(
    " a",
    "a ",
    "é",
    "😀",
    "2026-08-14",
    "2026-08-14T09:40",
    "lot #4",
    "a:b",
    "a::b",
    "http://x",
    "C:\\x",
    "\u00A0",
  ),
  fc.array(fc.constantFrom(..." -?:,[]{}#&*!|>'\"%@`\\\n\r\ta0.é"), { maxLength: 8 }).map((all) => all.join("")),
  fc.string({ unit: "binary", maxLength: 10 }),
);
const scalar = fc.oneof(hostile, fc.double(), fc.integer(), fc.boolean(), fc.constant(null));
const style = fc.constantFrom(
  "plain" as const,
  "single" as const,
  "double" as const,
  "literal" as const,
  "folded" as const,
);

describe("writing a value", () => {
  it("quotes only where it has to", () => {
    for (const [value, context, expected] of [
      ["long-meadow", "block", "long-meadow"],
      ["2026-08-14T09:40", "flow", "2026-08-14T09:40"],
      ["clay loam", "flow", "clay loam"],
      ["a, b", "block", "a, b"],
      ["a, b", "flow", "'a, b'"],
      ["12", "block", "'12'"],
      ["no", "block", "no"],
      ["gate: open", "block", "'gate: open'"],
      ["it's: open", "block", '"it\'s: open"'],
      ["it's", "block", "it's"],
      ["", "block", "''"],
      ["a\nb", "block", '"a\\nb"'],
      [1.5, "block", "1.5"],
      [-0, "block", "-0"],
      [1e21, "block", "1e+21"],
      [NaN, "block", ".nan"],
      [-Infinity, "block", "-.inf"],
      [null, "block", "null"],
      [true, "flow", "true"],
    ] as const) {
      assert.equal(writeScalar(value, "plain", context), expected);
    }
  });

  it("keeps the quotes that stood there, where it can", () => {
    assert.equal(writeScalar("a", "single"), "'a'");
    assert.equal(writeScalar("it's", "single"), "'it''s'");
    assert.equal(writeScalar("a\nb", "single"), '"a\\nb"');
    assert.equal(writeScalar('say "a"', "double"), '"say \\"a\\""');
    assert.equal(writeScalar(12, "double"), "12");
  });

  it("reads back as what was written, anywhere", () => {
    fc.assert(
      fc.property(scalar, style, (value, itsStyle) => {
        const block = writeScalar(value, itsStyle, "block");
        const flow = writeScalar(value, itsStyle, "flow");
        assert.doesNotMatch(block + flow, /[\r\n]/);
        for (const [text, expected] of [
          [`k: ${block}\n`, { k: value }],
          [`k: ${block} # c`, { k: value }],
          [`- ${block}\n- x\n`, [value, "x"]],
          [`k: [${flow}, ${flow}]`, { k: [value, value] }],
          [`{ k: ${flow} }`, { k: value }],
          [`{"k":${flow}}`, { k: value }],
          [`- {k: ${flow},\n   l: x}\n`, [{ k: value, l: "x" }]],
        ] as const) {
          const tree = readBothWays(text);
          assert.deepEqual(tree.problems, [], text);
          assert.deepEqual(valueOf(tree), expected, text);
        }
      }),
      { numRuns: 5000 },
    );
  });

  it("as a key too", () => {
    fc.assert(
      fc.property(hostile, (key) => {
        for (const text of [`${writeEntry(key, 1, "block")}\n`, `{ ${writeEntry(key, 1, "flow")} }`]) {
          const tree = readBothWays(text);
          assert.deepEqual(tree.problems, [], text);
          assert.deepEqual(valueOf(tree), Object.fromEntries([[key, 1]]), text);
        }
      }),
      { numRuns: 2000 },
    );
  });

  it("maps and lists on one line, and a record on several", () => {
    assert.equal(
      writeValue({ id: "d1", ratings: [18, 2], soil: {}, none: [] }),
      "{ id: d1, ratings: [18, 2], soil: {}, none: [] }",
    );
    assert.equal(writeRecord({ id: "v1", crew: ["mo"], note: "a: b" }), "id: v1\ncrew: [mo]\nnote: 'a: b'");
    const value = fc.letrec<{ node: PlainValue }>((tie) => ({
      node: fc.oneof(
        { maxDepth: 3 },
        scalar,
        fc.array(tie("node"), { maxLength: 3 }),
        fc.dictionary(hostile, tie("node"), { maxKeys: 3, noNullPrototype: true }),
      ),
    })).node;
    fc.assert(
      fc.property(fc.dictionary(hostile, value, { minKeys: 1, maxKeys: 3, noNullPrototype: true }), (record) => {
        assert.deepEqual(valueOf(readBothWays(`${writeRecord(record)}\n`)), plain(record));
        assert.deepEqual(valueOf(readBothWays(`- ${writeValue(record)}\n`)), [plain(record)]);
      }),
      { numRuns: 2000 },
    );
  });

  it("block text, or nothing where it would not keep the text", () => {
    assert.equal(writeLiteral("a\n\n b\n", 4, "\r\n"), "|\r\n    a\r\n\r\n     b");
    assert.equal(writeLiteral("a\nb", 2, "\n"), "|-\n  a\n  b");
    for (const value of ["", "\n", " a\nb", "a\n\n", "a \nb", "a\tb\nc", "\na\n"])
      assert.equal(writeLiteral(value, 2, "\n"), undefined);
    const lines = fc.array(fc.oneof(hostile, fc.constantFrom("a", "", " b", "# c", "- d")), { maxLength: 5 });
    fc.assert(
      fc.property(lines, fc.constantFrom("\n", "\r\n"), (words, lineEnding) => {
        const value = words.join("\n");
        const written = writeLiteral(value, 3, lineEnding);
        if (written === undefined) return;
        assert.deepEqual(valueOf(readBothWays(`a:\n  b: ${written}${lineEnding}  c: 1\n`)), { a: { b: value, c: 1 } });
      }),
      { numRuns: 2000 },
    );
  });
});
