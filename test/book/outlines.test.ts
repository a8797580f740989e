import { strict as assert } from "node:assert";
import { mkdirSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fieldOutlines, MOST_CORNERS, outlineFiles, readGeoJson } from "../../server/src/book/outlines.ts";
import { readOutlines } from "../../server/src/host/read-outlines.ts";
import { inFolder } from "../support/command-line.ts";
import { openFixture } from "../support/check.ts";
import { parseFixture } from "../support/fixture.ts";

const RING = [
  [10, 50],
  [11, 50],
  [11, 51],
  [10, 50],
];
const POLYGON = { type: "Polygon", coordinates: [RING] };
const OUTLINE = { outline: [[RING]] };

function bookOf(boundary: string) {
  return openFixture(
    parseFixture(`#- farms/a.fields.yaml\nfields:\n  - { id: oak, name: Oak, boundary: ${boundary} }\n`),
  ).book;
}

describe("outlines", () => {
  it("are read from a geometry, a feature, and collections of them, with the heights left aside", () => {
    const feature = { type: "Feature", properties: {}, geometry: POLYGON };
    for (const value of [
      POLYGON,
      feature,
      { type: "FeatureCollection", features: [{ type: "Feature", geometry: null }, feature] },
      { type: "GeometryCollection", geometries: [{ type: "Point", coordinates: [1, 2] }, POLYGON] },
      { type: "MultiPolygon", coordinates: [[RING]] },
      { ...POLYGON, coordinates: [RING.map(([x, y]) => [x, y, 530])] },
    ])
      assert.deepEqual(readGeoJson(`\uFEFF${JSON.stringify(value)}`), OUTLINE);
  });

  it("are refused where no map can be made of them, with the reason", () => {
    const many = Array.from({ length: MOST_CORNERS + 1 }, () => [10, 50]);
    const cases: readonly (readonly [string, RegExp])[] = [
      ["{", /no JSON/],
      ["[]", /holds no polygon/],
      ['{"type":"Point","coordinates":[1,2]}', /holds no polygon/],
      ['{"type":"Polygon","coordinates":[]}', /no rings/],
      ['{"type":"Polygon","coordinates":[[[1,2],[3,4]]]}', /fewer than four/],
      ['{"type":"Polygon","coordinates":[[[1,2],[3,4],["a",5],[1,2]]]}', /no longitude and latitude/],
      ['{"type":"Polygon","coordinates":[[[1,2],[3,400],[3,5],[1,2]]]}', /no longitude and latitude/],
      [JSON.stringify({ type: "Polygon", coordinates: [many] }), /over 20000 corners/],
      [`${'{"type":"GeometryCollection","geometries":['.repeat(9000)}${"]}".repeat(9000)}`, /holds no polygon/],
      ['{"__proto__":{"type":"Polygon","coordinates":[[[1,2],[3,4],[3,5],[1,2]]]}}', /holds no polygon/],
    ];
    for (const [text, why] of cases) {
      const read = readGeoJson(text);
      assert.ok(
        "trouble" in read && why.test(read.trouble),
        `${text.slice(0, 60)}: ${JSON.stringify(read).slice(0, 90)}`,
      );
    }
  });

  it("are looked for beside the file that names them, and never outside the book", () => {
    assert.deepEqual(outlineFiles(bookOf("../maps/oak.geojson")), [{ field: "oak", path: "maps/oak.geojson" }]);
    for (const outside of ["../../oak.geojson", "/etc/oak.geojson", "oak.json"]) {
      const book = bookOf(outside);
      assert.deepEqual(outlineFiles(book), []);
      assert.deepEqual(
        [...fieldOutlines(book, new Map())],
        [["oak", { trouble: "its outline is to lie in no .geojson file of this book" }]],
      );
    }
  });

  it("come from the folder of the book alone, links followed, and from no file larger than an outline", () =>
    inFolder(
      { "secret/oak.geojson": JSON.stringify(POLYGON), "book/season.yaml": "season: 2026\n" },
      async (folder) => {
        const root = join(folder, "book");
        mkdirSync(join(root, "farms"));
        const read = async (name: string) => (await readOutlines(root, bookOf(name))).get("oak");
        symlinkSync(join(folder, "secret/oak.geojson"), join(root, "farms/link.geojson"));
        writeFileSync(join(root, "farms/real.geojson"), JSON.stringify(POLYGON));
        symlinkSync("real.geojson", join(root, "farms/inner.geojson"));
        writeFileSync(join(root, "farms/huge.geojson"), JSON.stringify(POLYGON) + " ".repeat(2_000_000));
        assert.deepEqual(await read("real.geojson"), OUTLINE);
        assert.deepEqual(await read("inner.geojson"), OUTLINE);
        for (const name of ["link", "huge", "gone"])
          assert.deepEqual(await read(`${name}.geojson`), {
            trouble: `its outline, farms/${name}.geojson, could not be read`,
          });
      },
    ));
});
