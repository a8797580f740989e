import { strict as assert } from "node:assert";
import { foldingRanges } from "../../server/src/features/folding.ts";
import { inFile } from "../support/feature.ts";

const VISITS = `#- a.visits.yaml
# walked by mo
# and by ines
visits:
  # the first walk
  # of the year
  - id: v1
    field: long-meadow
    arrived: 2026-08-14T09:40   # at the gate
    crew: [mo,
      ines]
    note: |
      dry knolls # no comment
      # nor this

    digs:
      - { id: d1, place: entrance, plants: 20 }
      - id: d2
        plants: 10

  - id: v2
    field: "mill-flat"
# the end
# of the list
`;

function folds(source: string, path?: string): string[] {
  return foldingRanges(inFile(source, path)).map(({ startLine, endLine, kind }) => `${startLine}-${endLine} ${kind}`);
}

const FOLDS = [
  "0-1 comment",
  "2-20 region",
  "3-4 comment",
  "5-17 region",
  "8-9 region",
  "10-12 region",
  "14-17 region",
  "16-17 region",
  "19-20 region",
  "21-22 comment",
];

describe("folding", () => {
  it("takes in the list, records, lists, texts and comments", () => assert.deepEqual(folds(VISITS), FOLDS));

  it("counts lines that end in CRLF as any other", () => {
    const crlf = VISITS.replaceAll("\n", "\r\n").replace(/^(#- \S+)\r$/gm, "$1");
    assert.deepEqual(folds(crlf), FOLDS);
  });

  it("takes in season.yaml, and files that are read whole", () => {
    const season = "#- season.yaml\nseason: 2026\ncrew:\n  - { id: mo }\nlabs: [\n  { id: lab }\n]\n";
    assert.deepEqual(folds(season), ["1-2 region", "3-5 region"]);
    const flow = "#- a.visits.yaml\nvisits: [\n  { id: v1,\n    field: long-meadow },\n]\n";
    assert.deepEqual(folds(flow), ["0-3 region", "1-2 region"]);
    const repeats = "#- a.visits.yaml\nvisits:\n  - id: v1\n    crew: &c\n      - mo\n  - id: v2\n    crew: *c\n";
    assert.deepEqual(folds(repeats), ["0-5 region", "1-3 region", "2-3 region", "4-5 region"]);
  });

  it("goes on past a record that is half typed, and has nothing to fold in a table or an empty file", () => {
    const broken = VISITS.replace("  - id: v2\n", '  - id: v0\n    crew: [mo\n    note: "x\n  - id: v2\n');
    assert.ok(folds(broken).includes("22-23 region"), folds(broken).join());
    assert.deepEqual(folds("#- home.weather.csv\ndate,tmin_c,tmax_c\n2026-05-01,1,2\n"), []);
    assert.deepEqual(folds("#- a.visits.yaml\n"), []);
  });
});
