import { strict as assert } from "node:assert";
import fc from "fast-check";
import { TextDocument } from "vscode-languageserver-textdocument";
import { LineIndex } from "../../server/src/base/line-index.ts";
import { applyEdits } from "../../server/src/base/text.ts";

const text = fc
  .array(fc.constantFrom("a", "é", "🌱", "\n", "\r\n", "\r", " "), { maxLength: 40 })
  .map((parts) => parts.join(""));

// Against the reference implementation of a document in the Language Server Protocol's own libraries.
describe("line index", () => {
  it("gives the positions and offsets that the protocol's own library gives", () => {
    fc.assert(
      fc.property(text, fc.nat(45), (source, offset) => {
        const document = TextDocument.create("file:///a", "a", 1, source);
        const index = new LineIndex(source);
        assert.equal(index.lineCount, document.lineCount);
        const at = Math.min(offset, source.length);
        // The library does not let a position stand between the two characters of a line's end; ours is a plain offset.
        if (source[at - 1] === "\r" && source[at] === "\n") return;
        const position = document.positionAt(at);
        const isInLineEnd = at > 0 && /[\r\n]/.test(source[at] ?? "");
        if (!isInLineEnd) assert.deepEqual(index.position(at), position);
        assert.equal(index.offset(index.position(at)), at);
      }),
      { numRuns: 2000 },
    );
  });

  it("takes a position past the end of its line to that end, as the protocol's own library does", () => {
    fc.assert(
      fc.property(text, fc.nat(8), fc.nat(12), (source, line, character) => {
        const document = TextDocument.create("file:///a", "a", 1, source);
        assert.equal(new LineIndex(source).offset({ line, character }), document.offsetAt({ line, character }));
      }),
      { numRuns: 2000 },
    );
  });

  it("applies edits as the protocol's own library does", () => {
    const source = "one\ntwo\nthree";
    const edits = [
      { span: { start: 4, end: 7 }, newText: "2" },
      { span: { start: 0, end: 0 }, newText: "zero\n" },
    ];
    assert.equal(applyEdits(source, edits), "zero\none\n2\nthree");
    assert.throws(
      () =>
        applyEdits(source, [
          { span: { start: 0, end: 5 }, newText: "" },
          { span: { start: 4, end: 6 }, newText: "" },
        ]),
      RangeError,
    );
  });
});
