import { strict as assert } from "node:assert";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { inFolder, SMALL_BOOK, spadework, type CommandResult } from "../support/command-line.ts";
import { readAnnotations, readSarif } from "../support/report-readers.ts";

const VISITS = "all.visits.yaml";
const TROUBLED = {
  ...SMALL_BOOK,
  [VISITS]: `${SMALL_BOOK[VISITS]!}  - { id: v2, field: mill-flt, arrived: 2026-08-15T09:00, purpose: other, crew: [mo] }\n`,
};

interface Baseline {
  baseline: number;
  findings: { code: string; place: string; file: string; fingerprint: string }[];
}

describe("the baseline of check", () => {
  const inBook = (work: (run: (...args: string[]) => Promise<CommandResult>, folder: string) => Promise<void>) =>
    inFolder(TROUBLED, (folder) => work((...args) => spadework(["check", ...args], { workingFolder: folder }), folder));
  const edit = (folder: string, change: (text: string) => string): void =>
    writeFileSync(join(folder, VISITS), change(readFileSync(join(folder, VISITS), "utf8")));

  it("is written sorted and with a version, and then leaves out what it knows, wherever lines have moved to", async () => {
    await inBook(async (run, folder) => {
      assert.equal((await run()).code, 1);
      const written = await run("--write-baseline", "known.json");
      assert.deepEqual([written.code, written.error], [0, ""]);
      assert.match(
        written.out,
        /^2 findings written to known\.json; --baseline known\.json leaves them out from now on\.\n$/,
      );
      const text = readFileSync(join(folder, "known.json"), "utf8");
      const { baseline, findings } = JSON.parse(text) as Baseline;
      assert.equal(baseline, 1);
      assert.deepEqual(
        findings.map(({ code, place, file }) => [code, place, file]),
        [
          ["entry/wet-ground", "visits/v1/ground", VISITS],
          ["structure/unknown-id", "visits/v2/field", VISITS],
        ],
      );
      edit(folder, (visits) => visits.replace("visits:\n", "# moved\n\nvisits:\n"));
      const used = await run("--baseline", "known.json", "--strict");
      assert.equal(used.code, 0);
      assert.match(used.out, /^Nothing to mend.*\n2 known findings of the baseline left out\.\n$/);
      await run("--write-baseline", "known.json");
      assert.equal(readFileSync(join(folder, "known.json"), "utf8"), text);
    });
  });

  it("reports what is new, and what is gone, which fails with --strict alone", async () => {
    await inBook(async (run, folder) => {
      await run("--write-baseline", "known.json");
      edit(folder, (visits) => visits.replace("wet", "dry"));
      const { code, out } = await run("--baseline", "known.json");
      assert.equal(code, 0);
      assert.match(
        out,
        /1 known finding of the baseline left out\.\n1 finding of the baseline no longer occurs; .*:\n- entry\/wet-ground in all\.visits\.yaml, visits\/v1\/ground\n$/,
      );
      assert.equal((await run("--baseline", "known.json", "--strict")).code, 1);
      edit(folder, (visits) => visits.replace("long-meadow", "long-medow"));
      const json = await run("--baseline", "known.json", "--format", "json");
      assert.equal(json.code, 1);
      const value = JSON.parse(json.out) as {
        findings: { record: { id: string } }[];
        baseline: { known: number; gone: object[] };
      };
      assert.deepEqual(
        value.findings.map(({ record }) => record.id),
        ["v1"],
      );
      assert.deepEqual([value.baseline.known, value.baseline.gone.length], [1, 1]);
      const sarif = await run("--baseline", "known.json", "--format", "sarif");
      assert.equal(readSarif(sarif.out).results.length, 1);
      assert.match(
        sarif.error,
        /^spadework: 1 known finding of the baseline left out\.\n1 finding of the baseline no longer/,
      );
      const github = readAnnotations((await run("--baseline", "known.json", "--format", "github")).out);
      assert.equal(github.annotations.length, 1);
      assert.match(github.otherLines.join("\n"), /1 known finding of the baseline left out/);
    });
  });

  it("says plainly what is wrong with a baseline, or with how it is asked for", async () => {
    await inBook(async (run, folder) => {
      const says = async (pattern: RegExp, ...args: string[]): Promise<void> => {
        const { code, out, error } = await run(...args);
        assert.deepEqual([code, out], [2, ""]);
        assert.match(error, pattern);
        assert.equal(error.trimEnd().split("\n").length, 1);
      };
      const holds = (text: string): void => writeFileSync(join(folder, "b.json"), text);
      await says(/there is no file b\.json/, "--baseline", "b.json");
      for (const text of [
        "[",
        "[]",
        "{}",
        "null",
        '{"baseline":1}',
        '{"baseline":1,"findings":[{}]}',
        '{"__proto__":1}',
      ]) {
        holds(text);
        await says(/b\.json .*write it anew with --write-baseline/, "--baseline", "b.json");
      }
      holds('{"baseline":2,"findings":[]}');
      await says(/version 2, and only 1 can be read/, "--baseline", "b.json");
      await says(/lies in a folder that does not exist/, "--write-baseline", "none/b.json");
      await says(/either written or used/, "--baseline", "b.json", "--write-baseline", "b.json");
      await says(/--strict looks at what of a baseline is gone/, "--strict");
      await says(/use one of them/, "--since", "HEAD", "--baseline", "b.json");
    });
  });
});
