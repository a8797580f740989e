import { strict as assert } from "node:assert";
import { findingsInWords, seasonInWords, statusLook, worstOf } from "../../client/src/season-words.ts";
import type { Season } from "../../client/src/protocol.ts";
import { RISK_STATUSES } from "../../server/src/book/field-status.ts";

const season: Season = {
  root: "file:///records",
  season: 2026,
  asOf: "2026-09-30",
  findings: { error: 1, warning: 12, information: 2, hint: 1 },
  fields: [
    { id: "a", name: "A", status: "confirmed" },
    { id: "b", name: "B", status: "waiting" },
    { id: "c", name: "C", status: "waiting" },
  ],
  statuses: { confirmed: 1, waiting: 2 },
  worst: "confirmed",
};

describe("a season in words", () => {
  it("is one line", () => {
    assert.equal(seasonInWords(season, undefined), "2026: 1 error, 12 warnings, 3 notes; 1 of 3 fields confirmed.");
    const clean = { error: 0, warning: 0, information: 0, hint: 0 };
    assert.equal(
      seasonInWords({ ...season, findings: clean, fields: [], statuses: {}, worst: undefined }, "north"),
      "north 2026: nothing to put right; no fields yet.",
    );
    assert.equal(findingsInWords({ ...clean, error: 2 }), "2 errors");
  });

  it("has an icon and a word for every status there is", () => {
    const icons = RISK_STATUSES.map((status) => statusLook(status));
    assert.deepEqual(
      icons.map(({ word }) => word),
      RISK_STATUSES,
    );
    assert.equal(new Set(icons.map(({ icon }) => icon)).size, RISK_STATUSES.length);
  });

  it("takes the riskiest status of several books", () => {
    const books = RISK_STATUSES.map((worst) => ({ ...season, worst })).reverse();
    assert.equal(worstOf(books), RISK_STATUSES[0]);
    assert.equal(
      worstOf([
        { ...season, worst: "waiting" },
        { ...season, worst: "exposed" },
      ]),
      "exposed",
    );
    assert.equal(worstOf([]), undefined);
  });
});
