import { strict as assert } from "node:assert";
import { readFileSync, symlinkSync } from "node:fs";
import { join } from "node:path";
import { shippedRegions } from "../../server/generated/regions.ts";
import { inFolder, spadework } from "../support/command-line.ts";

interface Report {
  file: string;
  region: string;
  extends: string[];
  problems: { file: string; range: { start: { line: number } }; level: string; message: string }[];
  changes: { path: string; from: string | null; to: string; source: string | null }[];
  unknown: { path: string; reason: string }[];
  adds: { kind: string; key: string; type: string; required: boolean }[];
  checks: { code: string; level: string }[];
  rules: { code: string; level: string }[];
  examples: { name: string; passed: boolean; found: string[]; missing: string[]; unwanted: string[] }[];
}

async function reportOn(pack: string, more: Record<string, string> = {}): Promise<Report & { exit: number }> {
  return inFolder({ "a.region.yaml": pack, ...more }, async (folder) => {
    const { code, out, error } = await spadework([
      "region",
      "check",
      join(folder, "a.region.yaml"),
      "--format",
      "json",
    ]);
    assert.equal(error, "");
    return { ...(JSON.parse(out) as Report), exit: code };
  });
}
const messages = ({ problems }: Report): string[] =>
  problems.map(({ file, range, level, message }) => `${file}:${range.start.line + 1} ${level}: ${message}`);

const PACK = `region: a
title: A
extends: ca-prairies
rotation:
  break_years: 4
unknown: { notice.within_days: the county has not said }
records:
  visits:
    required: [permit]
    properties:
      permit: { type: string }
      soil_work: { properties: { depth_cm: { type: number } } }
rules: { entry/wet-ground: error }
checks:
  - { code: county/permit, on: visits, when: "record.permit == 'none'", message: no permit, source: bylaw 3 of 2024 }
examples:
  - name: none
    as_of: 2026-08-20
    files: { a.visits.yaml: "visits: [{ id: v1, field: oak, arrived: 2026-08-14T09:40, purpose: other, permit: none }]" }
    expect: [county/permit, structure/unknown-id]
    never: [structure/schema]
sources: { rotation.break_years: bylaw 3 of 2024 }
`;

describe("spadework region check", () => {
  it("tells what a sound pack changes, adds and checks, and that its examples hold", async () => {
    const report = await reportOn(PACK);
    assert.deepEqual(messages(report), []);
    assert.equal(report.exit, 0);
    assert.deepEqual(report.extends, ["ca-prairies", "base"]);
    assert.deepEqual(report.changes, [{ path: "rotation.break_years", from: "2", to: "4", source: "bylaw 3 of 2024" }]);
    assert.deepEqual(report.unknown, [{ path: "notice.within_days", reason: "the county has not said" }]);
    assert.deepEqual(
      report.adds.map(({ kind, key, type, required }) => `${kind} ${key} ${type} ${required}`),
      ["visits permit string true", "visits soil_work object false", "visits soil_work.depth_cm number false"],
    );
    assert.deepEqual(report.rules, [{ code: "entry/wet-ground", level: "error" }]);
    assert.deepEqual(
      report.examples.map(({ name, passed, found }) => [name, passed, found.includes("county/permit")]),
      [["none", true, true]],
    );
  });

  it("reads the same in text", () =>
    inFolder({ "a.region.yaml": PACK }, async (folder) => {
      const { out, code } = await spadework(["region", "check", "a.region.yaml"], { workingFolder: folder });
      assert.equal(code, 0);
      for (const part of [
        "a.region.yaml: a, A",
        "It rests on ca-prairies, which rests on base.",
        "rotation.break_years: 2 -> 4  (bylaw 3 of 2024)",
        "notice.within_days: the county has not said",
        "visits: permit (string), required",
        "county/permit (warning, visits): no permit",
        "as expected: none",
        "The pack can be used.",
      ])
        assert.ok(out.includes(part), `"${part}" is not in\n${out}`);
    }));

  it("asks for a source of every figure, and for a figure of every source", async () => {
    const report = await reportOn(PACK.replace("sources: { rotation.break_years:", "sources: { rotation.break_year:"));
    assert.deepEqual(messages(report), [
      'a.region.yaml:5 error: rotation.break_years has no source; name a published source, or write "common practice, no source" or "from memory" under sources',
      'a.region.yaml:22 warning: this pack gives no figure "rotation.break_year"; did you mean rotation.break_years?',
    ]);
    assert.equal(report.exit, 1);
  });

  it("tells of a check without a source, and lets it pass", async () => {
    const report = await reportOn(PACK.replace(", source: bylaw 3 of 2024 }", " }"));
    assert.match(messages(report).join(), /:15 warning: county\/permit has no source/);
    assert.equal(report.exit, 0);
  });

  it("tells at its place what an example gives otherwise", async () => {
    const wrong = PACK.replace("permit: none }", "permit: A1 }").replace(
      "never: [",
      "never: [structure/unknown-id, county/permitt, ",
    );
    const report = await reportOn(wrong);
    assert.deepEqual(messages(report), [
      "a.region.yaml:20 error: this example must give county/permit, and does not; found are structure/unknown-id",
      'a.region.yaml:21 error: this example must not give structure/unknown-id, and does: no field "oak"; add it to a *.fields.yaml file, or correct the name',
      'a.region.yaml:21 error: there is no check called "county/permitt"; did you mean "county/permit"?',
    ]);
    assert.equal(report.examples[0]!.passed, false);
    assert.equal(report.exit, 1);
  });

  it("tells of an example's file that no book would read", async () => {
    const misnamed = PACK.replace("files: { a.visits.yaml:", 'files: { a.Visits.yml: "visits: []", a.visits.yaml:');
    const report = await reportOn(misnamed);
    assert.deepEqual(messages(report), [
      'a.region.yaml:19 warning: "a.Visits.yml" is no part of a record book by its name; did you mean "a.visits.yaml"?',
    ]);
    assert.equal(report.exit, 0);
  });

  it("reads the examples of a pack wherever they stand, and what they share with the rest of it", async () => {
    const first = (pack: string): string =>
      pack
        .replace(/examples:[\s\S]*?(?=sources)/, "")
        .replace("rotation:", `${/examples:[\s\S]*?(?=sources)/.exec(PACK)![0]}rotation:`);
    const unindented = PACK.replace(/^ {2}- name[\s\S]*?(?=sources)/m, (all) => all.replaceAll(/^ {2}/gm, ""));
    const shared = PACK.replace("never: [structure/schema]", "never: &n [structure/schema]").replace(
      "sources:",
      "x-n: *n\nsources:",
    );
    for (const pack of [first(PACK), unindented, shared, PACK.replaceAll("\n", "\r\n")]) {
      const report = await reportOn(pack);
      assert.deepEqual(messages(report), [], pack);
      assert.deepEqual(report.examples[0]!.found, ["county/permit", "structure/unknown-id"], pack);
    }
  });

  it("tells what an example shows of a check that cannot be worked out", async () => {
    const report = await reportOn(
      PACK.replace("required: [permit]", "required: [purpose]").replace("permit: none }", "left: 2026-08-14T10:40 }"),
    );
    assert.match(
      messages(report).join("\n"),
      /in this example the expression of county\/permit cannot be worked out at "permit"/,
    );
    assert.equal(report.exit, 1);
  });

  it("reads an example's own season, whose region may be the pack by its name", async () => {
    const own = PACK.replace(
      "files: {",
      'files: { season.yaml: "season: 2026\\nregion: a\\nrules: { county/permit: off }\\n",',
    )
      .replace("expect: [county/permit, ", "expect: [")
      .replace("never: [", "never: [county/permit, ");
    assert.deepEqual(messages(await reportOn(own)), []);
  });

  it("follows a pack's parents from its own folder, in the book around it", () =>
    inFolder(
      {
        "season.yaml": "season: 2026\n",
        "packs/a.region.yaml": "region: a\nextends: ../b.region.yaml\n",
        "b.region.yaml": "region: b\nextends: base\nrotation: { break_years: two }\n",
      },
      async (folder) => {
        const { out, code } = await spadework(["region", "check", join(folder, "packs/a.region.yaml")]);
        assert.equal(code, 1);
        assert.match(out, /It rests on b\.region\.yaml, which rests on base\./);
        assert.match(out, /b\.region\.yaml:3:26 error\n {2}"break_years" must be a whole number/);
      },
    ));

  for (const name of shippedRegions.keys())
    it(`finds nothing wrong with ${name}, which is shipped`, async () => {
      const { out, code } = await spadework(["region", "check", name, "--format", "json"]);
      assert.deepEqual(messages(JSON.parse(out) as Report), []);
      assert.equal(code, 0);
    });

  it("says why it cannot look at a pack", () =>
    inFolder({ "a.yaml": "" }, async (folder) => {
      const tried = async (...args: string[]): Promise<string> => {
        const { code, error, out } = await spadework(["region", "check", ...args], { workingFolder: folder });
        assert.equal(code, 2);
        assert.equal(out, "");
        return error;
      };
      assert.match(await tried(), /takes one pack/);
      assert.match(await tried("nowhere.region.yaml"), /nowhere\.region\.yaml: there is no such file/);
      assert.match(await tried("a.yaml"), /a\.yaml is no region pack/);
      assert.match(await tried("ca-prairie"), /did you mean ca-prairies\?/);
    }));
});

describe("spadework region check of a hostile pack", () => {
  const only = async (pack: string, expected: RegExp, more: Record<string, string> = {}): Promise<void> => {
    const report = await reportOn(pack, more);
    assert.match(messages(report).join("\n"), expected);
    assert.equal(report.exit, 1);
  };
  const check = (when: string): string =>
    `region: a\nextends: base\nchecks: [{ code: x/y, on: visits, when: ${JSON.stringify(when)}, message: m, source: s }]\n`;

  it("says of a pack and a season that are no text that they cannot be read, and not that they are empty", () =>
    inFolder({ "season.yaml": "\0", "a.region.yaml": "\0", "a.visits.yaml": "\0" }, async (folder) => {
      const { out } = await spadework(["check", folder, "--format", "json"]);
      const { findings } = JSON.parse(out) as { findings: { file: string; code: string; message: string }[] };
      assert.deepEqual(
        findings.map(({ file, code, message }) => `${file} ${code}: ${message}`),
        ["a.region.yaml", "a.visits.yaml", "season.yaml"].map(
          (file) => `${file} structure/syntax: this is no text file; records are kept as UTF-8 text`,
        ),
      );
    }));

  it("names a circle of packs", () =>
    only(
      "region: a\nextends: b.region.yaml\n",
      /b\.region\.yaml:2 error: these region packs extend each other in a circle/,
      {
        "b.region.yaml": "region: b\nextends: a.region.yaml\n",
      },
    ));

  it("reads nothing outside of the folder", async () => {
    await only("region: a\nextends: ../../etc/passwd.region.yaml\n", /lies outside this record book/);
    await inFolder({ "secret.region.yaml": "region: secret\nrotation: { break_years: 77 }\n" }, (outside) =>
      inFolder({ "a.region.yaml": "region: a\nextends: b.region.yaml\n" }, async (folder) => {
        symlinkSync(join(outside, "secret.region.yaml"), join(folder, "b.region.yaml"));
        const { out, code } = await spadework(["region", "check", join(folder, "a.region.yaml")]);
        assert.equal(code, 1);
        assert.match(out, /there is no file "b\.region\.yaml"/);
        assert.doesNotMatch(out, /77|secret/);
      }),
    );
  });

  it("does not hang on an expression", async () => {
    await only(check(`${"(".repeat(5000)}`), /is 5000 characters long/);
    await only(check("[1,2,3].map(a, [1,2].map(b, [1].map(c, c)))"), /goes through lists more than 2 deep/);
    await only(check("'a'.matches('(x+x+)+y\\\\1')"), /this pattern/);
  });

  it("does not hang on a pattern, whatever it is looked for in", async () => {
    const pack = `region: a
extends: base
records: { visits: { properties: { permit: { type: string, pattern: "^(a+)+$" } } } }
examples:
  - name: long
    as_of: 2026-08-20
    files: { a.visits.yaml: "visits: [{ id: v1, field: oak, arrived: 2026-08-14T09:40, purpose: other, permit: ${"a".repeat(900)}b }]" }
    expect: [structure/schema]
`;
    assert.deepEqual(messages(await reportOn(pack)), []);
  });

  it("is safe from keys that every object has, anywhere", async () => {
    const report = await reportOn(
      "region: a\nextends: base\n__proto__: { polluted: 1 }\nconstructor: { prototype: { polluted: 1 } }\nrotation: { __proto__: { polluted: 1 } }\n" +
        "records: { visits: { properties: { __proto__: { type: string }, permit: { __proto__: { type: string } } } } }\n" +
        "growth: { degree_days: { __proto__: 5 } }\nsources: { __proto__: x }\nexamples: [{ name: n, files: { __proto__: x } }]\n",
    );
    assert.equal(report.exit, 1);
    assert.equal(({} as Record<string, unknown>)["polluted"], undefined);
    assert.equal(Object.hasOwn(Object.prototype, "type"), false);
  });

  it("shows no control characters of it in a terminal, and no commands to a workflow's log", () =>
    inFolder(
      {
        "a.region.yaml":
          'region: a\ntitle: "x\\e[2Jy\\n::error::z"\nextends: base\nunknown: { rotation.break_years: "::warning::w" }\n',
      },
      async (folder) => {
        const { out } = await spadework(["region", "check", join(folder, "a.region.yaml")]);
        // eslint-disable-next-line no-control-regex
        assert.doesNotMatch(out, /\u001B|^\s*::/m);
      },
    ));
});

describe("spadework region new", () => {
  for (const [id, parent] of [
    ["our-county", "ca-prairies"],
    ["entry", "base"],
    ["x.y_z", "se"],
  ])
    it(`writes a pack called ${id} that is right as it stands`, () =>
      inFolder({}, async (folder) => {
        const made = await spadework(["region", "new", id!, "--extends", parent!], { workingFolder: folder });
        assert.equal(made.code, 0, made.error);
        const { out, code } = await spadework(["region", "check", `${id!}.region.yaml`], { workingFolder: folder });
        assert.equal(code, 0, out);
        assert.match(out, /The pack can be used\./);
        assert.doesNotMatch(out, /error|warning:/);
      }));

  it("leaves alone what is there, and refuses names that are none", () =>
    inFolder({ "a.region.yaml": "region: mine\n" }, async (folder) => {
      const tried = async (...args: string[]): Promise<string> => {
        const { code, error } = await spadework(["region", "new", ...args], { workingFolder: folder });
        assert.equal(code, 2);
        return error;
      };
      assert.match(await tried("a"), /a\.region\.yaml is there already/);
      assert.equal(readFileSync(join(folder, "a.region.yaml"), "utf8"), "region: mine\n");
      assert.match(await tried(), /the new region's name/);
      assert.match(await tried("Our County"), /small letters/);
      assert.match(await tried("ca-ab"), /a shipped pack is called ca-ab already/);
      assert.match(await tried("b", "b.yaml"), /ends in \.region\.yaml/);
      assert.match(await tried("b", "--extends", "ca-prairie"), /did you mean ca-prairies\?/);
    }));
});
