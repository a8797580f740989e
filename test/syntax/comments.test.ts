import { strict as assert } from "node:assert";
import { findComments } from "../../server/src/syntax/comments.ts";
import { parseText } from "../../server/src/syntax/parse.ts";
import { SEASON_OF_EVERYTHING } from "./support.ts";

function found(text: string): string[] {
  return findComments(text, parseText(text).root).map(({ text: words, ownLine }) => `${ownLine ? "" : "… "}${words}`);
}

describe("comments", () => {
  it("stand after white space, outside quotes and block text", () => {
    assert.deepEqual(found(SEASON_OF_EVERYTHING), [
      "Visits of August, as written in the truck.",
      "… one for each gate",
      "the first of the month",
      "… rain",
      "between two records",
      "directly above the second",
      "… in two lines",
      "at the end",
    ]);
  });

  it("are told from a # that is part of a value", () => {
    for (const [text, expected] of [
      ["a: b#c\n", []],
      ["a: b #c\n", ["… c"]],
      ["a: 'b #c'  # d\n", ["… d"]],
      ['a: "b \\" #c"  #\n', ["… "]],
      ["a: | # header\n  # text\n\n  # text\n # after\n", ["… header", "after"]],
      ["a: >-   #header # still\n  b # text\n#after\n", ["… header # still", "after"]],
      ["[a, # one\n b, #two\n 'c # d']#e\n", ["… one", "… two"]],
      ["'k #1': v # 1\n\"k #2\": v # 2\n", ["… 1", "… 2"]],
      ["? |\n  k # text\n: v # c\n", ["… c"]],
      ["\uFEFF# first\na: 1\r\n\t# tabbed \r\n", ["first", "tabbed"]],
      ["# nothing else", ["nothing else"]],
    ] as const) {
      assert.deepEqual(found(text), expected, JSON.stringify(text));
    }
  });

  it("carry their places", () => {
    const text = "a: 1\r\n  b: 2  # accept x/y: why  \r\n";
    assert.deepEqual(findComments(text, undefined), [
      { span: { start: 14, end: 31 }, text: "accept x/y: why", lineStart: 6, ownLine: false },
    ]);
    assert.deepEqual(findComments("a: 1\n", undefined), []);
  });
});
