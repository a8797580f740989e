import { strict as assert } from "node:assert";
import fc from "fast-check";
import { stringify } from "yaml";
import type { CreateNodeOptions, DocumentOptions, ToStringOptions } from "yaml";
import { parseText } from "../../server/src/syntax/parse.ts";
import { makeBook } from "../bench/make-book.mjs";
import { SEASON_OF_EVERYTHING, plain, readBothWays, readWithoutProblems, valueOf } from "./support.ts";

/** Texts that look like something else, beside any text at all. */
const anyText = fc.oneof(
  fc.constantFrom(
    "",
    " ",
    "~",
    "null",
    "true",
    "12",
    "007",
    "1e3",
    "0x1F",
    "-",
    "- a",
    "a: b",
    "a #b",
    "#",
    "&a",
    "*a",
  ),
  fc.constantFrom(
    "!t",
    "|",
    ">",
    "%",
    "@",
    "`",
    "'",
    '"',
    "[",
    "{",
    "---",
    "...",
    "a\nb",
    "a\n\nb\n",
    " a",
    "a ",
    "\t",
  ),
  fc.constantFrom("2026-08-14", "2026-08-14T09:40", "é", "😀", "\u2028", "\x85", "<<", "=", "__proto__", "a\r\nb"),
  fc.string({ maxLength: 12 }),
  fc.string({ unit: "grapheme", maxLength: 6 }),
);
const anyKey = fc.oneof(anyText, fc.stringMatching(/^[a-z_]{1,8}$/));

const anyValue = fc.letrec((tie) => ({
  node: fc.oneof(
    { maxDepth: 4, withCrossShrink: true },
    anyText,
    fc.integer(),
    fc.double({ noNaN: true }),
    fc.boolean(),
    fc.constant(null),
    fc.array(tie("node"), { maxLength: 4 }),
    fc.dictionary(anyKey, tie("node"), { maxKeys: 4, noNullPrototype: true }),
  ),
})).node;

const anyStyle: fc.Arbitrary<DocumentOptions & ToStringOptions & CreateNodeOptions> = fc.record({
  indent: fc.constantFrom(1, 2, 3, 4),
  indentSeq: fc.boolean(),
  flowCollectionPadding: fc.boolean(),
  collectionStyle: fc.constantFrom("any" as const, "any" as const, "block" as const, "flow" as const),
  defaultStringType: fc.constantFrom("PLAIN", "QUOTE_SINGLE", "QUOTE_DOUBLE", "BLOCK_LITERAL", "BLOCK_FOLDED"),
  defaultKeyType: fc.constantFrom(null, "QUOTE_DOUBLE" as const),
  lineWidth: fc.constantFrom(0, 20, 80),
  nullStr: fc.constantFrom("null", "~", ""),
});

describe("the two readers agree", () => {
  it("on everything a keeper may write", () => {
    readWithoutProblems(SEASON_OF_EVERYTHING);
    readWithoutProblems(SEASON_OF_EVERYTHING.replaceAll("\n", "\r\n"));
    readWithoutProblems(`\uFEFF---\n${SEASON_OF_EVERYTHING}...\n`);
  });

  it("on made-up books of ten seeds", () => {
    let files = 0;
    for (let seed = 1; seed <= 10; seed++) {
      for (const [path, text] of makeBook({ fields: 3, years: 1, seed, files: seed % 2 === 0 ? "year" : "month" })) {
        readWithoutProblems(text);
        if (!path.endsWith("season.yaml")) files++;
      }
    }
    assert.ok(files > 80, `${files} files`);
  });

  it("on written values of any kind, in any style, and with the value that was written", () => {
    let read = 0;
    let refused = 0;
    fc.assert(
      fc.property(anyValue, anyStyle, fc.boolean(), (value, style, crlf) => {
        // An empty value in brackets (`[ ]`) would be no value.
        const nullStr = style.collectionStyle === "flow" ? "null" : style.nullStr!;
        const text = stringify({ "the value": value }, { ...style, nullStr, aliasDuplicateObjects: false });
        // A line break inside quotes is folded, whichever it is; so the value is the same.
        const written = crlf && !/[\r]/.test(text) ? text.replaceAll("\n", "\r\n") : text;
        // The writer at times puts brackets in column 0 under a key, where YAML does not allow them (8.2.2, n+1).
        if (parseText(written, "fast").root === undefined) {
          refused++;
          return;
        }
        read++;
        const tree = readBothWays(written);
        // The writer does not keep every text in block style: blanks at its ends may go.
        const exact = !style.defaultStringType!.startsWith("BLOCK");
        if (exact) assert.deepEqual(valueOf(tree), { "the value": plain(value) });
        assert.deepEqual(tree.problems, []);
      }),
      { numRuns: 1500 },
    );
    assert.ok(refused * 20 < read, `${refused} refused, ${read} read`);
  });

  it("on written values between comments and empty lines", () => {
    const comments = fc.array(fc.constantFrom("# c", "", "  ", "  # indented: [", "#"), { minLength: 1, maxLength: 4 });
    fc.assert(
      fc.property(
        fc.dictionary(fc.stringMatching(/^[a-z]{1,6}$/), fc.array(fc.integer(), { maxLength: 3 })),
        comments,
        (value, extra) => {
          const lines = stringify(value, { collectionStyle: "block" }).split("\n");
          const text = lines.map((line, i) => `${line}\n${extra[i % extra.length]!}`).join("\n");
          const tree = readBothWays(text);
          assert.deepEqual(valueOf(tree), plain(value));
        },
      ),
    );
  });

  it("takes the fast way wherever it can", () => {
    assert.deepEqual(parseText(SEASON_OF_EVERYTHING), parseText(SEASON_OF_EVERYTHING, "fast"));
  });
});
