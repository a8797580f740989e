import { strict as assert } from "node:assert";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { migrateBook, type MigrationStep } from "../../server/src/book/migrate.ts";
import { replaceScalar } from "../../server/src/syntax/edits.ts";
import { check, findingsOf } from "../support/check.ts";
import { inFolder, SMALL_BOOK, spadework } from "../support/command-line.ts";
import { parseFixture } from "../support/fixture.ts";

/** A step that was made up for the test: what was called `ground` is called `soil` from version 2 on. */
const GROUND_TO_SOIL: MigrationStep = {
  from: 1,
  summary: "the key ground of visits is called soil",
  edits({ kind, text }, root) {
    if (kind !== "visits" || root?.type !== "map") return [];
    const visits = root.entries.find(({ key }) => key.type === "scalar" && key.source === "visits")?.value;
    if (visits?.type !== "list") return [];
    return visits.items.flatMap((item) =>
      item.type === "map"
        ? item.entries.flatMap(({ key }) =>
            key.type === "scalar" && key.source === "ground" ? replaceScalar(text, key, "soil", "block") : [],
          )
        : [],
    );
  },
};
/** And from version 3 on `soil` is `soil_state`. */
const SOIL_TO_STATE: MigrationStep = {
  from: 2,
  summary: "soil is called soil_state",
  edits({ kind, text }) {
    return kind !== "visits"
      ? []
      : [...text.matchAll(/^ +soil(?=:)/gm)].map(({ index, 0: found }) => ({
          span: { start: index, end: index + found.length },
          newText: found.replace("soil", "soil_state"),
        }));
  },
};

const VISITS = "visits:\r\n  - id: v1 # the first\r\n    ground: wet\r\n    note: 'ground: here'\r\n";
const FILES = new Map([
  ["season.yaml", "# our book\r\nseason: 2026 # the year\r\n"],
  ["a.visits.yaml", VISITS],
  ["a.weather.csv", "date,tmin_c,tmax_c\n"],
]);

describe("bringing a book to a newer format", () => {
  it("changes nothing today", () => {
    const migration = migrateBook(FILES);
    assert.ok(migration.ok);
    assert.deepEqual([migration.from, migration.to, migration.changed.size], [1, 1, 0]);
  });

  it("edits what a step changes, names the version, and leaves every other byte", () => {
    const migration = migrateBook(FILES, [GROUND_TO_SOIL], 2);
    assert.ok(migration.ok);
    assert.deepEqual(Object.fromEntries(migration.changed), {
      "a.visits.yaml": VISITS.replace("    ground:", "    soil:"),
      "season.yaml": "# our book\r\nformat: 2\r\nseason: 2026 # the year\r\n",
    });
  });

  it("takes several steps one after the other, from the version that the book has", () => {
    const all = migrateBook(FILES, [SOIL_TO_STATE, GROUND_TO_SOIL], 3);
    assert.ok(all.ok);
    assert.equal(all.changed.get("a.visits.yaml"), VISITS.replace("    ground:", "    soil_state:"));
    const second = new Map([
      ...FILES,
      ["season.yaml", "{ season: 2026, format: 2 }\n"],
      ["a.visits.yaml", VISITS.replace("    ground", "    soil")],
    ]);
    const last = migrateBook(second, [GROUND_TO_SOIL, SOIL_TO_STATE], 3);
    assert.ok(last.ok);
    assert.deepEqual([last.from, last.steps.length], [2, 1]);
    assert.equal(last.changed.get("season.yaml"), "{ season: 2026, format: 3 }\n");
  });

  it("leaves alone a book that is newer, or whose season cannot be read", () => {
    const newer = migrateBook(new Map([["season.yaml", "format: 7\nseason: 2026\n"]]));
    assert.ok(!newer.ok);
    assert.match(newer.message, /written in format 7, and this Spadework knows format 1/);
    assert.ok(!migrateBook(new Map([["season.yaml", "[\n"]])).ok);
    assert.ok(!migrateBook(new Map([["season.yaml", "format: one\nseason: 2026\n"]])).ok);
    assert.ok(!migrateBook(FILES, [SOIL_TO_STATE], 3).ok);
  });

  it("is spadework migrate, which says so and leaves the files", () =>
    inFolder(SMALL_BOOK, async (folder) => {
      const { code, out } = await spadework(["migrate", folder]);
      assert.equal(code, 0);
      assert.match(out, /nothing to change; the records are of format 1, the newest/);
      for (const [path, text] of Object.entries(SMALL_BOOK))
        assert.equal(readFileSync(join(folder, path), "utf8"), text);
      assert.equal((await spadework(["migrate", join(folder, "nowhere")])).code, 2);
    }));
});

describe("a book in a newer format", () => {
  const BOOK = `#- season.yaml
format: 2
#       ^ error structure/schema: these records are written in format 2, and this Spadework knows format 1
saison: 2026
region: nowhere
#- a.visits.yaml
visits:
  - { id: v1, id: v1, who: knows
#- b.visits.yaml
visits: 5
#- a.region.yaml
region: a
extends: nowhere
`;

  it("gives one clear error, and none about what cannot be understood", () => {
    check(BOOK);
  });

  it("is read again as soon as its format is known", () => {
    assert.ok(findingsOf(parseFixture(BOOK.replace("format: 2", "format: 1"))).length > 3);
  });

  it("is not worked with by the command line", () =>
    inFolder({ ...SMALL_BOOK, "season.yaml": "format: 2\nseason: 2026\n" }, async (folder) => {
      for (const command of ["check", "risk", "trace"]) {
        const { code, out, error } = await spadework([command, folder]);
        assert.equal(code, 2, command);
        assert.equal(out, "", command);
        assert.match(error, /season\.yaml: these records are written in format 2, and this Spadework knows format 1/);
      }
    }));
});
