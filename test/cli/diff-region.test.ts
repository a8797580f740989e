import { strict as assert } from "node:assert";
import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { inFolder, SMALL_BOOK } from "../support/command-line.ts";
import { diffPart } from "../support/diff-part.ts";
import { commit, git } from "../support/repository.ts";

const PACK = [
  "region: my-region",
  "extends: ca-prairies",
  "cleaning: { strength_percent: 2 }",
  "rotation: { break_years: 3 }",
  "sources: { rotation: The office's letter }",
  "",
].join("\n");
const SEASON = SMALL_BOOK["season.yaml"]!.replace("region: ca-prairies", "region: my.region.yaml");

/** The book with a pack of its own, committed as `before`. */
function withPack(work: (folder: string) => Promise<void>): Promise<void> {
  return inFolder(SMALL_BOOK, async (folder) => {
    git(folder, "init", "-q");
    commit(folder, { "season.yaml": SEASON, "my.region.yaml": PACK }, "before");
    await work(folder);
  });
}

describe("a change of the region's figures", () => {
  const TITLE = "Figures of the region";

  it("is told figure by figure, with the source of what holds now", () =>
    withPack(async (folder) => {
      const changed = PACK.replace("break_years: 3", "break_years: 4").replace(
        "strength_percent: 2",
        "strength_percent: 0.5",
      );
      writeFileSync(join(folder, "my.region.yaml"), changed);
      assert.deepEqual(await diffPart(TITLE, ["before", folder]), [
        "  cleaning.strength_percent: 2 → 0.5",
        "  rotation.break_years: 3 → 4",
        "    The office's letter",
      ]);
      assert.deepEqual(await diffPart(TITLE, ["before", folder, "--format", "markdown"]), [
        "- cleaning.strength\\_percent: 2 → 0.5",
        "- rotation.break\\_years: 3 → 4 (The office's letter)",
      ]);
    }));

  it("is told of figures that are new, and of those that are not known any more", () =>
    withPack(async (folder) => {
      const changed = PACK.replace("cleaning: { strength_percent: 2 }", "growth: { degree_days: { 99: 1234 } }");
      writeFileSync(
        join(folder, "my.region.yaml"),
        `${changed}unknown: { cleaning.strength_percent: no label says }\n`,
      );
      assert.deepEqual((await diffPart(TITLE, ["before", folder])).slice(0, 2), [
        "  cleaning.strength_percent: 2 → not known",
        "  growth.degree_days.99: not known → 1234",
      ]);
    }));

  it("is told where the season asks for another pack, against the figures that held", () =>
    withPack(async (folder) => {
      writeFileSync(join(folder, "season.yaml"), SMALL_BOOK["season.yaml"]!);
      const rows = await diffPart(TITLE, ["before", folder]);
      assert.equal(rows[0], "  cleaning.strength_percent: 2 → 1");
      assert.ok(rows.some((row) => row.startsWith("  rotation.break_years: 3 → 2")));
    }));

  it("is not told of notes, sources, or what a pack says again that its parent says", () =>
    withPack(async (folder) => {
      const changed = PACK.replace("letter", "new letter").replace(
        "rotation:",
        "note: Looked through in May.\nrotation:",
      );
      writeFileSync(join(folder, "my.region.yaml"), changed);
      assert.deepEqual(await diffPart(TITLE, ["before", folder]), []);
    }));

  it("names the book where there are several", () =>
    withPack(async (folder) => {
      mkdirSync(join(folder, "north"));
      commit(folder, { "north/season.yaml": SEASON, "north/my.region.yaml": PACK }, "two");
      writeFileSync(join(folder, "north/my.region.yaml"), PACK.replace("break_years: 3", "break_years: 4"));
      assert.equal((await diffPart(TITLE, ["two", folder]))[0], "  north: rotation.break_years: 3 → 4");
    }));
});
