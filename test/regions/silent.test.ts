// A figure that a region does not give asks for nothing: what would use it stays silent, and nothing is found in its place.
import { strict as assert } from "node:assert";
import { readdirSync, readFileSync } from "node:fs";
import { relative, sep } from "node:path";
import { fileURLToPath } from "node:url";
import { RULES } from "../../server/generated/rules.ts";
import { parseDay } from "../../server/src/base/days.ts";
import { openBook } from "../../server/src/book/open-book.ts";
import { runRules } from "../../server/src/rules/engine.ts";
import { publish } from "../../server/src/rules/publish.ts";
import { sourceInWords, sourcesOfRule } from "../../server/src/rules/rule-sources.ts";
import { figurePaths } from "../../server/src/schema/merge-packs.ts";
import { resolveRegion } from "../../server/src/schema/region.ts";

const SAMPLE = fileURLToPath(new URL("../../sample-workspace/", import.meta.url));
const sample = readdirSync(SAMPLE, { recursive: true, withFileTypes: true }).flatMap((entry) => {
  if (!entry.isFile() || !/\.(?:yaml|csv)$/.test(entry.name)) return [];
  const path = `${entry.parentPath}${sep}${entry.name}`;
  return [{ path: relative(SAMPLE, path).split(sep).join("/"), text: readFileSync(path, "utf8") }];
});

/** A field that breaks what the sample's fields keep to. */
const MORE = {
  path: "more.fields.yaml",
  text: "fields:\n  - { id: thorn, name: Thorn, clubroot: { found_on: 2026-07-01 } }\n",
};

/** The sample under a pack of the Prairies that lacks some figures, on the day by which most has gone wrong. */
function codesWithout(...paths: readonly string[]): string[] {
  const unknown = paths.map((path) => `  "${path}": not known\n`).join("");
  const region = `region: partly\nextends: ca-prairies\n${unknown && `unknown:\n${unknown}`}`;
  const files = sample.map((file) =>
    file.path === "season.yaml"
      ? {
          ...file,
          text: file.text.replace(/^region: .*$/m, "region: partly.region.yaml").replace(/^sampling:.*$/m, ""),
        }
      : file,
  );
  const day = parseDay("2026-09-05")!;
  const opened = openBook([...files, MORE, { path: "partly.region.yaml", text: region }], {
    asOf: day,
    today: day,
    allSeasons: true,
  });
  const found = publish(opened, runRules(opened.book, RULES), RULES);
  return found.map(({ code, file, record, range }) => `${code} ${file} ${record.id} ${range.start.line}`);
}

const nameOf = (finding: string): string => finding.slice(0, finding.indexOf(" "));

/** By figure: the checks that cannot be made without it. */
const NEEDED: Record<string, readonly string[]> = {
  hosts: ["rotation/break-too-short", "rotation/break-after-find", "scouting/window-missed"],
  "rotation.break_years": ["rotation/break-too-short"],
  "rotation.break_years_after_find": ["rotation/break-after-find"],
  "scouting.opens_days_before_swath": ["scouting/window-missed", "scouting/outside-window", "scouting/too-few-plants"],
  "scouting.closes_days_after_swath": ["scouting/window-missed", "scouting/outside-window", "scouting/too-few-plants"],
  "scouting.entrance_reach_m": ["scouting/entrance-not-dug"],
  "sampling.confidence": ["scouting/too-few-plants"],
  "sampling.design_incidence": ["scouting/too-few-plants"],
  "sampling.root_sensitivity": ["scouting/too-few-plants"],
  "cleaning.strength_percent": ["cleaning/strength-too-low"],
  "cleaning.contact_minutes": ["cleaning/contact-too-short"],
  "cleaning.mix_tolerance_percent": ["cleaning/mix-mismatch"],
  "sample.packaging": ["sample/packaging"],
  "trace.look_back_days": ["trace/exposed"],
  "notice.required": ["trace/notice-missing"],
  "notice.within_days": ["trace/notice-missing"],
};

describe("a figure that a region does not give", () => {
  const whole = new Set(codesWithout());
  const figures = figurePaths(resolveRegion("ca-prairies", () => undefined).pack);

  for (const [path, codes] of Object.entries(NEEDED)) {
    it(`silences what needs ${path}`, () => {
      const found = new Set(codesWithout(path).map(nameOf));
      for (const code of codes) {
        assert.ok(
          [...whole].some((finding) => nameOf(finding) === code),
          `the sample has no ${code} at all`,
        );
        assert.ok(!found.has(code), code);
      }
    });
  }

  it("has nothing found in its place, whichever it is", () => {
    assert.ok(figures.length > 60);
    // Those that none of the checks above needs cannot do harm one by one; then all of them together, and everything.
    const groups = new Map<string, string[]>();
    for (const path of figures) groups.set(path.split(".")[0]!, [...(groups.get(path.split(".")[0]!) ?? []), path]);
    for (const paths of [...groups.values(), ["cleaning.strength_percent"], ["cleaning.contact_minutes"], figures])
      assert.deepEqual(
        codesWithout(...paths).filter((finding) => !whole.has(finding)),
        [],
        paths.join(", "),
      );
  });

  it("leaves no check that names a figure with anything to say", () => {
    const found = new Set(codesWithout(...figures).map(nameOf));
    // Soil is still followed by its own records; only how long back is the region's.
    const resting = RULES.filter((rule) => rule.figures && !found.has(rule.code)).map(({ code }) => code);
    assert.deepEqual(
      RULES.filter((rule) => rule.figures && !resting.includes(rule.code)).map(({ code }) => code),
      ["cleaning/acquired-uncleaned", "cleaning/incomplete", "entry/risk-order"],
    );
  });
});

describe("the sources of a finding", () => {
  it("are those of the figures that its check cannot do without", () => {
    const byCode = new Map(RULES.map((rule) => [rule.code, rule]));
    for (const [path, codes] of Object.entries(NEEDED)) {
      if (path === "hosts") continue;
      for (const code of codes) {
        const figures = byCode.get(code)!.figures ?? [];
        const isWindow = code === "scouting/too-few-plants" && path.startsWith("scouting.");
        assert.ok(
          isWindow || figures.some((figure) => path === figure || path.startsWith(`${figure}.`)),
          `${code}: ${path}`,
        );
      }
    }
  });

  it("name figures that some shipped pack gives", () => {
    const given = ["ca-prairies", "gb"].flatMap((name) => figurePaths(resolveRegion(name, () => undefined).pack));
    for (const { figures = [], code } of RULES)
      for (const figure of figures)
        assert.ok(
          given.some((path) => path === figure || path.startsWith(`${figure}.`)),
          `${code}: ${figure}`,
        );
  });

  it("stand together where they are the same, and leave out what the book sets itself", () => {
    const day = parseDay("2026-09-05")!;
    const sourcesOf = (code: string, season: string): string[] => {
      const text = `season: 2026\nregion: ca-prairies\n${season}`;
      const { book } = openBook([{ path: "season.yaml", text }], { asOf: day, today: day, allSeasons: false });
      return sourcesOfRule(
        RULES.find((rule) => rule.code === code)!,
        book,
      ).map(sourceInWords);
    };
    assert.deepEqual(sourcesOf("rotation/break-after-find", ""), [
      "Source of rotation.break_years_after_find: county policy in Alberta (St. Paul County): no host for three years after a find",
    ]);
    assert.deepEqual(sourcesOf("cleaning/acquired-uncleaned", ""), [
      "Source of cleaning.strength_percent, cleaning.contact_minutes: common practice; Manitoba's clubroot advice: bleach at 1 % for 15 to 20 minutes",
    ]);
    assert.deepEqual(sourcesOf("scouting/too-few-plants", "sampling: { confidence: 0.9, design_incidence: 0.05 }\n"), [
      "Source of sampling.root_sensitivity: common practice, no source",
    ]);
    assert.deepEqual(sourcesOf("entry/wet-ground", ""), []);
  });
});
