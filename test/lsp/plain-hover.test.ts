import { strict as assert } from "node:assert";
import { plainHover } from "../../server/src/lsp/plain-hover.ts";

describe("a hover without marks", () => {
  it("says what it says with them", () => {
    assert.equal(
      plainHover(
        "**Long Meadow** (`long-meadow`)\n\n- Status: a \\*star\\* and a \\[bracket\\]\n\n---\n\n[the page](file:///a.md)",
      ),
      "Long Meadow (long-meadow)\n\n- Status: a *star* and a [bracket]\n\n\n\nthe page",
    );
  });
  it("is quick with what a stranger wrote", () => {
    for (const part of ["[", "`", "**", "\\", "# ", "[a](", "[[a]"])
      assert.ok(plainHover(part.repeat(20_000)) !== undefined);
  });
});
