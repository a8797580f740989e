import { strict as assert } from "node:assert";
import { quickFixes } from "../../server/src/features/code-actions.ts";
import { completionsAt } from "../../server/src/features/completion.ts";
import { hover } from "../../server/src/features/hover.ts";
import { check, findingsOf } from "../support/check.ts";
import { inFolder, spadework } from "../support/command-line.ts";
import { atCursor, inFile } from "../support/feature.ts";
import { parseFixture } from "../support/fixture.ts";
import { readSarif } from "../support/report-readers.ts";

const PACK = `region: made-up
title: Made up
extends: ca-prairies
records:
  visits: { properties: { permit: { type: string } } }
checks:
`;
const PERMIT = `  - code: county/permit
    on: visits
    level: warning
    when: record.purpose == 'scouting' && !has(record.permit)
    message: no permit is recorded for this visit; ask the county for one
    source: county bylaw 12, 2024
`;
const SEASON =
  "season: 2026\nregion: made-up.region.yaml\ngrowers: [{ id: alder-bench }]\ncrew: [{ id: mo, name: M. Okafor }]\n";
const VISITS = `visits:
  - id: v1
    field: long-meadow
    arrived: 2026-08-14T09:40
    left: 2026-08-14T10:40
    purpose: scouting
    permit: A 12
  - id: v2
    field: long-meadow
    arrived: 2026-08-15T09:40
    left: 2026-08-15T10:40
    purpose: scouting
`;

function book(checks: string, files: string, season = SEASON): string {
  return `#! as-of: 2026-08-20\n#- season.yaml\n${season}#- made-up.region.yaml\n${PACK}${checks}${files}`;
}
const ofRegion = { only: (code: string) => /^(county|structure)\//.test(code) };
const inPack = (source: string): string[] =>
  findingsOf(parseFixture(source))
    .filter(({ file }) => file === "made-up.region.yaml")
    .map(({ code, place, message }) => `${code} ${place}: ${message}`);

describe("a region's own checks", () => {
  it("are asked of the records of their kind, and stand on the record's first key", () => {
    check(
      book(
        PERMIT,
        `#- a.visits.yaml
${VISITS.replace("  - id: v2\n", "  - id: v2\n  # ^^ warning county/permit: no permit is recorded for this visit; ask the county for one\n")}`,
      ),
      ofRegion,
    );
  });

  it("stand on the key they name", () => {
    check(
      book(
        PERMIT.replace("level: warning", "at: purpose\n    level: error"),
        `#- a.visits.yaml\n${VISITS}    #        ^^^^^^^^ error county/permit: no permit\n`,
      ),
      ofRegion,
    );
  });

  it("see the record, its field, the book, the season, the region's figures and the day", () => {
    const sees = (when: string): boolean =>
      findingsOf(
        parseFixture(
          book(
            `  - { code: county/x, on: visits, when: "${when}", message: it holds }\n`,
            `#- a.fields.yaml\nfields: [{ id: long-meadow, area_ha: 62, soil: { ph: 6.4 } }]\n#- a.visits.yaml\n${VISITS}`,
          ),
        ),
      ).some(({ code }) => code === "county/x");
    for (const when of [
      "record.id == 'v1'",
      "field.area_ha * 2 > 123 && field.soil.ph < 7",
      "book.crew.exists(c, c.id == 'mo') && book.season == season",
      "season == 2026",
      "field.area_ha == 62 && field.area_ha != 61 && 62 == field.area_ha && field.area_ha + 1 == 63",
      "region.rotation.break_years == 2 && region.cleaning.soil_left['wash'] == 0.1",
      "as_of == '2026-08-20' && day(as_of) - day(record.arrived) == 6",
      "year(record.arrived) == 2026 && record.arrived > '2026-08-01'",
      "record.permit.matches('^A [0-9]+$')",
    ])
      assert.ok(sees(when.includes("record.permit") ? `has(record.permit) && ${when}` : when), when);
    assert.ok(!sees("season == 2025"));
    assert.ok(!sees("has(record.permit) && record.permit.matches('^B')"));
  });

  it("say what stands in braces in their message of the record they are said of", () => {
    const said = (message: string): string[] =>
      findingsOf(
        parseFixture(
          book(
            `  - { code: county/x, on: visits, when: "record.id == 'v1'", message: ${JSON.stringify(message)} }\n`,
            `#- a.fields.yaml\nfields: [{ id: long-meadow, name: "Long\\u001b Meadow", area_ha: 62.40001 }]\n#- a.visits.yaml\n${VISITS}`,
          ),
        ),
      ).flatMap(({ code, file, message: found }) =>
        code === "county/x" || file === "made-up.region.yaml" ? [found] : [],
      );
    assert.deepEqual(
      said("{field.name}: {field.area_ha} ha, {day(as_of) - day(record.arrived)} days ago, {record.stage}"),
      ["Long Meadow: 62.4 ha, 6 days ago, not recorded"],
    );
    assert.match(
      said("{record.purpse} is none")[0]!,
      /^in this message "\{record\.purpse\}" cannot be right at "purpse"/,
    );
    assert.match(said("{record.digs} are none")[0]!, /comes to list.*; a message shows words and numbers/);
    assert.match(said("{1}".repeat(9))[0]!, /more than 8 values stand in braces/);
    assert.match(
      said(`{record.id${" + record.id".repeat(60)}}`)[0]!,
      /^in this message 731 characters stand; write 400/,
    );
  });

  it("look at the season's records that have happened, or with all seasons at every year's", () => {
    const visit = (id: string, day: string): string =>
      `  - { id: ${id}, field: long-meadow, arrived: ${day}T09:40, left: ${day}T10:40, purpose: scouting }\n`;
    const visits = `#- a.visits.yaml\nvisits:\n${visit("last", "2025-08-14")}${visit("now", "2026-08-14")}${visit("later", "2026-08-22")}`;
    const ids = (option: string): string[] =>
      findingsOf(parseFixture(option + book(PERMIT, visits)))
        .filter(({ code }) => code === "county/permit")
        .map(({ record }) => record.id);
    assert.deepEqual(ids(""), ["now"]);
    assert.deepEqual(ids("#! all-seasons\n"), ["last", "now"]);
  });

  it("have the level of the book, or else of the region, or else their own", () => {
    const levels = (rulesOfPack: string, rulesOfBook: string): string[] =>
      findingsOf(
        parseFixture(book(`${PERMIT}${rulesOfPack}`, `#- a.visits.yaml\n${VISITS}`, `${SEASON}${rulesOfBook}`)),
      )
        .filter(({ code }) => code.startsWith("county/"))
        .map(({ level }) => level);
    assert.deepEqual(levels("", ""), ["warning"]);
    assert.deepEqual(levels("rules: { county/permit: hint }\n", ""), ["hint"]);
    assert.deepEqual(levels("rules: { county/permit: hint }\n", "rules: { county/permit: error }\n"), ["error"]);
    assert.deepEqual(levels("", "rules: { county/permit: off }\n"), []);
  });

  it("are off where their pack says so, until a book turns them on", () => {
    const off = PERMIT.replace("level: warning", "level: off");
    const codes = (rules: string): string[] =>
      findingsOf(parseFixture(book(off, `#- a.visits.yaml\n${VISITS}`, SEASON + rules))).flatMap(({ code, level }) =>
        code === "county/permit" ? [level] : [],
      );
    assert.deepEqual(codes(""), []);
    assert.deepEqual(codes("rules: { county/permit: information }\n"), ["information"]);
  });

  it("can be accepted with a reason, and a needless comment is told", () => {
    check(
      book(
        PERMIT,
        `#- a.visits.yaml\n${VISITS.replace(
          "- id: v2",
          "- id: v2 # accept county/permit: asked for by telephone",
        ).replace(
          "    permit: A 12\n",
          "    permit: A 12 # accept county/permit: why\n    #            ^^^^^^^^^^^^^^^^^^^^^^^^^^^ information structure/accept-unused\n",
        )}`,
      ),
      ofRegion,
    );
  });

  it("are known where a book sets levels", () => {
    check(
      book(
        PERMIT,
        "",
        `${SEASON}rules:\n  county/permit: error\n  county/permitt: error\n# ^^^^^^^^^^^^^^ error structure/unknown-key: did you mean "county/permit"? [fix]\n`,
      ),
      { only: (code) => code.startsWith("structure/") && code !== "structure/unknown-id" },
    );
    const { context, offset } = atCursor(book(PERMIT, "", `${SEASON}rules:\n  $0\n`));
    const proposed = completionsAt(context, offset, { today: "2026-08-20", now: "2026-08-20T10:00" });
    assert.equal(proposed.find(({ label }) => label === "county/permit")?.detail, "warning by itself");
    const hovered = atCursor(book(PERMIT, "", `${SEASON}rules:\n  county/per$0mit: error\n`));
    const { markdown } = hover(hovered.context, hovered.offset)!;
    assert.match(markdown, /^# county\/permit\n\nNo permit is recorded/);
    assert.match(markdown, /Source: county bylaw 12, 2024/);
  });

  it("are added to those of the packs above, a code that is given again in place of theirs", () => {
    const found = findingsOf(
      parseFixture(`#! as-of: 2026-08-20
#- season.yaml
season: 2026
region: county.region.yaml
#- county.region.yaml
region: county
extends: made-up.region.yaml
checks:
  - { code: county/permit, on: visits, level: error, when: "true", message: the county's own words }
  - { code: county/crew, on: visits, when: "!has(record.crew)", message: nobody is named }
#- made-up.region.yaml
${PACK}${PERMIT}  - { code: province/left, on: visits, when: has(record.left), message: it was left }
#- a.visits.yaml
${VISITS}`),
    ).filter(({ code }) => !code.startsWith("structure/") && !/^(entry|scouting)/.test(code));
    const counted = found.map(({ code, level, message }) => `${level} ${code} ${message}`).sort();
    assert.deepEqual(
      [...new Set(counted)],
      [
        "error county/permit the county's own words",
        "warning county/crew nobody is named",
        "warning province/left it was left",
      ],
    );
    assert.equal(counted.length, 6);
  });
});

describe("the quick fixes of a region's own check", () => {
  it("accept it with a reason, or give it another level in the book", () => {
    const source = book(PERMIT, `#- a.visits.yaml\n${VISITS}`);
    const finding = findingsOf(parseFixture(source)).find(({ code }) => code === "county/permit")!;
    const titles = quickFixes(inFile(source, "a.visits.yaml"), finding).map(({ title }) => title);
    assert.ok(
      titles.some((title) => /accept/i.test(title)),
      titles.join("; "),
    );
    assert.ok(
      titles.some((title) => /county\/permit/.test(title)),
      titles.join("; "),
    );
  });
});

describe("a check that cannot be right", () => {
  for (const [what, when, expected] of [
    [
      "a mistyped key",
      "record.purpse == 'scouting'",
      /cannot be right at "purpse": there is no key "purpse" there; did you mean "purpose"\?/,
    ],
    [
      "a mistyped key that is asked for",
      "has(record.permitt)",
      /cannot be right at "permitt": did you mean "permit"\?/,
    ],
    ["a mistyped name", "recrod.purpose == 'x'", /"recrod" is no name here; did you mean "record"\?/],
    ["a text compared with a number", "record.purpose == 3", /text == number is nothing that can be compared/],
    ["half an expression", "record.purpose ==", /cannot be read: it ends too early/],
    ["something neither true nor false", "record.purpose", /comes to text; a check must come to true or false/],
    [
      "a function that is not offered",
      "record.purpose.split('').size() > 1",
      /"split" is no function that a check can use/,
    ],
    [
      "a pattern that takes without end",
      "record.purpose.matches('(a+)+\\\\\\\\1')",
      /this pattern (looks ahead or back|cannot be read)/,
    ],
    ["a pattern from the records", "record.purpose.matches(record.id)", /a pattern must be written out between quotes/],
    ["too long", `true${" || true".repeat(200)}`, /is \d+ characters long/],
    ["too many brackets", "(".repeat(300), /it is too long or has too many brackets/],
    [
      "lists within lists within lists",
      "record.digs.exists(a, record.digs.exists(b, record.digs.exists(c, true)))",
      /goes through lists more than 2 deep/,
    ],
    [
      "a text that grows with every item of a list",
      "record.digs.map(d, d.id + d.id + d.id + d.id + d.id + d.id).join('x').contains('zz')",
      /it adds more than 4 times for each item of a list/,
    ],
    ["no list gone through", "region.exists(a, a == 'x')", /at "region": it is no list to go through/],
    ["what every object has", "record.__proto__ == null", /there is no key "__proto__" there/],
  ] as const)
    it(`is told in the pack: ${what}`, () => {
      const found = inPack(
        book(`  - { code: county/x, on: visits, when: "${when}", message: m }\n`, `#- a.visits.yaml\n${VISITS}`),
      );
      assert.equal(found.length, 1, found.join("\n"));
      assert.match(found[0]!, /^structure\/schema checks\/#0\/when: this expression /);
      assert.match(found[0]!, expected);
    });

  it("is told in the pack: a code among Spadework's own, one given twice, a key that the kind has not", () => {
    const found = inPack(
      book(
        `  - { code: entry/permit, on: visits, when: "true", message: m }
  - { code: county/a, on: visits, at: purpos, when: "false", message: m }
  - { code: county/a, on: visits, when: "true", message: m }
`,
        `#- a.visits.yaml\n${VISITS}`,
      ),
    );
    assert.deepEqual(found, [
      "structure/schema checks/#0/code: the checks called entry/… come with Spadework; put the region's own in a group of its own, such as county/permit",
      'structure/schema checks/#1/at: visits have no key "purpos"; did you mean "purpose"?',
      'structure/schema checks/#2/code: this pack has a check called "county/a" already; give this one another name',
    ]);
  });

  it("by some record is told once, with the first such record, and is no crash", () => {
    const source = book(
      `  - { code: county/x, on: visits, when: "record.permit == 'A 13'", message: m }\n`,
      `#- a.visits.yaml\n${VISITS}  - { id: v3, field: long-meadow, arrived: 2026-08-16T09:40, purpose: scouting }\n`,
    );
    const found = findingsOf(parseFixture(source)).filter(({ file }) => file === "made-up.region.yaml");
    assert.equal(found.length, 1);
    assert.match(
      found[0]!.message,
      /^the expression of county\/x cannot be worked out at "permit": there is no key "permit" there; where it may be missing, ask has\(…\) first$/,
    );
    assert.deepEqual(
      found[0]!.related.map(({ file, message }) => `${file} ${message}`),
      ['a.visits.yaml first at "v2"'],
    );
  });

  it("ends soon whatever lists a record holds", () => {
    const digs = Array.from({ length: 3000 }, (_, i) => `{ id: d${i}, plants: 1 }`).join(", ");
    const found = inPack(
      book(
        `  - { code: county/x, on: visits, when: "has(record.digs) && record.digs.all(a, record.digs.all(b, a.plants == b.plants))", message: m }\n`,
        `#- a.visits.yaml\nvisits: [{ id: v1, field: long-meadow, arrived: 2026-08-16T09:40, purpose: other, digs: [${digs}] }]\n`,
      ),
    );
    assert.equal(found.length, 1);
    assert.match(found[0]!, /could take \d+ steps, more than the 50000 that a check may take/);
  });
});

describe("the reports on a region's own checks", () => {
  const FILES = {
    "season.yaml": SEASON,
    "made-up.region.yaml": PACK + PERMIT,
    "a.fields.yaml": "fields: [{ id: long-meadow, name: Long Meadow }]\n",
    "a.visits.yaml": VISITS,
  };
  const DAY = ["--as-of", "2026-08-20"];

  it("are those of any check: text, JSON, SARIF with the rule and its page", () =>
    inFolder(FILES, async (folder) => {
      const text = await spadework(["check", folder, ...DAY]);
      assert.match(text.out, /county\/permit/);
      assert.match(text.out, /no permit is recorded for this visit/);
      for (const format of ["github", "junit"])
        assert.match((await spadework(["check", folder, ...DAY, "--format", format])).out, /county\/permit/, format);
      const sarif = readSarif((await spadework(["check", folder, ...DAY, "--format", "sarif"])).out);
      const rule = sarif.tool.driver.rules.find(({ id }) => id === "county/permit")!;
      assert.match(rule.help.markdown, /county bylaw 12, 2024/);
      const result = sarif.results.find(({ ruleId }) => ruleId === "county/permit")!;
      assert.equal(sarif.tool.driver.rules[result.ruleIndex], rule);
      const json = JSON.parse((await spadework(["check", folder, ...DAY, "--format", "json"])).out) as {
        findings: { code: string; record: { id: string } }[];
      };
      assert.deepEqual(
        json.findings.filter(({ code }) => code === "county/permit").map(({ record }) => record.id),
        ["v2"],
      );
    }));

  it("and spadework explain prints their page", () =>
    inFolder(FILES, async (folder) => {
      const { out, code } = await spadework(["explain", "county/permit", folder]);
      assert.equal(code, 0);
      assert.match(out, /^# county\/permit\n\nNo permit is recorded/);
      const there = await spadework(["explain", "county/permit"], { workingFolder: folder });
      assert.equal(there.out, out);
      const shipped = await spadework(["explain", "se/resistant-variety"]);
      assert.match(shipped.out, /Wallenhammar et al\. 2021/);
      const mistyped = await spadework(["explain", "county/permitt", folder]);
      assert.match(mistyped.error, /did you mean county\/permit\?/);
    }));
});
