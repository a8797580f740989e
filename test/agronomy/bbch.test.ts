import { strict as assert } from "node:assert";
import { stageMeaning } from "../../server/src/agronomy/bbch.ts";

describe("BBCH stages", () => {
  it("mean what extension services print of the scale of oilseed rape", () => {
    assert.equal(stageMeaning(9), "emergence");
    assert.equal(stageMeaning(10), "cotyledons unfolded");
    assert.equal(stageMeaning(30), "rosette, stem begins to lengthen");
    assert.match(stageMeaning(50)!, /^buds/);
    assert.match(stageMeaning(65)!, /50 % of flowers/);
  });

  it("count leaves, flowers, pods at full size and ripe pods (from 66 on from memory)", () => {
    assert.equal(stageMeaning(11), "1 leaf unfolded");
    assert.equal(stageMeaning(14), "4 leaves unfolded");
    assert.equal(stageMeaning(61), "10 % of flowers on the main stem open");
    assert.equal(stageMeaning(75), "50 % of pods at full size");
    assert.deepEqual(
      [81, 83, 85, 87].map(stageMeaning),
      ["10 %", "30 %", "50 %", "70 %"].map((share) => `${share} of pods ripe`),
    );
    assert.equal(stageMeaning(97), "plant dead and dry");
  });

  it("fall back on the period of the crop, and say nothing of what is no stage of it", () => {
    assert.equal(stageMeaning(66), "flowering");
    assert.equal(stageMeaning(70), "pods develop");
    for (const none of [-1, 100, 45, 8.5, NaN]) assert.equal(stageMeaning(none), undefined);
  });
});
