import { strict as assert } from "node:assert";
import { parseDay } from "../../server/src/base/days.ts";
import { nextPartId, nextRecordId } from "../../server/src/features/next-id.ts";
import { inFile } from "../support/feature.ts";

function next(ids: readonly string[], field: string | undefined, date = "2026-08-14"): string | undefined {
  const lines = ids.map(
    (id, i) => `  - { id: ${id}, field: mill-flat, arrived: 2026-08-1${i}T09:00, purpose: other }\n`,
  );
  const { book, file } = inFile(`#- a.visits.yaml\nvisits:\n${lines.join("")}`);
  return nextRecordId(book, "visits", { day: parseDay(date), field }, file);
}

describe("the next free id, in the book's own numbering", () => {
  it("counts on", () => {
    assert.equal(next(["v1", "v2", "v10"], "east-rise"), "v11");
    assert.equal(next(["visit-008", "visit-009"], "east-rise"), "visit-010");
    assert.equal(next(["7", "8"], undefined), "9");
  });
  it("takes the date and the field where they are part of it", () => {
    assert.equal(next(["v-0810-mill-flat", "v-0811-mill-flat"], "east-rise"), "v-0814-east-rise");
    assert.equal(next(["mill-flat/20260810", "mill-flat/20260811"], "east-rise"), "east-rise/20260814");
    assert.equal(next(["2026-08-10.1", "2026-08-11.1"], undefined, "2026-08-11"), "2026-08-11.2");
    assert.equal(next(["v-2026-31", "v-2026-32"], undefined), "v-2026-33");
  });
  it("tells a second one of a day apart", () => {
    assert.equal(next(["v-0810-mill-flat", "v-0811-mill-flat"], "mill-flat", "2026-08-11"), "v-0811-mill-flat-2");
  });
  it("follows what most ids are like, and the last of equals", () => {
    assert.equal(next(["v1", "v-0811-mill-flat", "v-0812-mill-flat"], "east-rise"), "v-0814-east-rise");
    assert.equal(next(["v1", "k1"], "east-rise"), "k2");
  });
  it("takes another way where a part is not known", () => {
    assert.equal(next(["v-0810-mill-flat", "v-0811-mill-flat", "w5"], undefined), "w6");
    assert.equal(next(["v-0810-mill-flat"], undefined), undefined);
  });
  it("begins as the format's own examples do", () => {
    const { book } = inFile("#- season.yaml\nseason: 2026\n");
    assert.equal(nextRecordId(book, "cleanings", { day: parseDay("2026-08-14"), field: undefined }), "c-0814-1");
    assert.equal(
      nextRecordId(
        book,
        "cleanings",
        { day: parseDay("2026-08-14"), field: undefined },
        undefined,
        new Set(["c-0814-1"]),
      ),
      "c-0814-2",
    );
  });
  it("numbers the parts of a record", () => {
    assert.equal(nextPartId([], "d1"), "d1");
    assert.equal(nextPartId(["d1", "d2"], "d1"), "d3");
    assert.equal(nextPartId(["dig-09", undefined], "d1"), "dig-10");
    assert.equal(nextPartId(["north"], "d1"), "d1");
    assert.equal(nextPartId(["d2", "d1"], "d1"), "d3");
  });
});
