import { strict as assert } from "node:assert";
import { parseMinute } from "../../server/src/base/days.ts";
import { factRecord } from "../../server/src/records/record.ts";
import type { FileKind } from "../../server/src/schema/kinds.ts";

describe("the times of a record", () => {
  const times = (kind: FileKind, facts: object): [number | undefined, number | undefined] => {
    const { began, ended } = factRecord(kind, "", "", facts);
    return [began, ended];
  };
  const nine = parseMinute("2026-08-14T09:00");
  const ten = parseMinute("2026-08-14T10:00");

  it("are when a visit arrived and left", () => {
    assert.deepEqual(times("visits", { arrived: "2026-08-14T09:00", left: "2026-08-14T10:00" }), [nine, ten]);
  });

  it("end when they began where no end is given, or none that can be one", () => {
    for (const left of [undefined, "", "2026-08-14", "2026-08-14T08:59"])
      assert.deepEqual(times("visits", { arrived: "2026-08-14T09:00", left }), [nine, nine]);
  });

  it("are when a cleaning was done", () => {
    assert.deepEqual(times("cleanings", { at: "2026-08-14T10:00", left: "2026-08-14T12:00" }), [ten, ten]);
  });

  it("are none where no time is given, and of what has none", () => {
    assert.deepEqual(times("visits", { left: "2026-08-14T10:00" }), [undefined, undefined]);
    assert.deepEqual(times("visits", { arrived: "2026-08-14" }), [undefined, undefined]);
    assert.deepEqual(times("samples", { at: "2026-08-14T09:00" }), [undefined, undefined]);
  });
});

describe("the field of a record", () => {
  it("is the one that it names", () => {
    assert.equal(factRecord("visits", "", "", { field: "long-meadow" }).field, "long-meadow");
    assert.equal(factRecord("visits", "", "", {}).field, undefined);
    assert.equal(factRecord("samples", "", "", { field: "long-meadow" }).field, "long-meadow");
    assert.equal(factRecord("fields", "", "long-meadow", { id: "long-meadow" }).field, undefined);
  });
});
