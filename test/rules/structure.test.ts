import { strict as assert } from "node:assert";
import { parseDay } from "../../server/src/base/days.ts";
import { LiveBook } from "../../server/src/rules/live-book.ts";
import { RULES } from "../../server/generated/rules.ts";
import { findingsOf } from "../support/check.ts";
import { parseFixture } from "../support/fixture.ts";

const VISITS = `#- all.visits.yaml
visits:
  - id: v1
    field: long-meadow
    arrived: 2026-06-09T09:40
    purpose: other
    crew: [mo]
    equipment: [dig-kit]
`;
const unknown = (source: string): string[] =>
  findingsOf(parseFixture(source, { withBasics: false }))
    .filter(({ code }) => code === "structure/unknown-id")
    .map(({ message }) => message.split(";")[0]!);

describe("structure/unknown-id", () => {
  const season = "#- season.yaml\nseason: 2026\nregion: ca-prairies\ncrew: [{ id: mo, name: M. Okafor }]\n";

  it("tells of all that is missing where nothing defines it", () => {
    assert.deepEqual(unknown(`#- season.yaml\nseason: 2026\nregion: ca-prairies\n${VISITS}`), [
      'no field "long-meadow"',
      'no crew member "mo"',
      'no equipment "dig-kit"',
    ]);
  });

  it("tells of none that a file which cannot be read would define, and of the others still", () => {
    const fields = `#- all.fields.yaml\nfields: long meadow and mill flat\n`;
    assert.deepEqual(unknown(`${season}${fields}${VISITS}`), ['no equipment "dig-kit"']);
    assert.deepEqual(unknown(`#- season.yaml\nseason: 2026\ncrew: [{ id: mo\nregion: [\n${fields}${VISITS}`), [
      'no equipment "dig-kit"',
    ]);
    // A list without a record is read: it defines none.
    assert.deepEqual(unknown(`${season}#- all.fields.yaml\nfields: []\n${VISITS}`), [
      'no field "long-meadow"',
      'no equipment "dig-kit"',
    ]);
  });

  it("tells once of a mistake that an alias brings to several records", () => {
    const source = `${season}#- all.visits.yaml
visits:
  - id: v1
    field: &where long-meadow
    arrived: 2026-06-09T09:40
    purpose: other
    crew: &who [bo]
  - { id: v2, field: *where, arrived: 2026-06-10T09:40, purpose: other, crew: *who }
`;
    // A word's alias is a place of its own; what stands in a list has but one.
    assert.deepEqual(unknown(source), ['no field "long-meadow"', 'no crew member "bo"', 'no field "long-meadow"']);
  });

  it("comes and goes in the editor as such a file is broken and mended", () => {
    const sources = new Map([
      ["season.yaml", "season: 2026\nregion: ca-prairies\ncrew: [{ id: mo, name: M. Okafor }]\n"],
      ["all.visits.yaml", VISITS.slice(VISITS.indexOf("\n") + 1).replace("    equipment: [dig-kit]\n", "")],
      ["all.fields.yaml", "fields:\n  - { id: mill-flat, name: Mill Flat }\n"],
    ]);
    const day = parseDay("2026-11-25")!;
    const files = [...sources].map(([path, text]) => ({ path, text }));
    const live = new LiveBook(files, { asOf: day, today: day, allSeasons: false }, RULES);
    const told = (): number =>
      live.findings("all.visits.yaml").filter(({ code }) => code === "structure/unknown-id").length;
    const put = (path: string, text: string): unknown => live.update(new Map([[path, { path, text }]]));
    assert.equal(told(), 1);
    put("all.fields.yaml", "fields: mill flat\n");
    assert.equal(told(), 0);
    put("all.fields.yaml", sources.get("all.fields.yaml")!);
    assert.equal(told(), 1);
    put("season.yaml", "season: 2026\nregion: ca-prairies\n");
    assert.equal(told(), 2);
    put("season.yaml", "season: 2026\nregion: ca-prairies\n]\n");
    assert.equal(told(), 1);
    put("season.yaml", "season: 2026\nregion: ca-prairies\n");
    assert.equal(told(), 2);
  });
});

describe("structure/future-date", () => {
  const ofFuture = ({ code }: { code: string }): boolean => code === "structure/future-date";

  it("tells once of a weather file's days that have not come yet, wherever they stand in it", () => {
    const source =
      "#! today: 2026-06-09\n#- weather/all.weather.csv\ndate,tmin_c,tmax_c\n2026-06-11,4,20\n2026-06-09,4,20\n2026-06-10,4,20\n";
    const found = findingsOf(parseFixture(source, { withBasics: true })).filter(ofFuture);
    assert.deepEqual(
      found.map(({ file, level, range, message }) => [file, level, range.start, message.split(";")[0]]),
      [
        [
          "weather/all.weather.csv",
          "warning",
          { line: 1, character: 0 },
          "2026-06-11 and 1 more day are after today (2026-06-09), and nothing counts them",
        ],
      ],
    );
    const off = source.replace(
      "#- weather",
      "#- season.yaml\nseason: 2026\nrules: { structure/future-date: off }\n#- weather",
    );
    assert.deepEqual(findingsOf(parseFixture(off, { withBasics: true })).filter(ofFuture), []);
  });
});
