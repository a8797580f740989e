import { strict as assert } from "node:assert";
import { mkdtempSync, readFileSync, renameSync, rmSync, statSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { inFolder, SMALL_BOOK, spadework } from "../support/command-line.ts";
import { commit, git } from "../support/repository.ts";

type Files = Record<string, string>;

interface Difference {
  base: string;
  findings: { gained: { code: string; file: string; record: { id: string } }[]; lost: { code: string }[] };
  status: { field: string; from: string | null; to: string | null }[];
  records: Record<"added" | "changed" | "removed", { kind: string; id: string }[]>;
}

async function difference(folder: string, ...args: string[]): Promise<Difference> {
  const { out, error, code } = await spadework(["diff", ...args, folder, "--format", "json"]);
  assert.equal(code, 0, error);
  return JSON.parse(out) as Difference;
}

const FIELDS = [
  "fields:",
  "  - { id: long-meadow, name: Long Meadow }",
  "  - { id: mill-flat, name: Mill Flat }",
  "",
].join("\n");
const EQUIPMENT = "equipment:\n  - { id: drill, kind: seeder }\n  - { id: dig-kit, kind: hand tools }\n";
const LONG_MEADOW_VISIT = [
  "  - id: v1",
  "    field: long-meadow",
  "    arrived: 2026-05-08T09:00",
  "    left: 2026-05-08T11:00",
  "    purpose: seeding",
  "    crew: [mo]",
  "    equipment: [drill]",
  "    footwear: disposable",
  "    ground: dry",
  "",
].join("\n");
const MILL_FLAT_VISIT = LONG_MEADOW_VISIT.replaceAll("long-meadow", "mill-flat")
  .replace("v1", "v2")
  .replaceAll("2026-05-08", "2026-05-10");
const CLEANING = [
  "cleanings:",
  "  - id: c1",
  "    at: 2026-05-08T11:30",
  "    place: field entrance",
  "    field: long-meadow",
  "    equipment: [drill]",
  "    by: mo",
  "    steps:",
  "      - { step: remove soil }",
  "      - { step: wash, with: water }",
  "      - { step: disinfect, product: bleach, strength_percent: 2, contact_minutes: 20 }",
  "",
].join("\n");
const SAMPLE = [
  "samples:",
  "  - id: s1",
  "    field: long-meadow",
  "    material: soil",
  "    taken: 2026-06-01",
  "    packed: tube",
  "    lab: plains-lab",
  "    sent: 2026-06-02",
  "",
].join("\n");
const START: Files = {
  "season.yaml":
    "season: 2026\nregion: ca-prairies\ncrew:\n  - { id: mo, name: M. Okafor }\nlabs:\n  - { id: plains-lab, name: Plains Plant Diagnostics, turnaround_days: 365 }\n",
  "all.fields.yaml": FIELDS,
  "all.equipment.yaml": EQUIPMENT,
  "may.visits.yaml": `visits:\n${LONG_MEADOW_VISIT}${MILL_FLAT_VISIT}`,
  "all.cleanings.yaml": CLEANING,
  "all.samples.yaml": SAMPLE,
};

describe("spadework diff", () => {
  let folder: string;

  before(() => {
    folder = mkdtempSync(join(tmpdir(), "spadework-history-"));
    git(folder, "init", "-q");
    commit(folder, START, "start");
    // Comments and order alone: of records, of keys, of the items of a list.
    commit(
      folder,
      {
        "all.fields.yaml":
          "# both fields\nfields:\n  - { name: Mill Flat, id: mill-flat }\n  - { id: long-meadow, name: Long Meadow }\n",
        "may.visits.yaml": `# seeding\nvisits:\n${MILL_FLAT_VISIT}  # the first\n${LONG_MEADOW_VISIT}`,
      },
      "order",
    );
    renameSync(join(folder, "all.equipment.yaml"), join(folder, "crew.equipment.yaml"));
    commit(folder, {}, "renamed-file");
    commit(
      folder,
      { "may.visits.yaml": `visits:\n${LONG_MEADOW_VISIT}`, "2026/more.visits.yaml": `visits:\n${MILL_FLAT_VISIT}` },
      "split",
    );
    commit(
      folder,
      { "all.samples.yaml": `${SAMPLE}    result: { reported: 2026-06-20, finding: detected }\n` },
      "result",
    );
    rmSync(join(folder, "all.cleanings.yaml"));
    commit(folder, {}, "cleaning-deleted");
    commit(
      folder,
      { "2026/more.visits.yaml": `visits:\n${MILL_FLAT_VISIT.replaceAll("2026-05-10", "2026-05-01")}` },
      "back-dated",
    );
    commit(
      folder,
      { "2026/more.visits.yaml": `visits:\n${MILL_FLAT_VISIT}`, "all.cleanings.yaml": CLEANING },
      "mended",
    );
    commit(
      folder,
      {
        "all.fields.yaml": FIELDS.replace("id: mill-flat", "id: lower-flat"),
        "2026/more.visits.yaml": `visits:\n${MILL_FLAT_VISIT.replace("mill-flat", "lower-flat")}`,
      },
      "renamed-field",
    );
    commit(
      folder,
      {
        "2026/more.visits.yaml": `visits:\n${MILL_FLAT_VISIT.replace("mill-flat", "lower-flat").replace("dry", "wet")}`,
      },
      "wet",
    );
    commit(
      folder,
      {
        "all.rotations.yaml":
          "rotations:\n  - field: lower-flat\n    crops:\n      - { year: 2026, crop: canola, resistance: { rating: R, source: first }, seeded: 2026-05-10 }\n",
      },
      "rotation",
    );
    const walked = LONG_MEADOW_VISIT.replaceAll("long-meadow", "lower-flat")
      .replace("v1", "v3")
      .replaceAll("2026-05-08", "2026-08-20")
      .replace("seeding", "scouting")
      .replace("drill", "dig-kit");
    commit(
      folder,
      {
        "august.visits.yaml": `visits:\n${walked}    digs:\n      - { id: d1, place: entrance, metres_in: 10, plants: 40, ratings: [40, 0, 0, 0] }\n`,
      },
      "scouted",
    );
  });
  after(() => rmSync(folder, { recursive: true, force: true }));

  const step = (from: string, to: string): Promise<Difference> => difference(folder, from, "--to", to);
  const nothing = (base: string): Difference => ({
    base,
    findings: { gained: [], lost: [] },
    status: [],
    records: { added: [], changed: [], removed: [] },
  });

  it("finds nothing in comments, order, another file name, and a file that is split", async () => {
    assert.deepEqual(await step("start", "order"), nothing("start"));
    assert.deepEqual(await step("order", "renamed-file"), nothing("order"));
    assert.deepEqual(await step("renamed-file", "split"), nothing("renamed-file"));
    const { out } = await spadework(["diff", "start", folder, "--to", "split"]);
    assert.match(out, /^Nothing changes from start to split/);
  });

  it("tells of a result that confirms a field, and names the sample", async () => {
    const { status, records } = await step("split", "result");
    assert.deepEqual(status, [{ field: "long-meadow", from: "suspected", to: "confirmed" }]);
    assert.deepEqual(records, { added: [], changed: [{ kind: "samples", id: "s1" }], removed: [] });
    const { out } = await spadework(["diff", "split", folder, "--to", "result"]);
    assert.match(out, /Long Meadow: suspected → confirmed all\.fields\.yaml:4/);
    assert.match(out, /now confirmed since 20 Jun, by sample s1 all\.samples\.yaml:2/);
  });

  it("tells what a deleted cleaning exposes, by which chain, and what mends it", async () => {
    const { status, records, findings } = await step("result", "cleaning-deleted");
    assert.deepEqual(
      status.map(({ field, to }) => [field, to]),
      [["mill-flat", "exposed"]],
    );
    assert.deepEqual(records.removed, [{ kind: "cleanings", id: "c1" }]);
    const gained = findings.gained.map(({ code, record }) => `${code} ${record.id}`).sort();
    assert.ok(gained.includes("cleaning/missing v2"), gained.join());
    assert.ok(gained.includes("trace/exposed mill-flat"), gained.join());
    const { out } = await spadework(["diff", "result", folder, "--to", "cleaning-deleted"]);
    assert.match(out, /now exposed: .*drill.* 2026\/more\.visits\.yaml:2/);
    assert.deepEqual((await step("result", "mended")).findings, { gained: [], lost: [] });
  });

  it("tells that a back-dated visit takes the exposure away", async () => {
    const { status, records, findings } = await step("cleaning-deleted", "back-dated");
    assert.deepEqual(
      status.map(({ field, from }) => [field, from]),
      [["mill-flat", "exposed"]],
    );
    assert.deepEqual(records.changed, [{ kind: "visits", id: "v2" }]);
    assert.ok(findings.lost.some(({ code }) => code === "trace/exposed"));
  });

  it("takes a field with another id for the same field", async () => {
    const { status, records, findings } = await step("mended", "renamed-field");
    assert.deepEqual(findings, { gained: [], lost: [] });
    assert.deepEqual(status, []);
    assert.deepEqual(records.changed, [{ kind: "visits", id: "v2" }]);
    const { out } = await spadework(["diff", "mended", folder, "--to", "renamed-field"]);
    assert.match(out, /mill-flat → lower-flat/);
  });

  it("tells the figures that moved", async () => {
    const { out } = await spadework(["diff", "rotation", folder, "--to", "scouted"]);
    assert.match(out, /Mill Flat: .*→ not found/);
    assert.match(out, /plants dug 0 → 40/);
    const { out: sown } = await spadework(["diff", "wet", folder, "--to", "rotation"]);
    assert.match(sown, /window none → \d+ Aug – \d+ /);
  });

  it("gains one way what it loses the other way, for every pair of revisions", async () => {
    const tags = ["start", "result", "cleaning-deleted", "back-dated", "renamed-field", "wet", "scouted"];
    for (const [i, a] of tags.entries()) {
      for (const b of tags.slice(i + 1)) {
        const [there, back] = [await step(a, b), await step(b, a)];
        assert.deepEqual(there.findings.gained, back.findings.lost, `${a} to ${b}`);
        assert.deepEqual(there.findings.lost, back.findings.gained, `${a} to ${b}`);
        assert.deepEqual(there.records.added, back.records.removed);
        assert.deepEqual(there.records.changed.length, back.records.changed.length);
      }
    }
  });

  it("takes the second revision and the folder in any of the ways in which they can be written", async () => {
    const asked = await step("split", "result");
    assert.deepEqual(await difference(folder, "split", "result"), asked);
    const inside = async (...args: string[]) => {
      const { out, error, code } = await spadework(["diff", ...args, "--format", "json"], { workingFolder: folder });
      assert.equal(code, 0, error);
      return JSON.parse(out) as Difference;
    };
    assert.deepEqual(await inside("split", "result"), asked);
    assert.deepEqual(await inside("split", "--to", "result", "."), asked);
    assert.deepEqual(await inside("HEAD", "."), nothing("HEAD"));
    // A name that is a folder's is the folder: what else it may mean is said with --to.
    git(folder, "branch", "2026");
    assert.deepEqual((await inside("split", "--to", "2026")).status, (await step("split", "scouted")).status);
    for (const [args, said] of [
      [["split", "result", ".", "more"], /two revisions of one folder: spadework diff main my-branch sample-workspace/],
      [["split", ".", "more", "--to", "result"], /two revisions of one folder/],
      [["split", "no-such"], /knows no revision "no-such"/],
      [["split", "./none"], /there is no folder/],
      [["split", "2026"], /2026 holds no record book/],
    ] as const) {
      const { code, error } = await spadework(["diff", ...args], { workingFolder: folder });
      assert.equal(code, 2, args.join(" "));
      assert.match(error, said);
    }
    git(folder, "branch", "-q", "-D", "2026");
  });

  it("compares with the files as they lie there, and writes nothing", async () => {
    writeFileSync(
      join(folder, "note.visits.yaml"),
      `visits:\n${MILL_FLAT_VISIT.replace("mill-flat", "nowhere").replace("v2", "v9")}`,
    );
    try {
      const before = git(folder, "status", "--porcelain");
      const indexed = statSync(join(folder, ".git/index")).mtimeMs;
      const { findings, records } = await difference(folder, "HEAD");
      assert.deepEqual(records.added, [{ kind: "visits", id: "v9" }]);
      assert.ok(
        findings.gained.some(({ code, file }) => code === "structure/unknown-id" && file === "note.visits.yaml"),
      );
      assert.equal(statSync(join(folder, ".git/index")).mtimeMs, indexed);
      assert.equal(git(folder, "status", "--porcelain"), before);
    } finally {
      rmSync(join(folder, "note.visits.yaml"));
    }
    assert.deepEqual(await difference(folder, "HEAD"), nothing("HEAD"));
  });

  it("writes Markdown with the fields first, each with a link to its line", async () => {
    const links = "https://example.org/records/blob/main/";
    const { out } = await spadework([
      "diff",
      "result",
      folder,
      "--to",
      "cleaning-deleted",
      "--format",
      "markdown",
      "--links",
      links,
    ]);
    assert.match(
      out,
      /\| Mill Flat<br>\[all\.fields\.yaml:3\]\(https:\/\/example\.org\/records\/blob\/main\/all\.fields\.yaml#L3\) \|/,
    );
    assert.ok(out.indexOf("#### Fields") < out.indexOf("#### New findings"));
    assert.match(
      out,
      /\*\*warning\*\* cleaning\/missing: .* \(\[2026\/more\.visits\.yaml:8\]\(https:\/\/example\.org\/.*#L8\)\)$/m,
    );
    const { out: local } = await spadework([
      "diff",
      "result",
      folder,
      "--to",
      "cleaning-deleted",
      "--format",
      "markdown",
    ]);
    assert.match(
      local,
      /cleaning\/missing: .* \(\[2026\/more\.visits\.yaml:8\]\(\.\/2026\/more\.visits\.yaml#L8\)\)$/m,
    );
    // A line of before is another line by now.
    const { out: back } = await spadework([
      "diff",
      "cleaning-deleted",
      folder,
      "--to",
      "result",
      "--format",
      "markdown",
    ]);
    assert.match(back, /cleaning\/missing: .* \(2026\/more\.visits\.yaml:8\)$/m);
    const refused = await spadework([
      "diff",
      "start",
      folder,
      "--format",
      "markdown",
      "--links",
      "javascript:alert(1)",
    ]);
    assert.equal(refused.code, 2);
  });

  it("check --since reports only what is new, and fails by it alone", async () => {
    const clone = mkdtempSync(join(tmpdir(), "spadework-since-"));
    try {
      git(clone, "clone", "-q", folder, ".");
      git(clone, "checkout", "-q", "--detach", "wet");
      const { out, code } = await spadework([
        "check",
        clone,
        "--since",
        "HEAD~1",
        "--format",
        "json",
        "--fail-on",
        "warning",
      ]);
      const { findings } = JSON.parse(out) as { findings: { code: string }[] };
      assert.deepEqual(
        findings.map((finding) => finding.code),
        ["entry/wet-ground"],
      );
      assert.equal(code, 1);
      const same = await spadework(["check", clone, "--since", "HEAD", "--format", "json", "--fail-on", "hint"]);
      assert.deepEqual((JSON.parse(same.out) as { findings: unknown[] }).findings, []);
      assert.equal(same.code, 0);
      const words = await spadework(["check", clone, "--since", "HEAD"]);
      assert.match(
        words.out,
        /^Nothing is new since HEAD, and \d older findings still stand: 9 records in 7 files, as of /,
      );
      const log = await spadework(["check", clone, "--since", "HEAD", "--format", "github"]);
      assert.equal(log.out, words.out);
      const some = await spadework(["check", clone, "--since", "HEAD~1"]);
      assert.match(some.out, /^1 finding new since HEAD~1 \(1 older finding still stands\): 1 warning\. /m);
    } finally {
      rmSync(clone, { recursive: true, force: true });
    }
  });

  it("says in one line what is wrong with a revision, and exits 2", async () => {
    const failure = async (args: string[]): Promise<string> => {
      const { code, out, error } = await spadework(args);
      assert.equal(code, 2);
      assert.equal(out, "");
      assert.equal(error.split("\n").length, 2, error);
      return error;
    };
    assert.match(await failure(["diff", "no-such", folder]), /knows no revision "no-such"/);
    assert.match(await failure(["check", folder, "--since=--output=x"]), /is no revision/);
    assert.match(await failure(["diff", "--", "--output=x", folder]), /is no revision/);
    assert.match(await failure(["diff", "HEAD:all.fields.yaml", folder]), /knows no revision/);
    assert.match(await failure(["diff"]), /needs a git revision/);
    assert.match(await failure(["diff", "HEAD", join(folder, "none")]), /there is no folder/);
    await inFolder(SMALL_BOOK, async (plain) => {
      assert.match(await failure(["diff", "HEAD", plain]), /lies in no git repository/);
      git(plain, "init", "-q");
      assert.match(await failure(["diff", "HEAD", plain]), /there is no commit in this repository yet/);
    });
    const shallow = mkdtempSync(join(tmpdir(), "spadework-shallow-"));
    const path = process.env.PATH;
    try {
      git(shallow, "clone", "-q", "--depth", "1", `file://${folder}`, ".");
      assert.match(await failure(["diff", "HEAD~1", shallow]), /shallow clone; fetch its history/);
      assert.deepEqual(await difference(shallow, "HEAD"), nothing("HEAD"));
      process.env.PATH = shallow;
      assert.match(await failure(["diff", "HEAD", shallow]), /git is not installed/);
    } finally {
      process.env.PATH = path;
      rmSync(shallow, { recursive: true, force: true });
    }
  });

  it("passes over a submodule with a word", async () => {
    const outer = mkdtempSync(join(tmpdir(), "spadework-outer-"));
    try {
      git(outer, "init", "-q");
      git(outer, "-c", "protocol.file.allow=always", "submodule", "--quiet", "add", folder, "theirs");
      commit(outer, SMALL_BOOK, "first");
      const { error, code } = await spadework(["diff", "HEAD", outer, "--to", "first"]);
      assert.match(error, /theirs is a submodule/);
      assert.equal(code, 0);
    } finally {
      rmSync(outer, { recursive: true, force: true });
    }
  });

  it("follows a link to a file below the folder, as it does in the folder itself", async () => {
    await inFolder({ ...START, "store/may.txt": START["may.visits.yaml"]! }, async (book) => {
      rmSync(join(book, "may.visits.yaml"));
      symlinkSync("store/may.txt", join(book, "may.visits.yaml"));
      symlinkSync("/etc/hostname", join(book, "outside.visits.yaml"));
      symlinkSync("circle.visits.yaml", join(book, "circle.visits.yaml"));
      git(book, "init", "-q");
      commit(book, {}, "linked");
      assert.deepEqual(await difference(book, "linked"), nothing("linked"));
      rmSync(join(book, "may.visits.yaml"));
      const { records } = await difference(book, "linked");
      assert.deepEqual(
        records.removed.map(({ id }) => id),
        ["v1", "v2"],
      );
    });
  });

  it("stays whole whatever the records say", async () => {
    const nasty = `::error::x ##[group] @someone #1 <script>alert(1)</script> [link](javascript:alert(1)) ![i](http://example.org/x.png) | a \`code\` www.example.org \u001B[31m::error::x`;
    const field = (i: number): string =>
      `  - id: f${i}\n    name: ${JSON.stringify(`${nasty}\n# ${i}`)}\n    note: ${JSON.stringify("x".repeat(2000))}\n    clubroot: { found_on: 2025-09-02 }\n`;
    const many = Array.from({ length: 300 }, (_, i) => field(i)).join("");
    const visits = Array.from({ length: 300 }, (_, i) =>
      LONG_MEADOW_VISIT.replace("v1", `w${i}`).replace("long-meadow", JSON.stringify(`${nasty}${i}`)),
    ).join("");
    const long = `  - { id: long, name: ${"é".repeat(1_000_000)} }\n`;
    await inFolder(SMALL_BOOK, async (book) => {
      git(book, "init", "-q");
      commit(book, {}, "before");
      const name = "[x](javascript:alert) <b>.visits.yaml";
      commit(book, { "all.fields.yaml": `fields:\n${many}${long}`, [name]: `visits:\n${visits}` }, "after");
      const { out } = await spadework(["diff", "before", book, "--to", "after", "--format", "markdown"]);
      assert.ok(Buffer.byteLength(out) < 60_000, String(Buffer.byteLength(out)));
      assert.match(out, /… and \d+ more/);
      assert.ok(out.includes("someone"));
      // What is left of markup once escaped characters are taken out.
      const bare = out.replace(/\\./g, "");
      assert.doesNotMatch(bare.replaceAll("<br>", ""), /</);
      assert.doesNotMatch(bare, /@\w|#\d|https?:\/\/|www\.|`|!\[/);
      // eslint-disable-next-line no-control-regex
      assert.doesNotMatch(out, /\u001B/);
      for (const [, target] of bare.matchAll(/\]\(([^)]*)\)/g)) assert.match(target!, /^\.\/[\w%./-]+#L\d+$/);
      for (const row of bare.split("\n").filter((line) => line.startsWith("|")))
        assert.equal(row.split("|").length, 6, row);
      const text = await spadework(["diff", "before", book, "--to", "after"]);
      // eslint-disable-next-line no-control-regex
      assert.doesNotMatch(text.out, /\u001B|^\s*::|##\[/m);
      const json = await spadework(["diff", "before", book, "--to", "after", "--format", "json"]);
      assert.equal((JSON.parse(json.out) as Difference).status.length, 303);
    });
  });

  it("keeps the working tree's own files as they were", () => {
    assert.match(readFileSync(join(folder, "all.fields.yaml"), "utf8"), /lower-flat/);
    assert.equal(git(folder, "status", "--porcelain"), "");
  });
});
