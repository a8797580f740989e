import { strict as assert } from "node:assert";
import { codeText, markdownText, oneLine, plainTitle } from "../../server/src/features/safe-text.ts";

describe("safe text", () => {
  it("keeps to one line of printable text in the direction it was written", () => {
    assert.equal(oneLine("  a\r\n\tb\u0000\u202Ec\u2066d  e "), "a b c d e");
    assert.equal(oneLine("R. Dhaliwal’s 🌱 quarter"), "R. Dhaliwal’s 🌱 quarter");
  });

  it("cuts what is too long without halving a character", () => {
    assert.equal(oneLine("abcdef", 4), "abc…");
    assert.equal(oneLine("ab🌱def", 4), "ab…");
    assert.equal(oneLine("abcd", 4), "abcd");
    assert.equal(oneLine("x".repeat(1_000_000)).length, 200);
  });

  it("escapes what Markdown would take for mark-up, links or lists, and leaves plain words alone", () => {
    assert.equal(markdownText("M. Okafor, v-0814 (mo): 5.25 % & 3 + 4!"), "M. Okafor, v-0814 (mo): 5.25 % & 3 + 4!");
    assert.equal(
      markdownText("*a* _b_ ~c~ <d> [e](f) &lt; \\g"),
      "\\*a\\* \\_b\\_ \\~c\\~ \\<d\\> \\[e\\](f) \\&lt; \\\\g",
    );
    assert.equal(markdownText("https://a.b WWW.c mail@d.e"), "https\\://a.b WWW\\.c mail\\@d.e");
    for (const [text, escaped] of [
      ["- a", "\\- a"],
      ["+ a", "\\+ a"],
      ["# a", "\\# a"],
      ["=== a", "\\=== a"],
      ["1. a", "1\\. a"],
      ["12) a", "12\\) a"],
    ] as const) {
      assert.equal(markdownText(text), escaped);
    }
  });

  it("fences code with more backticks than it holds", () => {
    assert.equal(codeText("a · b"), "`a · b`");
    assert.equal(codeText("a `` b"), "``` a `` b ```");
  });

  it("shows a title's icons as text", () => {
    assert.equal(plainTitle("$(error) a"), "$ (error) a");
  });
});
