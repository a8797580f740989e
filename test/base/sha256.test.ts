import { strict as assert } from "node:assert";
import { createHash } from "node:crypto";
import fc from "fast-check";
import { sha256 } from "../../server/src/base/sha256.ts";

describe("sha256", () => {
  it("gives the digests of the published examples", () => {
    // FIPS 180-4, examples published by NIST (CSRC, "SHA256.pdf"): "abc", and a text of two blocks.
    assert.equal(sha256("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    assert.equal(
      sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"),
      "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
    );
  });

  it("agrees with the platform's own on any text, and at every length around a block's end", () => {
    const agrees = (text: string): void =>
      assert.equal(sha256(text), createHash("sha256").update(text, "utf8").digest("hex"));
    for (let length = 0; length < 200; length++) agrees("é".repeat(length % 3) + "x".repeat(length));
    fc.assert(fc.property(fc.string({ unit: "binary", maxLength: 300 }), agrees));
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 0xffff })), (codes) => agrees(String.fromCharCode(...codes))),
    );
  });
});
