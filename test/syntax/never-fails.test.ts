import { strict as assert } from "node:assert";
import fc from "fast-check";
import { MAX_TEXT_LENGTH, MAX_TOLERANT_LENGTH } from "../../server/src/syntax/limits.ts";
import { parseText } from "../../server/src/syntax/parse.ts";
import { parseRecordSlice, sliceRecords } from "../../server/src/syntax/records.ts";
import { findComments } from "../../server/src/syntax/comments.ts";
import { toPlain } from "../../server/src/syntax/tree-queries.ts";
import type { SyntaxTree } from "../../server/src/syntax/tree.ts";
import { SEASON_OF_EVERYTHING, nodesOf, valueOf } from "./support.ts";

/** Reads a text in every way there is, and checks what must hold of any result. */
function readEveryWay(text: string): SyntaxTree {
  for (const path of ["fast", "tolerant"] as const) checkTree(text, parseText(text, path));
  const tree = parseText(text);
  checkTree(text, tree);
  const sliced = sliceRecords(text, "visits");
  if (sliced.sliceable) {
    let at = sliced.header.end;
    for (const span of [...sliced.slices, sliced.tail]) {
      assert.equal(span.start, at);
      at = span.end;
    }
    assert.equal(at, text.length);
    for (const { start, end } of sliced.slices) {
      const slice = text.slice(start, end);
      const read = parseRecordSlice(slice, sliced.itemIndent);
      checkTree(slice, { root: read.node, problems: read.problems });
    }
  }
  return tree;
}

function checkTree(text: string, { root, problems }: SyntaxTree): void {
  for (const { span, message } of problems) {
    assert.ok(
      span.start >= 0 && span.start <= span.end && span.end <= text.length,
      JSON.stringify({ text, span, message }),
    );
    assert.ok(message.length > 10);
  }
  for (const { span } of nodesOf(root)) {
    assert.ok(span.start >= 0 && span.start <= span.end && span.end <= text.length, JSON.stringify({ text, span }));
  }
  if (root) toPlain(root);
  findComments(text, root);
}

describe("reading never fails", () => {
  it("on a text cut off anywhere", () => {
    for (let end = 0; end <= SEASON_OF_EVERYTHING.length; end++) readEveryWay(SEASON_OF_EVERYTHING.slice(0, end));
  });

  it("on a text with any line taken out", () => {
    const lines = SEASON_OF_EVERYTHING.split("\n");
    for (let i = 0; i < lines.length; i++) readEveryWay(lines.filter((_, line) => line !== i).join("\n"));
  });

  it("on a text with anything put in anywhere", () => {
    const bits = fc.oneof(
      fc.string({ unit: "binary", maxLength: 2 }),
      fc.constantFrom(
        "\t",
        "\0",
        "\r",
        "\n",
        "\uD800",
        "\uFEFF",
        "- ",
        ": ",
        "[",
        "}",
        '"',
        "'",
        "&a ",
        "*a ",
        "!t ",
        "#",
        "|",
        "---\n",
        "? ",
      ),
    );
    fc.assert(
      fc.property(fc.nat(SEASON_OF_EVERYTHING.length), bits, fc.nat(3), (at, bit, removed) => {
        readEveryWay(SEASON_OF_EVERYTHING.slice(0, at) + bit + SEASON_OF_EVERYTHING.slice(at + removed));
      }),
      { numRuns: 1500 },
    );
  });

  it("on anything at all", () => {
    const marks = fc
      .array(fc.constantFrom(..."-?:,[]{}#&*!|>'\"%@` \n\t\raé\0"), { maxLength: 30 })
      .map((all) => all.join(""));
    fc.assert(
      fc.property(fc.oneof(marks, fc.string({ unit: "binary" })), (text) => void readEveryWay(text)),
      { numRuns: 3000 },
    );
  });

  it("the tolerant reader keeps the records around a broken line", () => {
    const lines = SEASON_OF_EVERYTHING.split("\n");
    const broken = [...lines.slice(0, 4), "    ground dry", ...lines.slice(4)].join("\n");
    const value = valueOf(parseText(broken)) as { visits: { id?: string }[] };
    assert.deepEqual(
      value.visits.map((visit) => visit.id),
      ["v-0801-long-meadow", "v-0802", undefined, "v-0803"],
    );
  });
});

describe("reading stays cheap", () => {
  it("aliases that multiply: bounded in number and in what they stand for", () => {
    const levels = ["a: &a [x, x, x, x, x, x, x, x, x]"];
    for (const [name, last] of ["ba", "cb", "dc", "ed", "fe", "gf", "hg", "ih"].map(
      (pair) => [...pair] as [string, string],
    )) {
      levels.push(`${name}: &${name} [${Array.from({ length: 9 }, () => `*${last}`).join(", ")}]`);
    }
    const text = `${levels.join("\n")}\n`;
    for (const path of ["fast", "tolerant"] as const) {
      const { root, problems } = parseText(text, path);
      assert.ok(problems.length > 0);
      assert.match(problems[0]!.message, /stand for more than 10000 values/);
      assert.ok(JSON.stringify(toPlain(root!)).length < 60_000);
    }
  });

  it("at most 100 aliases are followed", () => {
    const text = `a: &a 1\nb: [${Array.from({ length: 101 }, () => "*a").join(", ")}]\n`;
    const read = parseText(text);
    assert.deepEqual(read, parseText(text, "tolerant"));
    assert.equal(read.problems.length, 1);
    assert.match(read.problems[0]!.message, /more than 100 repeats/);
    assert.equal((valueOf(read) as { b: unknown[] }).b.filter((item) => item === null).length, 1);
  });

  it("an alias inside what it stands for is empty, and told", () => {
    for (const text of ["a: &a { b: *a }\n", "&a [*a]\n", "a: &a [&b { c: [*a, *b] }]\n"]) {
      const read = parseText(text);
      assert.deepEqual(read, parseText(text, "tolerant"));
      assert.match(read.problems[0]!.message, /stands inside the value that it repeats/);
    }
  });

  it("aliases cannot deepen what nesting may not", () => {
    const deep = (inner: string): string => "[".repeat(40) + inner + "]".repeat(40);
    const text = `a: &a ${deep("x")}\nb: &b ${deep("*a")}\n`;
    const read = parseText(text);
    assert.deepEqual(read, parseText(text, "tolerant"));
    assert.match(read.problems[0]!.message, /\*a brings in more than 64 levels/);
  });

  it("64 levels are read, 65 are not, and 10,000 do no harm", () => {
    const levels = (n: number): string => "[".repeat(n) + "x" + "]".repeat(n);
    assert.deepEqual(parseText(levels(64)).problems, []);
    for (const n of [65, 99, 100, 101, 150, 10_000]) {
      for (const path of ["fast then tolerant", "tolerant"] as const) {
        const { root, problems } = parseText(levels(n), path);
        assert.deepEqual(
          problems.map(({ span }) => span),
          [{ start: 64, end: 65 }],
          `${n}`,
        );
        assert.match(problems[0]!.message, /more than 64 levels inside one another/);
        assert.equal(JSON.stringify(toPlain(root!)), `${"[".repeat(64)}null${"]".repeat(64)}`);
      }
    }
    const others = [
      "[".repeat(10_000),
      "{a: ".repeat(10_000),
      "- ".repeat(10_000),
      "? ".repeat(10_000),
      "[a: ".repeat(5000),
    ];
    for (const text of others) readEveryWay(text);
    readEveryWay(`visits:\n  - ${"- ".repeat(10_000)}x\n`);
    readEveryWay(Array.from({ length: 1000 }, (_, i) => `${" ".repeat(i)}a:`).join("\n"));
    readEveryWay("&a ".repeat(2000));
    readEveryWay("!a ".repeat(2000));
  });

  it("a slice counts the levels around it", () => {
    const slice = (n: number): string => `- ${"[".repeat(n)}x${"]".repeat(n)}\n`;
    assert.equal(parseRecordSlice(slice(62), 0).problems.length, 0);
    assert.equal(parseRecordSlice(slice(63), 0).problems.length, 1);
    assert.equal(parseText(`visits:\n${slice(62)}`).problems.length, 0);
    assert.equal(parseText(`visits:\n${slice(63)}`).problems.length, 1);
  });

  it("a text that is too long is not read at all, and a broken one not past its break", () => {
    const long = parseText("a".repeat(MAX_TEXT_LENGTH + 1));
    assert.equal(long.root, undefined);
    assert.deepEqual(long.problems, [
      {
        span: { start: 0, end: 0 },
        message: "this file is longer than 20 million characters and is not read; split it into several files",
      },
    ]);
    const good = "a: 1\n".padEnd(MAX_TOLERANT_LENGTH + 10, "# comment\n");
    assert.deepEqual(parseText(good).problems, []);
    const broken = parseText(`${good}\nb: [\n`);
    assert.equal(broken.root, undefined);
    assert.equal(broken.problems.length, 1);
    assert.ok(broken.problems[0]!.span.start >= good.length);
  });

  it("at most 100 problems are told", () => {
    const text = Array.from({ length: 500 }, () => "a: !x 1").join("\n");
    assert.equal(parseText(text).problems.length, 100);
  });
});
