import { strict as assert } from "node:assert";
import { createHash } from "node:crypto";
import { makeBook } from "./make-book.mjs";

describe("making up a book", () => {
  it("the same options give the same bytes, from one version to the next", () => {
    const hash = createHash("sha256");
    const files = [...makeBook({ fields: 12, years: 2, seed: 5, files: "year" })].sort(([a], [b]) => (a < b ? -1 : 1));
    for (const [path, text] of files) hash.update(`${path}\n${text}`);
    // Measurements of different days are of the same book as long as this holds.
    assert.equal(hash.digest("hex"), "008e2adc8d6ca7453c9d8e952ec9bd299dd134a7a73631790d378e489a4514f3");
    assert.equal(files.length, 9);
  });

  it("another seed gives another book", () => {
    const texts = (seed: number): string => [...makeBook({ fields: 3, years: 1, seed }).values()].join("");
    assert.notEqual(texts(1), texts(2));
  });
});
