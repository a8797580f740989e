// Areas and lengths on the ellipsoid, against which those of the drawings (on a sphere) are held:
// - Planimeter(1) of GeographicLib (C. F. F. Karney), its example: the 100 km square 18SWK of the military grid, given by
//   its UTM corners, has a perimeter of 400139.53295860 m and an area of 10007388597.1913 m². The corners in degrees were
//   worked out from the UTM ones by Krüger's series; that they are right is shown by the geodesic package reproducing both.
// - Geocentric Datum of Australia Technical Manual (ICSM), its worked example of Vincenty's formulae: from Flinders Peak to
//   Buninyon it is 54 972.271 m.
import { strict as assert } from "node:assert";
import { area } from "@turf/area";
import geodesic from "geographiclib-geodesic";
import { greatCircleMetres } from "../../server/src/base/great-circle.ts";
import { areaHectares, metresAlong } from "../../server/src/output/picture/measures.ts";
import type { LonLat } from "../../server/src/schema/facts.ts";

const SQUARE_18SWK: readonly LonLat[] = [
  [-75, 39.7499075191],
  [-73.8328481247, 39.744039563],
  [-73.8173003773, 40.6447996495],
  [-75, 40.6508565156],
  [-75, 39.7499075191],
];
const [PERIMETER_M, AREA_M2] = [400139.5329586, 10007388597.1913];
const FLINDERS_PEAK: LonLat = [144 + 25 / 60 + 29.5244 / 3600, -(37 + 57 / 60 + 3.7203 / 3600)];
const BUNINYON: LonLat = [143 + 55 / 60 + 35.3839 / 3600, -(37 + 39 / 60 + 10.1561 / 3600)];
const FLINDERS_TO_BUNINYON_M = 54972.271;
/** What the drawings promise: a sphere for an ellipsoid. */
const SPHERE = 0.006;

const WGS84 = geodesic.Geodesic.WGS84;

describe("areas and lengths against published geodesics", () => {
  it("have corners from which the published figures follow", () => {
    const polygon = WGS84.Polygon(false);
    for (const [longitude, latitude] of SQUARE_18SWK.slice(0, -1)) polygon.AddPoint(latitude, longitude);
    const found = polygon.Compute(false, true);
    assert.ok(Math.abs(found.perimeter - PERIMETER_M) < 1e-4, String(found.perimeter));
    assert.ok(Math.abs(found.area! - AREA_M2) < 1, String(found.area));
    const line = WGS84.Inverse(FLINDERS_PEAK[1], FLINDERS_PEAK[0], BUNINYON[1], BUNINYON[0]);
    assert.ok(Math.abs(line.s12! - FLINDERS_TO_BUNINYON_M) < 1e-3, String(line.s12));
  });

  it("are within 0.6 % of the ellipsoid's", () => {
    within(areaHectares([[SQUARE_18SWK]]) * 10_000, AREA_M2);
    within(metresAlong(SQUARE_18SWK), PERIMETER_M);
    within(metresAlong([FLINDERS_PEAK, BUNINYON]), FLINDERS_TO_BUNINYON_M);
  });

  it("are those of turf, and of the great circle", () => {
    const ring = SQUARE_18SWK.map(([x, y]) => [x, y]);
    assert.equal(areaHectares([[SQUARE_18SWK]]) * 10_000, area({ type: "Polygon", coordinates: [ring] }));
    const pieces = SQUARE_18SWK.slice(1).map((place, i) => greatCircleMetres(SQUARE_18SWK[i]!, place));
    const sum = pieces.reduce((all, piece) => all + piece, 0);
    assert.ok(Math.abs(metresAlong(SQUARE_18SWK) - sum) < 0.01);
  });

  it("leave a hole out, and do not mind which way round a ring runs", () => {
    const hole: LonLat[] = [
      [-74.6, 40],
      [-74.6, 40.2],
      [-74.4, 40.2],
      [-74.4, 40],
      [-74.6, 40],
    ];
    const [whole, inner] = [areaHectares([[SQUARE_18SWK]]), areaHectares([[hole]])];
    assert.ok(Math.abs(areaHectares([[SQUARE_18SWK, hole]]) - (whole - inner)) < 1e-6 * whole);
    assert.ok(Math.abs(areaHectares([[[...SQUARE_18SWK].reverse()]]) - whole) < 1e-6 * whole);
  });
});

function within(found: number, published: number): void {
  assert.ok(Math.abs(found / published - 1) < SPHERE, `${found} for ${published}`);
}
