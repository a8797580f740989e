import { strict as assert } from "node:assert";
import { greatCircleMetres } from "../../server/src/base/great-circle.ts";

// A sphere of the Earth's mean radius R1 = 6,371,008.8 m (IUGG; Moritz 2000): lengths follow from it by geometry alone.
const DEGREE = (Math.PI / 180) * 6371008.8;

describe("metres between two places", () => {
  it("counts a degree along a meridian and along the equator alike", () => {
    assert.ok(Math.abs(greatCircleMetres([-104, 50], [-104, 51]) - DEGREE) < 1e-6);
    assert.ok(Math.abs(greatCircleMetres([10, 0], [11, 0]) - DEGREE) < 1e-6);
  });

  it("shortens a degree of longitude with the latitude", () => {
    // At 60 degrees a small step east is half as long as on the equator, for cos 60° = 1/2.
    const east = greatCircleMetres([-104, 60], [-103.999, 60]);
    assert.ok(Math.abs(east - (DEGREE * 0.001) / 2) < 1e-3);
  });

  it("goes half way round to the other side of the Earth, and the short way over the date line", () => {
    assert.ok(Math.abs(greatCircleMetres([0, 0], [180, 0]) - 180 * DEGREE) < 1e-6);
    assert.ok(Math.abs(greatCircleMetres([179.5, 0], [-179.5, 0]) - DEGREE) < 1e-6);
  });

  it("is nought from a place to itself", () => {
    assert.equal(greatCircleMetres([-104.6, 50.4], [-104.6, 50.4]), 0);
  });
});
