import { strict as assert } from "node:assert";
import { fieldGroups } from "../../client/src/field-groups.ts";
import type { FieldList, ListedField } from "../../client/src/protocol.ts";
import { seasonPage } from "../../client/src/season-page.ts";
import { RISK_STATUSES } from "../../server/src/book/field-status.ts";

const list = (root: string, ...fields: readonly ListedField[]): FieldList => ({ root, asOf: "2026-09-30", fields });
const field = (id: string, status: string, grower?: string): ListedField => ({
  id,
  name: id.toUpperCase(),
  status,
  ...(grower === undefined ? {} : { grower }),
});

describe("the fields of the open books in groups", () => {
  const north = list("north", field("a", "confirmed", "Oak"), field("b", "waiting"), field("c", "not found", "Ash"));
  const south = list("south", field("d", "suspected", "Oak"), field("e", "waiting", "Oak"));
  const shown = (byGrower: boolean): string[] =>
    fieldGroups([north, south], byGrower).map(
      ({ name, fields }) => `${name}: ${fields.map(({ field: { id }, list: { root } }) => `${root}/${id}`).join(" ")}`,
    );

  it("are those of each status, the riskiest first", () => {
    assert.deepEqual(shown(false), [
      "confirmed: north/a",
      "suspected: south/d",
      "not found: north/c",
      "waiting: north/b south/e",
    ]);
  });

  it("are those of each grower, by name, and at last those of none", () => {
    assert.deepEqual(shown(true), ["Ash: north/c", "Oak: north/a south/d south/e", "No grower on record: north/b"]);
  });

  it("know every status that there is, in the order of risk", () => {
    const each = list("all", ...[...RISK_STATUSES].reverse().map((status, i) => field(String(i), status)));
    assert.deepEqual(
      fieldGroups([each], false).map(({ name }) => name),
      [...RISK_STATUSES],
    );
  });
});

describe("the page of a season's panel", () => {
  const page = seasonPage({
    nonce: "n0nce",
    script: 'https://host/a"b.js',
    source: "https://*.host",
    style: "a{b:c}</style><script>",
    root: 'file:///a"><script>alert(1)</script>',
  });

  it("lets in its own script and style alone", () => {
    assert.ok(
      page.includes(
        `content="default-src 'none'; script-src 'nonce-n0nce'; style-src https://*.host 'nonce-n0nce'; base-uri 'none'; form-action 'none'"`,
      ),
    );
    assert.equal(page.match(/<script/g)?.length, 2, "its own, and the text in the style");
    assert.equal(page.match(/<\/style>/g)?.length, 1);
    assert.ok(page.includes('<script nonce="n0nce" src="https://host/a&quot;b.js"></script>'));
    assert.ok(page.includes('<body data-root="file:///a&quot;>&lt;script>alert(1)&lt;/script>">'));
  });
});
