import { strict as assert } from "node:assert";
import * as fc from "fast-check";
import { idOf, newSeasonFiles, type SeasonAnswers } from "../../client/src/new-season-files.ts";
import { parseDay } from "../../server/src/base/days.ts";
import { openBook } from "../../server/src/book/open-book.ts";
import { runRules } from "../../server/src/rules/engine.ts";
import { publish } from "../../server/src/rules/publish.ts";
import { RULES } from "../../server/generated/rules.ts";

const answers: SeasonAnswers = {
  season: 2026,
  region: "ca-prairies",
  grower: "Alder Bench Farm",
  field: "Long Meadow",
  crop: "canola",
  crewMember: "M. Okafor",
};

function bookOf(files: ReadonlyMap<string, string>, day: string) {
  const sources = [...files].map(([path, text]) => ({ path, text }));
  const opened = openBook(sources, { asOf: parseDay(day)!, today: parseDay(day)!, allSeasons: false });
  return { book: opened.book, findings: publish(opened, runRules(opened.book, RULES), RULES) };
}

describe("the files of a new season", () => {
  it("check clean in spring, summer and after the season", () => {
    for (const day of ["2026-04-01", "2026-08-14", "2026-12-31"]) {
      const { findings } = bookOf(newSeasonFiles(answers), day);
      assert.deepEqual(findings, [], day);
    }
  });

  it("hold what was answered", () => {
    const { book } = bookOf(newSeasonFiles(answers), "2026-05-01");
    assert.equal(book.seasonYear, 2026);
    assert.equal(book.region.title, "Canadian Prairies");
    assert.deepEqual(book.season.growers, [{ id: "alder-bench-farm", name: "Alder Bench Farm" }]);
    assert.deepEqual(book.season.crew, [{ id: "m-okafor", name: "M. Okafor" }]);
    assert.deepEqual(book.record("fields", "long-meadow")?.facts, {
      id: "long-meadow",
      name: "Long Meadow",
      grower: "alder-bench-farm",
    });
    assert.equal(book.fieldHistory("long-meadow").crops[0]?.isHost, true);
  });

  it("check clean and keep the names whatever they are", () => {
    const name = fc.oneof(
      fc.string({ unit: "grapheme", minLength: 1, maxLength: 30 }),
      fc.constantFrom("yes", "null", "12", "a: b", "# x", "{ }", "O'Neil & Sons", "Поле", "x, y", "- a", "'", '"', "~"),
    );
    fc.assert(
      fc.property(name, name, name, name, (grower, field, crop, crewMember) => {
        const { book, findings } = bookOf(
          newSeasonFiles({ ...answers, grower, field, crop, crewMember }),
          "2026-08-14",
        );
        assert.deepEqual(findings, []);
        const [record] = book.records("fields");
        assert.equal(record?.facts.name, field);
        assert.equal(book.season.growers?.[0]?.name, grower);
        assert.equal(book.season.crew?.[0]?.name, crewMember);
        assert.equal(book.fieldHistory(record.id).crops[0]?.facts.crop, crop);
      }),
      { numRuns: 200 },
    );
  });

  it("makes ids of names", () => {
    assert.equal(idOf("Mélanie's Farm", "grower"), "melanie-s-farm");
    assert.equal(idOf("Поле", "field"), "field-1");
    assert.equal(idOf("  North 40 ", "field"), "north-40");
  });
});
