import { strict as assert } from "node:assert";
import { readRecordFile } from "../../server/src/records/record-file.ts";
import type { CleaningRecord, VisitRecord } from "../../server/src/schema/facts.ts";

describe("what records say alike", () => {
  const cleanings = (...steps: string[]): CleaningRecord[] =>
    readRecordFile(
      "a.cleanings.yaml",
      "cleanings",
      `cleanings:\n${steps.map((each, i) => `  - id: c${i}\n    at: 2026-08-14T1${i}:00\n    steps:\n${each}`).join("")}`,
    ).entries.map(({ body }) => body.record.facts as CleaningRecord);
  const WASHED = "      - step: remove soil\n      - { step: wash, with: water }\n";

  it("is one value for all of them, wherever it stands", () => {
    const [first, second] = cleanings(WASHED, `      # in the yard\n${WASHED}`);
    assert.deepEqual(first!.steps, [{ step: "remove soil" }, { step: "wash", with: "water" }]);
    assert.equal(second!.steps, first!.steps);
    const visit = (file: string): VisitRecord =>
      readRecordFile(file, "visits", "visits:\n  - id: v\n    field: long-meadow\n    crew: [mo, al]\n").entries[0]!
        .body.record.facts as VisitRecord;
    assert.equal(visit("b.visits.yaml").crew, visit("a.visits.yaml").crew);
  });

  it("is not shared with what differs in a word, a number or the order", () => {
    const written = [
      WASHED,
      WASHED.replace("water", "steam"),
      "      - { with: water, step: wash }\n      - step: remove soil\n",
      "      - { step: wash, with: water }\n      - step: remove soil\n",
      "      - { step: disinfect, strength_percent: 1 }\n",
      "      - { step: disinfect, strength_percent: 1.5 }\n",
      "      - { step: wash, x-litres: .nan }\n",
      "      - { step: wash, x-litres: .inf }\n",
      "      - { step: wash, x-litres: null }\n",
    ];
    const steps = cleanings(...written).map((each) => each.steps);
    assert.equal(new Set(steps).size, written.length);
    assert.deepEqual(steps[6], [{ step: "wash", "x-litres": NaN }]);
    assert.deepEqual(steps[8], [{ step: "wash", "x-litres": null }]);
  });

  it("is not kept where it is very long", () => {
    const long = `      - { step: wash, note: "${"again and ".repeat(200)}" }\n`;
    const [first, second] = cleanings(long, long);
    assert.deepEqual(second!.steps, first!.steps);
    assert.notEqual(second!.steps, first!.steps);
  });

  it("is without what was broken in one of them alone", () => {
    const [sound, broken, again] = cleanings(WASHED, WASHED.replace("water", "honey"), WASHED);
    assert.deepEqual(broken!.steps, [{ step: "remove soil" }, { step: "wash" }]);
    assert.deepEqual(sound!.steps, [{ step: "remove soil" }, { step: "wash", with: "water" }]);
    assert.equal(again!.steps, sound!.steps);
  });
});
