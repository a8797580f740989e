import { strict as assert } from "node:assert";
import { parseText } from "../../server/src/syntax/parse.ts";
import { keyName, nodeAt } from "../../server/src/syntax/tree-queries.ts";
import {
  SEASON_OF_EVERYTHING,
  nodesOf,
  readBothWays,
  readWithoutProblems,
  scalarsOf,
  shown,
  valueOf,
} from "./support.ts";

function value(text: string): unknown {
  return valueOf(readBothWays(text));
}

function problems(text: string): string[] {
  return shown(text, parseText(text));
}

/** The text at a pointer, as it stands in the file. */
function at(text: string, ...pointer: (string | number)[]): string {
  const found = nodeAt(readWithoutProblems(text), pointer);
  assert.ok(found);
  return text.slice(found.value.span.start, found.value.span.end);
}

describe("reading YAML: values", () => {
  // YAML 1.2.2, section 10.3.2, the core schema's table of tag resolution.
  const plain: [string, unknown][] = [
    ["null", null],
    ["Null", null],
    ["NULL", null],
    ["~", null],
    ["true", true],
    ["True", true],
    ["TRUE", true],
    ["false", false],
    ["tRUE", "tRUE"],
    ["yes", "yes"],
    ["0", 0],
    ["-19", -19],
    ["+12", 12],
    ["007", 7],
    ["0o14", 12],
    ["0o8", "0o8"],
    ["0xC", 12],
    ["0xG", "0xG"],
    ["-0x1", "-0x1"],
    ["1.0", 1],
    [".5", 0.5],
    ["12.", 12],
    ["1e3", 1000],
    ["+12.3E-2", 0.123],
    ["1e", "1e"],
    ["1_000", "1_000"],
    [".inf", Infinity],
    ["-.INF", -Infinity],
    ["+.Inf", Infinity],
    [".nan", NaN],
    [".Nan", ".Nan"],
    ["-", [null]],
    ["2026-08-14", "2026-08-14"],
    ["2026-08-14T09:40", "2026-08-14T09:40"],
    ["12:30:45", "12:30:45"],
    ["<<", "<<"],
  ];
  for (const [text, expected] of plain) it(`${text}`, () => assert.deepEqual(value(text), expected));

  it("quoted and block text is always text", () => {
    assert.deepEqual(value(`["12", 'true', "", '~']`), ["12", "true", "", "~"]);
    assert.equal(value("|\n  12\n"), "12\n");
  });

  it("core tags are respected, also on quoted text", () => {
    assert.deepEqual(value(`[!!str 12, !!int "12", !!float 3, !!bool 'true', !!null "", ! 12]`), [
      "12",
      12,
      3,
      true,
      null,
      "12",
    ]);
    assert.deepEqual(value("!<tag:yaml.org,2002:str> 12"), "12");
    assert.deepEqual(value("%TAG !y! tag:yaml.org,2002:\n---\n!y!str 12"), "12");
  });

  it("merge keys are ordinary keys", () => {
    assert.deepEqual(value("a: &a { x: 1 }\nb: { <<: *a, y: 2 }"), { a: { x: 1 }, b: { "<<": { x: 1 }, y: 2 } });
  });

  it("a text of comments and white space holds nothing", () => {
    for (const text of ["", "\n", " \t\n# only this\n", "\uFEFF", "\uFEFF# x\n", "...\n"]) {
      assert.deepEqual(readBothWays(text), { root: undefined, problems: [] }, JSON.stringify(text));
    }
  });

  it("line ends of every kind are line ends", () => {
    const expected = { a: "x y", b: "l1\nl2\n", c: [1, 2] };
    const text = "a: x\n  y\nb: |\n  l1\n  l2\nc:\n  - 1\n  - 2\n";
    for (const lineEnd of ["\n", "\r\n", "\r"]) assert.deepEqual(value(text.replaceAll("\n", lineEnd)), expected);
  });

  it("a byte order mark at the start is passed over, and counts as a character", () => {
    const text = "\uFEFFvisits: []\n";
    assert.deepEqual(value(text), { visits: [] });
    assert.equal(readBothWays(text).root?.span.start, 1);
  });

  it("a key named __proto__ is a key like any other", () => {
    const read = parseText("__proto__: { polluted: true }\nconstructor: 1\n");
    assert.deepEqual(Object.keys(valueOf(read) as object), ["__proto__", "constructor"]);
    assert.equal(({} as { polluted?: unknown }).polluted, undefined);
  });
});

describe("reading YAML: places", () => {
  it("scalars of every style", () => {
    const text =
      "plain: a b  # c\nsingle: 'it''s'\ndouble: \"a\\tb\"\nblock: |-  # c\n  one\n\n  two\n\nnext: >+\n  x\n\n";
    assert.equal(at(text, "plain"), "a b");
    assert.equal(at(text, "single"), "'it''s'");
    assert.equal(at(text, "double"), '"a\\tb"');
    assert.equal(at(text, "block"), "|-  # c\n  one\n\n  two");
    assert.equal(at(text, "next"), ">+\n  x");
  });

  it("collections, without the space and comments after them", () => {
    const text = "a:\n  - x: 1\n    y: [ 2, 3, ]  # c\n  - {  }\n\nb: { k: [v], l }  \n";
    assert.equal(at(text, "a"), "- x: 1\n    y: [ 2, 3, ]  # c\n  - {  }");
    assert.equal(at(text, "a", 0), "x: 1\n    y: [ 2, 3, ]");
    assert.equal(at(text, "a", 0, "y"), "[ 2, 3, ]");
    assert.equal(at(text, "a", 1), "{  }");
    assert.equal(at(text, "b"), "{ k: [v], l }");
  });

  it("empty values stand right after their colon or dash", () => {
    const text = "a:  # none\nb:\nc:\n  -   # none\n  - x\n  -\nd: { e: , f, g : }\nh: !!null  # none\n";
    const root = readWithoutProblems(text);
    const places = scalarsOf(root)
      .filter(({ span }) => span.start === span.end)
      .map(({ span }) => text.slice(text.lastIndexOf("\n", span.start - 1) + 1, span.start));
    assert.deepEqual(places, ["a:", "b:", "  -", "  -", "d: { e:", "d: { e: , f", "d: { e: , f, g :", "h: !!null"]);
  });

  it("pairs alone in a list in brackets, also with brackets for a key", () => {
    const text = "[a: 1, [b]: 2, {c: d}: 3, ? e : 4, : 5]";
    assert.equal(at(text, 0), "a: 1");
    assert.equal(at(text, 1), "[b]: 2");
    assert.equal(at(text, 2), "{c: d}: 3");
    assert.equal(at(text, 3), "e : 4");
    assert.equal(at(text, 4), ": 5");
  });

  it("anchors and tags are no part of a value, and an alias is", () => {
    const text = "a: &x !!str text\nb: *x\nc: &y\n  k: v\n";
    assert.equal(at(text, "a"), "text");
    assert.equal(at(text, "b"), "*x");
    assert.equal(at(text, "c"), "k: v");
  });

  it("the text at a scalar's place is the scalar's text, and a parent holds its children", () => {
    for (const text of [SEASON_OF_EVERYTHING, SEASON_OF_EVERYTHING.replaceAll("\n", "\r\n")]) {
      const root = readWithoutProblems(text);
      for (const node of nodesOf(root)) {
        const written = text.slice(node.span.start, node.span.end);
        if (node.type === "scalar" && written !== "")
          assert.deepEqual(valueOf(readBothWays(alone(written))), node.value, written);
        else if (node.type === "map") {
          for (const { key, value: child } of node.entries) {
            for (const { span } of [key, child]) assert.ok(span.start >= node.span.start && span.end <= node.span.end);
            assert.ok(key.span.end <= child.span.start, keyName(key));
          }
        } else if (node.type === "list") {
          for (const { span } of node.items) assert.ok(span.start >= node.span.start && span.end <= node.span.end);
        }
      }
    }

    /** A scalar cut out of its place, so that block text keeps its last line break. */
    function alone(written: string): string {
      return /^[|>]/.test(written) ? `k:\n  ${written}\n`.slice(5) : written;
    }
  });
});

describe("reading YAML: problems", () => {
  it("a key written twice, at each later one, with both entries kept", () => {
    const text = "a: 1\nb: 2\na: 3\n'a': 4\nc: { x: 1, x: 2 }\n";
    const message = (key: string): string => `"${key}" is written twice here; keep one of the two, or rename one`;
    assert.deepEqual(problems(text), [
      `3:1 ‹a› ${message("a")}`,
      `4:1 ‹'a'› ${message("a")}`,
      `5:12 ‹x› ${message("x")}`,
    ]);
    const { root } = readBothWays(text);
    assert.ok(root?.type === "map");
    assert.equal(root.entries.length, 5);
  });

  it("a key written twice among many", () => {
    const text = Array.from({ length: 30 }, (_, i) => `k${i}: ${i}`).join("\n") + "\nk3: again\n";
    assert.equal(problems(text).length, 1);
    assert.equal(readBothWays(text).problems.length, 1);
  });

  it("an unknown tag; the node is kept, as text", () => {
    assert.deepEqual(problems("a: !wet 12\n"), [
      "1:4 ‹!wet› the mark !wet means nothing in a record; take it out, or put the value in quotes",
    ]);
    assert.deepEqual(value("a: !wet 12\nb: !x [1]\n"), { a: "12", b: [1] });
  });

  it("a core tag that does not fit", () => {
    assert.deepEqual(problems("a: !!int twelve\nb: !!str [x]\nc: !!map x\n"), [
      "1:4 ‹!!int› !!int says that what follows is a whole number, and it is not; take the mark out, or change the value",
      "2:4 ‹!!str› !!str says that what follows is text, and it is not; take the mark out, or change the value",
      "3:4 ‹!!map› !!map says that what follows is a group of keys and values, and it is not; take the mark out, or change the value",
    ]);
    assert.equal(readBothWays("a: !!int twelve\n").problems.length, 1);
  });

  it("a second document; the first is read", () => {
    const message =
      "only one document is read from a file, and a second one starts here; move what follows to a file of its own";
    for (const [text, place] of [
      ["a: 1\n---\nb: 2\n", "2:1 ‹---›"],
      ["--- # first\na: 1\n# c\n--- # second\nb: 2\n", "4:1 ‹---›"],
      ["a: 1\n...\n---\nb: 2\n", "3:1 ‹---›"],
      ["a: |\n  x\n---\n---\n", "3:1 ‹---›"],
      ["a: 1\n...\n# c\nb: 2\n", "4:1 ‹b›"],
    ] as const) {
      assert.deepEqual(problems(text), [`${place} ${message}`]);
      assert.deepEqual(Object.keys(value(text) as object), ["a"]);
    }
    assert.deepEqual(problems("a: 1\n...\n# the end\n"), []);
  });

  it("control characters, halves of characters, a stray byte order mark: at their place, the rest is read", () => {
    for (const character of ["\0", "\x07", "\x7F", "\x9F", "\uD800", "\uDC00", "\uFEFF", "\uFFFF"]) {
      const text = `a: x${character}y\nb: 1\n`;
      const read = parseText(text);
      assert.deepEqual(
        read.problems.map(({ span }) => span),
        [{ start: 4, end: 5 }],
        JSON.stringify(text),
      );
      assert.deepEqual(valueOf(read), { a: "x\uFFFDy", b: 1 });
    }
    assert.deepEqual(problems("a: 😀 é \u{10FFFD}\n"), []);
  });

  // What a person most likely did wrong, and what the file still says.
  const record = (line: string): string => `- id: v1\n  field: a\n${line}- id: v2\n`;
  const broken: [name: string, text: string, expected: string | string[], value?: unknown][] = [
    ["a tab for indentation", record("\tground: dry\n"), "3:1 ‹\t› this line is indented with a tab; use spaces"],
    ["a tab after spaces", record("  \tground: dry\n"), "3:3 ‹\t› this line is indented with a tab; use spaces"],
    [
      "less indented",
      record(" ground: dry\n"),
      '3:2 ‹ground: dry› this line is indented less than the list item it belongs to; give it the same number of spaces as the lines above it, or start it with "- " if it is an item of its own',
    ],
    [
      "more indented",
      record("   ground: dry\n"),
      [
        '2:10 ‹a› this line has no ":" and runs into the next one; add the colon, or indent the line under the one it continues',
        "3:4 ‹ground› this line is indented more than the lines it belongs with; give it the same number of spaces as they have",
      ],
    ],
    [
      "no colon",
      record("  ground dry\n"),
      '3:3 ‹ground dry› this line has no ":" after its key; write it as "key: value", or indent it under the line it continues',
      [{ id: "v1", field: "a", "ground dry": null }, { id: "v2" }],
    ],
    [
      "no space",
      record("  ground:dry\n"),
      '3:3 ‹ground:dry› a space is missing after the colon; write it as "key: value"',
    ],
    [
      "an open quote",
      `note: "walked\nground: dry\n`,
      '1:7 ‹"walked› this text starts with a " and has no " at its end; add it',
    ],
    [
      "an open bracket",
      record("  crew: [mo, al\n  ground: dry\n"),
      '3:9 ‹[mo, al› this list has "[" and no "]"; close it, and indent its further lines more than the key it belongs to',
      [{ id: "v1", field: "a", crew: ["mo", "al"], ground: "dry" }, { id: "v2" }],
    ],
    [
      "a closing bracket too far left",
      "crew: [\n  mo\n]\n",
      "3:1 ‹› this line must be indented more than the key it belongs to; put more spaces before it",
      { crew: ["mo"] },
    ],
    [
      "two colons",
      record("  note: gate: open\n"),
      '3:9 ‹gate: open› two keys stand on one line; put the second on a line of its own, or put the value in quotes if its ":" is part of the text',
    ],
    [
      "a missing comma",
      record("  soil: { ph: 6 texture: clay }\n"),
      "3:15 ‹6 texture: clay › a comma is missing in this; put one before each key, or put text that holds a colon in quotes",
    ],
    [
      "two commas",
      "[a,, b]",
      "1:4 ‹,› there is nothing before this comma; take it out, or write the missing value",
      ["a", "b"],
    ],
    [
      "a star",
      "note: *very wet\n",
      '1:7 ‹*very› nothing above is named &very; write the value out, in quotes if it is a text that starts with "*"',
    ],
    [
      "a reserved character",
      "note: @home\n",
      "1:7 ‹@› a value cannot start with this character unless it is in quotes; put the value in quotes",
      { note: "@home" },
    ],
    [
      "a backslash",
      'note: "C:\\path"\n',
      '1:10 ‹\\› in double quotes, "\\" must be doubled to stand for itself; write "\\\\", or use single quotes',
    ],
    [
      "a comment without a space",
      'a: "b"#c\n',
      '1:7 ‹#c› a comment needs a space before its "#"; add it, or put the value in quotes',
      { a: "b" },
    ],
    [
      "a merge left over",
      "a: 1\n<<<<<<< HEAD\nb: 2\n",
      "2:1 ‹<<<<<<< HEAD› git left this line where two versions did not merge; keep one version and delete the marked lines",
    ],
    [
      "a directive alone",
      "%YAML 1.2\n",
      "2:1 ‹› the text cannot be read from here on; the mistake is here or just above",
    ],
  ];
  for (const [name, text, expected, remains] of broken) {
    it(name, () => {
      assert.deepEqual(problems(text), Array.isArray(expected) ? expected : [expected]);
      if (remains !== undefined) assert.deepEqual(valueOf(parseText(text)), remains);
    });
  }

  it("no message speaks of parsing", () => {
    for (const [, text] of broken) {
      for (const message of problems(text))
        assert.doesNotMatch(message, /pars|token|scalar|mapping|schema|collection|flow|YAML/i);
    }
  });
});
