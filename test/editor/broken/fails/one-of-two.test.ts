import { strict as assert } from "node:assert";

describe("a suite that must fail", () => {
  it("passes", () => assert.equal(1, 1));
  it("fails", () => assert.equal(1, 2));
});
