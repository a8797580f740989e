import { strict as assert } from "node:assert";
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { inFolder, SMALL_BOOK, spadework } from "../support/command-line.ts";

const ARRIVED = ["--arrived", "2026-08-20T07:40"];

/** A copy of the sample season that may be written to. */
async function inSample<T>(work: (folder: string) => Promise<T>): Promise<T> {
  const folder = mkdtempSync(join(tmpdir(), "spadework-test-"));
  try {
    cpSync("sample-workspace", folder, { recursive: true });
    return await work(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

describe("spadework visit", () => {
  it("prints the record with what is known, and as comments what is left to fill in", async () => {
    const { out, code, error } = await spadework([
      "visit",
      "rail-side",
      "sample-workspace",
      ...ARRIVED,
      "--crew",
      "jl",
    ]);
    assert.equal(error, "");
    assert.equal(code, 0);
    assert.equal(
      out,
      [
        "# 2026/08-august.visits.yaml",
        "  - id: v-0820-rail-side",
        "    field: rail-side",
        "    entrance: south-gate",
        "    arrived: 2026-08-20T07:40",
        "    purpose: scouting",
        "    crew: [jl]",
        "    equipment: [dig-kit-2]",
        "    # still to fill in:",
        "    # left: YYYY-MM-DDTHH:MM",
        "    # footwear: disposable | disinfected | unprotected",
        "    # ground: dry | moist | wet",
        "    # digs: # 10 plants to dig; ratings are plants rated 0, 1, 2, 3, and add up to the plants",
        '    #   - { id: d1, place: patch, patch: "v-0818-rail-side#p2", plants: 10, ratings: [ , , , ], position: [-104.32302, 51.88817] }',
        "",
      ].join("\n"),
    );
  });

  it("puts it into the file of its month, after the visits before it, and changes nothing else", async () => {
    await inSample(async (folder) => {
      const path = join(folder, "2026/08-august.visits.yaml");
      const before = readFileSync(path, "utf8");
      const { out, code } = await spadework(["visit", "lone-tree", folder, "--arrived", "2026-08-20T07:05", "--write"]);
      assert.equal(code, 0);
      const said = /^Wrote the visit of 2026-08-20 07:05 into 2026\/08-august\.visits\.yaml, line (\d+)\.\n$/.exec(out);
      assert.ok(said, out);
      const after = readFileSync(path, "utf8");
      const lines = after.split("\n");
      const first = Number(said[1]) - 1;
      assert.equal(lines[first], "  - id: v-0820-lone-tree");
      const last = lines.findIndex((line, i) => i > first && !line.startsWith("    "));
      // Without the new record and the empty line that parts it, the file is as it was.
      assert.equal([...lines.slice(0, first), ...lines.slice(last + 1)].join("\n"), before);
      const args = ["check", folder, "--as-of", "2026-08-20", "--format", "json"];
      const { findings } = JSON.parse((await spadework(args)).out) as {
        findings: { code: string; record: { id: string } | null }[];
      };
      const own = findings.filter(({ record }) => record?.id === "v-0820-lone-tree").map(({ code: one }) => one);
      assert.deepEqual(own, []);
      // A second visit of the day has an id of its own.
      const again = await spadework(["visit", "lone-tree", folder, "--arrived", "2026-08-20T15:05"]);
      assert.match(again.out, /- id: v-0820-lone-tree-2\n/);
    });
  });

  it("keeps the line endings of a file, begins one where there is none, and never writes over one", async () => {
    const files = { ...SMALL_BOOK, "all.visits.yaml": SMALL_BOOK["all.visits.yaml"]!.replaceAll("\n", "\r\n") };
    await inFolder(files, async (folder) => {
      const { code } = await spadework(["visit", "mill-flat", folder, ...ARRIVED, "--write"]);
      assert.equal(code, 0);
      const after = readFileSync(join(folder, "all.visits.yaml"), "utf8");
      assert.ok(after.startsWith(files["all.visits.yaml"]));
      assert.ok(!/[^\r]\n/.test(after));
      assert.ok(after.includes("    # left: YYYY-MM-DDTHH:MM\r\n"));
    });
    const { "all.visits.yaml": _none, ...without } = SMALL_BOOK;
    await inFolder(without, async (folder) => {
      const { out } = await spadework(["visit", "mill-flat", folder, ...ARRIVED, "--write"]);
      assert.equal(out, "Wrote the visit of 2026-08-20 07:40 into 2026.visits.yaml, line 2.\n");
      assert.ok(
        readFileSync(join(folder, "2026.visits.yaml"), "utf8").startsWith("visits:\n  - id: v-0820-mill-flat\n"),
      );
    });
    // What could not be read whole is not written over.
    await inFolder(SMALL_BOOK, async (folder) => {
      const path = join(folder, "all.visits.yaml");
      const bytes = Buffer.concat([Buffer.from(`${SMALL_BOOK["all.visits.yaml"]!}# caf`), Buffer.from([0xe9, 0x0a])]);
      writeFileSync(path, bytes);
      const { code, error } = await spadework(["visit", "mill-flat", folder, ...ARRIVED, "--write"]);
      assert.equal(code, 2);
      assert.match(error, /all\.visits\.yaml cannot be written safely: it is not plain UTF-8 text/);
      assert.deepEqual(readFileSync(path), bytes);
    });
  });

  it("says in plain words what it cannot take", async () => {
    for (const [args, message] of [
      [[], "visit is followed by the id of a field"],
      [["rail-sid", "sample-workspace"], 'no field "rail-sid"; did you mean "rail-side"?'],
      [
        ["rail-side", "sample-workspace", "--arrived", "now"],
        '--arrived takes a day and a time such as 2026-11-25T07:40; "now" is none',
      ],
      [["rail-side", "sample-workspace", "--crew", "mu"], 'there is nobody "mu" in the crew; did you mean "mo"?'],
    ] as const) {
      const { code, error } = await spadework(["visit", ...args]);
      assert.equal(code, 2);
      assert.ok(error.includes(message), error);
    }
  });
});
