import { strict as assert } from "node:assert";
import { compareFindings } from "../../server/src/rules/compare-findings.ts";
import { NO_RECORD_CHANGES } from "../../server/src/book/compare-records.ts";
import { fingerprint, placeName } from "../../server/src/rules/fingerprint.ts";

const finding = (code: string, id: string, place: string, file = "a.visits.yaml", message = code) => ({
  code,
  file,
  record: { kind: "visits" as const, id },
  place,
  message,
  related: [],
});

describe("what a finding is known by", () => {
  it("names the items of a list by id, year or their own text, so that their order does not matter", () => {
    const facts = {
      digs: [{ id: "d1", ratings: [1, 2] }, { id: "d2" }],
      equipment: ["drill", "a/b"],
      crops: [{ year: 2026 }],
      steps: [{ step: "wash" }],
    };
    assert.equal(placeName(facts, ["digs", 0, "ratings"]), "digs/d1/ratings");
    assert.equal(placeName({ digs: [...facts.digs].reverse() }, ["digs", 1, "ratings"]), "digs/d1/ratings");
    assert.equal(placeName(facts, ["equipment", 0]), "equipment/drill");
    assert.notEqual(
      placeName(facts, ["equipment", 1]),
      placeName({ equipment: { a: { b: 1 } } }, ["equipment", "a", "b"]),
    );
    assert.equal(placeName(facts, ["crops", 0]), "crops/2026");
    assert.equal(placeName(facts, ["steps", 0, "with"]), "steps/#0/with");
    assert.equal(placeName(facts, ["constructor", "name"]), "constructor/name");
    assert.equal(placeName(undefined, ["digs", 3]), "digs/#3");
  });

  it("does not change with the file, unless the record has no id", () => {
    const prints = ["a.visits.yaml", "b.visits.yaml"].map((file) => fingerprint(finding("x/y", "v1", "arrived", file)));
    assert.equal(prints[0], prints[1]);
    assert.notEqual(
      fingerprint(finding("x/y", "", "", "a.visits.yaml")),
      fingerprint(finding("x/y", "", "", "b.visits.yaml")),
    );
  });

  it("counts findings that share it: of two alike and one, one is lost, and the one whose words are gone", () => {
    const [first, second] = [finding("x/y", "v1", "arrived", "a", "one"), finding("x/y", "v1", "arrived", "a", "two")];
    const { gained, lost } = compareFindings([first, second], [{ ...second }], NO_RECORD_CHANGES, new Map());
    assert.deepEqual([gained, lost], [[], [first]]);
  });

  it("stays when only its words change, and when a file without ids gets another name", () => {
    const before = [finding("x/y", "v1", "arrived", "a", "1 day"), finding("x/z", "", "", "a")];
    const after = [finding("x/y", "v1", "arrived", "a", "2 days"), finding("x/z", "", "", "b")];
    assert.deepEqual(compareFindings(before, after, NO_RECORD_CHANGES, new Map()), { gained: [], lost: [] });
  });
});
