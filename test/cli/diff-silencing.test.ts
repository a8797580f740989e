import { strict as assert } from "node:assert";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { inFolder, SMALL_BOOK } from "../support/command-line.ts";
import { diffPart } from "../support/diff-part.ts";
import { commit, git } from "../support/repository.ts";

const VISITS = "all.visits.yaml";
const LEVELS = "Levels of checks";
const ACCEPTS = "New accept comments";

/** The small book, committed as `before`. */
function inRepository(files: Readonly<Record<string, string>>, work: (folder: string) => Promise<void>): Promise<void> {
  return inFolder(SMALL_BOOK, async (folder) => {
    git(folder, "init", "-q");
    commit(folder, files, "before");
    await work(folder);
  });
}

function rewrite(folder: string, file: string, change: (text: string) => string): void {
  const path = join(folder, file);
  writeFileSync(path, change(readFileSync(path, "utf8")));
}

describe("a change that makes findings go away without mending anything", () => {
  it("is told by the checks that it sets to another level", () =>
    inRepository({}, async (folder) => {
      rewrite(folder, "season.yaml", (text) => `${text}rules: { entry/wet-ground: error, trace/exposed: off }\n`);
      assert.deepEqual(await diffPart(LEVELS, ["before", folder]), [
        "  entry/wet-ground: warning → error",
        "  trace/exposed: warning → off",
      ]);
      assert.deepEqual(await diffPart(LEVELS, ["before", folder, "--format", "markdown"]), [
        "- entry/wet-ground: warning → error",
        "- trace/exposed: warning → off",
      ]);
    }));

  it("is told where the region sets a level, or has a check no more", () => {
    const pack = "region: my-region\nextends: ca-prairies\n";
    const check = (level: string): string =>
      `checks: [{ code: farm/permit, on: visits, level: ${level}, when: "true", message: why, source: the office }]\n`;
    const season = SMALL_BOOK["season.yaml"]!.replace("region: ca-prairies", "region: my.region.yaml");
    return inRepository({ "season.yaml": season, "my.region.yaml": pack + check("warning") }, async (folder) => {
      rewrite(folder, "my.region.yaml", () => `${pack}rules: { entry/wet-ground: hint }\n${check("information")}`);
      assert.deepEqual(await diffPart(LEVELS, ["before", folder]), [
        "  entry/wet-ground: warning → hint",
        "  farm/permit: warning → information",
      ]);
      rewrite(folder, "my.region.yaml", () => pack);
      assert.deepEqual(await diffPart(LEVELS, ["before", folder]), ["  farm/permit: warning → off"]);
    });
  });

  it("is told by the accept comments that it adds, each with its reason and place", () => {
    const accept = "# accept entry/wet-ground: the ground was frozen";
    return inRepository({}, async (folder) => {
      const before = readFileSync(join(folder, VISITS), "utf8");
      const line = before.split("\n").findIndex((each) => each.startsWith("  - "));
      rewrite(folder, VISITS, (text) =>
        text
          .split("\n")
          .map((each, i) => (i === line ? `${each} ${accept}` : each))
          .join("\n"),
      );
      const words = "entry/wet-ground: the ground was frozen";
      assert.deepEqual(await diffPart(ACCEPTS, ["before", folder]), [`  ${VISITS}:${line + 1} ${words}`]);
      const markdown = await diffPart(ACCEPTS, [
        "before",
        folder,
        "--format",
        "markdown",
        "--links",
        "https://host.test/a",
      ]);
      assert.deepEqual(markdown, [`- ${words} ([${VISITS}:${line + 1}](https://host.test/a/${VISITS}#L${line + 1}))`]);
      commit(folder, {}, "accepted");
      rewrite(folder, VISITS, (text) => text.replace("visits:\n", "visits:\n\n\n"));
      assert.deepEqual(await diffPart(ACCEPTS, ["accepted", folder]), [], "it has moved along with its record");
    });
  });

  it("is not told of comments that accept nothing, since they silence nothing", () =>
    inRepository({}, async (folder) => {
      rewrite(folder, VISITS, (text) => text.replace(/^( {2}- .*)$/m, "$1 # accept entry/wet-ground"));
      assert.deepEqual(await diffPart(ACCEPTS, ["before", folder]), []);
    }));
});
