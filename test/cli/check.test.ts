import { strict as assert } from "node:assert";
import { chmodSync, mkdirSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { inFolder, SMALL_BOOK, spadework } from "../support/command-line.ts";

interface JsonFinding {
  code: string;
  level: string;
  file: string;
  range: { start: { line: number; character: number }; end: { line: number; character: number } };
  message: string;
  record: { kind: string; id: string };
  related: unknown[];
}

async function findings(folder: string, ...args: string[]): Promise<JsonFinding[]> {
  const { out } = await spadework(["check", folder, "--format", "json", ...args]);
  return (JSON.parse(out) as { findings: JsonFinding[] }).findings;
}

const CLEAN = { ...SMALL_BOOK, "all.visits.yaml": SMALL_BOOK["all.visits.yaml"]!.replace("wet", "dry") };
const BROKEN = {
  ...SMALL_BOOK,
  "all.visits.yaml": SMALL_BOOK["all.visits.yaml"]!.replace("long-meadow", "long-medow"),
};

describe("spadework check", () => {
  it("exits 0 without an error, 1 with one, and 1 for a warning under --fail-on warning", async () => {
    await inFolder(CLEAN, async (folder) => assert.equal((await spadework(["check", folder])).code, 0));
    await inFolder(SMALL_BOOK, async (folder) => {
      assert.equal((await spadework(["check", folder])).code, 0);
      assert.equal((await spadework(["check", folder, "--fail-on", "warning"])).code, 1);
    });
    await inFolder(BROKEN, async (folder) => assert.equal((await spadework(["check", folder])).code, 1));
  });

  it("gives the JSON of the format, key by key", async () => {
    await inFolder(SMALL_BOOK, async (folder) => {
      const { out } = await spadework(["check", folder, "--format", "json", "--as-of", "2026-09-01"]);
      const message = (JSON.parse(out) as { findings: JsonFinding[] }).findings[0]!.message;
      assert.match(message, /wet/);
      assert.deepEqual(JSON.parse(out), {
        as_of: "2026-09-01",
        findings: [
          {
            code: "entry/wet-ground",
            level: "warning",
            file: "all.visits.yaml",
            range: { start: { line: 7, character: 12 }, end: { line: 7, character: 15 } },
            message,
            record: { kind: "visits", id: "v1" },
            related: [],
          },
        ],
        summary: { error: 0, warning: 1, information: 0, hint: 0 },
      });
    });
  });

  it("shows the line with the place underlined, the message and the code, and what to do first", async () => {
    await inFolder(SMALL_BOOK, async (folder) => {
      const { out } = await spadework(["check", folder]);
      const lines = out.split("\n");
      assert.equal(lines[0], "all.visits.yaml:8:13 ! warning entry/wet-ground");
      assert.equal(lines[1], "  8 |     ground: wet");
      assert.equal(lines[2], "    |             ^^^");
      assert.match(out, /1 finding: 1 warning\. 4 records in 3 files, as of 2026-11-25\./);
      assert.match(out, /Fields with the most to mend: Long Meadow \(1 warning\)\./);
    });
  });

  it("uses colour only where it is wanted, and never as the only sign", async () => {
    await inFolder(SMALL_BOOK, async (folder) => {
      const plain = await spadework(["check", folder]);
      const coloured = await spadework(["check", folder], { hasColour: true });
      // eslint-disable-next-line no-control-regex
      const escapes = /\u001B\[[0-9;]*m/g;
      assert.ok(!plain.out.includes("\u001B"));
      assert.ok(escapes.test(coloured.out));
      assert.equal(coloured.out.replace(escapes, ""), plain.out);
    });
  });

  it("leaves records later than --as-of out, and takes every year with --all-seasons", async () => {
    await inFolder(SMALL_BOOK, async (folder) => {
      assert.deepEqual(await findings(folder, "--as-of", "2026-08-13"), []);
      assert.equal((await findings(folder, "--as-of", "2026-08-14")).length, 1);
    });
    const lastYear = { ...SMALL_BOOK, "season.yaml": SMALL_BOOK["season.yaml"]!.replace("2026", "2027") };
    await inFolder(lastYear, async (folder) => {
      assert.deepEqual(await findings(folder), []);
      assert.equal((await findings(folder, "--all-seasons")).length, 1);
    });
  });

  it("obeys the rule levels of season.yaml", async () => {
    const withRules = (level: string): Record<string, string> => ({
      ...SMALL_BOOK,
      "season.yaml": `${SMALL_BOOK["season.yaml"]!}rules: { entry/wet-ground: ${level} }\n`,
    });
    await inFolder(withRules("error"), async (folder) => assert.equal((await findings(folder))[0]?.level, "error"));
    await inFolder(withRules("off"), async (folder) => assert.deepEqual(await findings(folder), []));
    await inFolder(withRules("quiet"), async (folder) => {
      assert.deepEqual(
        (await findings(folder)).map((f) => `${f.file} ${f.code}`),
        ["all.visits.yaml entry/wet-ground", "season.yaml structure/schema"],
      );
    });
  });

  it("keeps several books apart, also when one lies in another, and tells what lies in none", async () => {
    const nested = Object.fromEntries([
      ...Object.entries(SMALL_BOOK).map(([path, text]) => [`west/${path}`, text]),
      ...Object.entries(SMALL_BOOK).map(([path, text]) => [`west/guest/${path}`, text]),
      ["stray.visits.yaml", SMALL_BOOK["all.visits.yaml"]!],
    ]);
    await inFolder(nested, async (folder) => {
      const { out, error, code } = await spadework(["check", folder, "--format", "json"]);
      assert.equal(code, 0);
      assert.match(error, /stray\.visits\.yaml lies in no record book/);
      const files = (JSON.parse(out) as { findings: JsonFinding[] }).findings.map((finding) => finding.file);
      assert.deepEqual(files, ["west/all.visits.yaml", "west/guest/all.visits.yaml"]);
    });
  });

  it("names the first of the files whose names keep them out of the book, on standard error", async () => {
    const files = {
      ...SMALL_BOOK,
      "2026/may.visits.yml": SMALL_BOOK["all.visits.yaml"]!,
      "2026/June.Visits.YAML": SMALL_BOOK["all.visits.yaml"]!,
      "notes.yml": "- not a record\n",
    };
    await inFolder(files, async (folder) => {
      const { error, out } = await spadework(["check", folder]);
      assert.equal(
        error,
        "spadework: 2026/June.Visits.YAML is passed over for its name; rename it to June.visits.yaml; so is 1 more file\n",
      );
      assert.match(out, /3 files/);
    });
    await inFolder({ "season.yml": "season: 2026\n" }, async (folder) => {
      const { error, code } = await spadework(["risk", folder]);
      assert.equal(code, 2);
      assert.match(
        error,
        /^spadework: season\.yml is passed over for its name; rename it to season\.yaml\n.* holds no record book/,
      );
    });
  });

  it("takes several folders; one without a book says so and makes the exit code 2", async () => {
    const two = Object.fromEntries(
      Object.entries(SMALL_BOOK).flatMap(([path, text]) => [
        [`a/${path}`, text],
        [`b/${path}`, text],
      ]),
    );
    await inFolder({ ...two, "empty/readme.txt": "nothing" }, async (folder) => {
      const both = await spadework(["check", "a", "b", "--format", "json"], { workingFolder: folder });
      assert.equal(both.code, 0);
      assert.deepEqual(
        (JSON.parse(both.out) as { findings: JsonFinding[] }).findings.map((f) => f.file),
        ["a/all.visits.yaml", "b/all.visits.yaml"],
      );
      const without = await spadework(["check", "a", "empty"], { workingFolder: folder });
      assert.equal(without.code, 2);
      assert.match(without.error, /empty holds no record book: no season\.yaml/);
      assert.match(without.out, /entry\/wet-ground/);
    });
  });

  it("says in one line what is wrong with the command", async () => {
    await inFolder(CLEAN, async (folder) => {
      const file = join(folder, "season.yaml");
      for (const [args, said] of [
        [["check", join(folder, "nowhere")], /there is no folder .*nowhere/],
        [["check", file], /is a file; name the folder/],
        [["check", folder, "--as-of", "tomorrow"], /--as-of takes a day of the calendar/],
        [["check", folder, "--as-of", "2026-02-30"], /"2026-02-30" is none/],
        [["check", folder, "--formt", "json"], /no option --formt; did you mean --format\?/],
        [["check", folder, "--format", "xml"], /--format is one of text, json/],
        [["chekc"], /no command chekc; did you mean check\?/],
      ] as const) {
        const { code, error, out } = await spadework(args);
        assert.equal(code, 2, args.join(" "));
        assert.match(error, said);
        assert.equal(error.trim().split("\n").length, 1);
        assert.equal(out, "");
      }
    });
  });

  it("has help for itself and for each command, with an example", async () => {
    const general = await spadework(["--help"]);
    assert.equal(general.code, 0);
    for (const name of ["check", "explain"]) {
      assert.match(general.out, new RegExp(`^  ${name} `, "m"));
      const { code, out } = await spadework([name, "--help"]);
      assert.equal(code, 0);
      assert.match(out, /^Examples?:\n {2}spadework /m);
    }
  });
});

describe("bad input to spadework check", () => {
  const brokenFile = async (content: string | Uint8Array, name = "more.visits.yaml"): Promise<JsonFinding[]> =>
    inFolder({ ...SMALL_BOOK, [name]: content }, async (folder) => {
      const all = await findings(folder);
      assert.ok(
        all.some((f) => f.file === "all.visits.yaml" && f.code === "entry/wet-ground"),
        "the rest is still checked",
      );
      return all.filter((f) => f.file === name);
    });

  it("a file of 50 MB", async () => {
    const [finding, ...others] = await brokenFile(`visits:\n${"  - id: v\n".repeat(5_000_000)}`);
    assert.equal(finding?.code, "structure/syntax");
    assert.match(finding.message, /50 MB, too long/);
    assert.deepEqual(others, []);
  });

  it("two megabytes of broken records, without making sense of each", async () => {
    const broken = "  - id: v9\n    note: [\n    field: mill-flat\n";
    const [first, ...others] = await brokenFile(`visits:\n${broken.repeat(40_000)}`);
    assert.equal(first?.code, "structure/syntax");
    assert.ok(others.length > 1000);
  }).timeout(60_000);

  it("a binary file with the right name", async () => {
    const bytes = Uint8Array.from({ length: 4000 }, (_, i) => (i * 7919) % 256);
    const found = await brokenFile(bytes);
    assert.ok(found.some((f) => f.code === "structure/syntax"));
    assert.ok(found.length < 60, `${found.length} findings for one binary file`);
  });

  it("text that is not UTF-8, at its place, and the record is still read", async () => {
    const text =
      'visits:\n  - { id: v9, field: mill-flat, arrived: 2026-08-20T10:00, purpose: other, ground: wet, note: "caf?" }\n';
    const bytes = Buffer.from(text);
    bytes[bytes.indexOf("?")] = 0xe9;
    const found = await brokenFile(bytes);
    assert.deepEqual(found.map((f) => f.code).sort(), ["entry/wet-ground", "structure/syntax"]);
    const place = found.find((f) => f.code === "structure/syntax")!.range.start;
    assert.deepEqual(place, { line: 1, character: text.split("\n")[1]!.indexOf("?") });
  });

  it("UTF-16", async () => {
    const [finding] = await brokenFile(Buffer.from("\uFEFFvisits: []\n", "utf16le"));
    assert.match(finding!.message, /UTF-16/);
  });

  it("an alias bomb", async () => {
    const levels = Array.from(
      { length: 12 },
      (_, i) => `  x-l${i + 1}: &l${i + 1} [${Array(9).fill(`*l${i}`).join(", ")}]`,
    );
    const text = `visits:\n- id: v9\n  field: mill-flat\n  arrived: 2026-08-20T10:00\n  purpose: other\n  x-l0: &l0 [a]\n${levels.join("\n")}\n`;
    const found = await brokenFile(text);
    assert.ok(found.some((f) => f.code === "structure/syntax"));
  });

  it("brackets 10,000 deep", async () => {
    const found = await brokenFile(`visits:\n  - id: v9\n    note: ${"[".repeat(10_000)}${"]".repeat(10_000)}\n`);
    assert.ok(found.some((f) => f.code === "structure/syntax"));
  });

  it("duplicate keys and tabs", async () => {
    const twice = await brokenFile(
      "visits:\n  - id: v9\n    field: mill-flat\n    field: mill-flat\n    arrived: 2026-08-20T10:00\n    purpose: other\n",
    );
    assert.deepEqual(
      twice.map((f) => [f.code, f.range.start.line]),
      [["structure/syntax", 3]],
    );
    const tabs = await brokenFile(
      "visits:\n  - id: v9\n\tfield: mill-flat\n    arrived: 2026-08-20T10:00\n    purpose: other\n",
    );
    assert.ok(tabs.some((f) => f.code === "structure/syntax" && f.range.start.line === 2));
  });

  it("a file that may not be read, and a link that leads out of the folder", async function () {
    await inFolder({ ...SMALL_BOOK, "secret/outside.visits.yaml": "visits: [" }, async (folder) => {
      const book = join(folder, "book");
      mkdirSync(book);
      for (const [path, text] of Object.entries(SMALL_BOOK)) writeFileSync(join(book, path), text);
      symlinkSync(join(folder, "secret", "outside.visits.yaml"), join(book, "linked.visits.yaml"));
      symlinkSync(book, join(book, "again"));
      writeFileSync(join(book, "locked.visits.yaml"), "visits: []\n");
      chmodSync(join(book, "locked.visits.yaml"), 0);
      const found = await findings(book);
      assert.ok(!found.some((f) => f.file === "linked.visits.yaml"), "what lies outside is not read");
      assert.equal(
        found.filter((f) => f.code === "entry/wet-ground").length,
        1,
        "a link to a folder above is not walked again",
      );
      // The administrator may read everything; anyone else is told.
      if (process.getuid?.() !== 0)
        assert.match(found.find((f) => f.file === "locked.visits.yaml")!.message, /may not be read/);
    });
  });

  it("escape sequences in a record do not reach the terminal", async () => {
    const text =
      'visits:\n  - { id: v9, field: "mill\\e[2J", arrived: 2026-08-20T10:00, purpose: other, note: "\u202Eevil" }\n';
    await inFolder({ ...SMALL_BOOK, "more.visits.yaml": text }, async (folder) => {
      const { out } = await spadework(["check", folder]);
      assert.ok(!out.includes("\u001B") && !out.includes("\u202E"));
    });
  });
});
