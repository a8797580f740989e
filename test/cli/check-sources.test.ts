import { strict as assert } from "node:assert";
import { inFolder, spadework } from "../support/command-line.ts";

const BOOK = {
  "season.yaml": "season: 2026\nregion: gb\n",
  "a.fields.yaml": "fields: [{ id: oak, name: Oak }]\n",
  "a.rotations.yaml":
    "rotations:\n  - field: oak\n    crops:\n      - { year: 2025, crop: winter oilseed rape }\n" +
    "      - { year: 2026, crop: winter oilseed rape }\n",
};
const SOURCE = "advice in the United Kingdom: oilseed rape no more than one year in five";

describe("the sources of the figures behind a finding", () => {
  it("stand below it in the text", async () => {
    const { out } = await inFolder(BOOK, (folder) => spadework(["check", folder, "--as-of", "2026-01-10"]));
    assert.ok(out.includes(`\n  Source of rotation.break_years: ${SOURCE}\n`), out);
  });

  it("go with it into SARIF, and make no other finding's", async () => {
    const book = {
      ...BOOK,
      "a.visits.yaml": "visits: [{ id: v, field: oak, arrived: 2026-01-05T09:00, ground: wet }]\n",
    };
    const { out } = await inFolder(book, (folder) =>
      spadework(["check", folder, "--as-of", "2026-01-10", "--format", "sarif"]),
    );
    const { runs } = JSON.parse(out) as { runs: { results: { ruleId: string; properties?: unknown }[] }[] };
    const of = (code: string): unknown => runs[0]!.results.find(({ ruleId }) => ruleId === code)!.properties;
    assert.deepEqual(of("rotation/break-too-short"), {
      sources: [{ figures: ["rotation.break_years"], source: SOURCE }],
    });
    assert.equal(of("entry/wet-ground"), undefined);
  });

  it("are what a region's own check says of itself", async () => {
    const book = {
      ...BOOK,
      "a.rotations.yaml": BOOK["a.rotations.yaml"].replace("2026, crop", "2026, seeded: 2026-09-01, crop"),
    };
    const { out } = await inFolder(book, (folder) => spadework(["check", folder, "--as-of", "2026-10-10"]));
    assert.match(
      out,
      /gb\/crop-year\n[^]*?\n {2}Source: common practice, no source; a season here has the year of its harvest\n/,
    );
  });

  it("cannot write to a terminal what a pack's source holds", async () => {
    const book = {
      ...BOOK,
      "season.yaml": "season: 2026\nregion: own.region.yaml\n",
      "own.region.yaml":
        "region: own\nextends: base\nrotation: { break_years: 3 }\nhosts: [winter oilseed rape]\n" +
        'sources: { rotation: "a bylaw \\e[31m", hosts: x }\n',
    };
    const { out } = await inFolder(book, (folder) => spadework(["check", folder, "--as-of", "2026-01-10"]));
    assert.match(out, /Source of rotation\.break_years: a bylaw/);
    assert.ok(!out.includes("\u001b"));
  });
});
