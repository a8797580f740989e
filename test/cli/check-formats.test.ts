import { strict as assert } from "node:assert";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { RULE_PAGES, RULES } from "../../server/generated/rules.ts";
import { inFolder, SMALL_BOOK, spadework } from "../support/command-line.ts";
import { readAnnotations, readJunit, readSarif } from "../support/report-readers.ts";

const ROOT = fileURLToPath(new URL("../..", import.meta.url));

interface JsonFinding {
  code: string;
  level: string;
  file: string;
  range: { start: { line: number; character: number }; end: { line: number; character: number } };
  message: string;
  related: { file: string; range: JsonFinding["range"]; message: string }[];
}

async function report(format: string, environment: Record<string, string> = {}): Promise<string> {
  const { out, error } = await spadework(["check", "sample-workspace", "--format", format], {
    workingFolder: ROOT,
    environment,
  });
  assert.equal(error, "");
  return out;
}

const kindsOf = (levels: [string, string, string]): Record<string, string> => ({
  error: levels[0],
  warning: levels[1],
  information: levels[2],
  hint: levels[2],
});

describe("the formats of check on the sample season", () => {
  let findings: JsonFinding[];
  before(async () => {
    findings = (JSON.parse(await report("json")) as { findings: JsonFinding[] }).findings;
    assert.ok(findings.length > 30);
  });

  it("sarif holds every finding, valid by the schema of OASIS, from 1 and by paths of the repository", async () => {
    const run = readSarif(await report("sarif"));
    const levels = kindsOf(["error", "warning", "note"]);
    assert.equal(run.columnKind, "utf16CodeUnits");
    assert.equal(run.results.length, findings.length);
    const place = ({ file, range }: { file: string; range: JsonFinding["range"] }): object => ({
      uri: `sample-workspace/${file}`,
      region: {
        startLine: range.start.line + 1,
        startColumn: range.start.character + 1,
        endLine: range.end.line + 1,
        endColumn: range.end.character + 1,
      },
    });
    run.results.forEach((result, i) => {
      const [finding, rule] = [findings[i], run.tool.driver.rules[result.ruleIndex]];
      assert.equal(result.ruleId, finding.code);
      assert.equal(rule.id, finding.code);
      assert.equal(result.level, levels[finding.level]);
      assert.equal(result.message.text, finding.message);
      const at = (one: (typeof result.locations)[number]): object => ({
        uri: one.physicalLocation.artifactLocation.uri,
        region: one.physicalLocation.region,
      });
      assert.deepEqual(result.locations.map(at), [place(finding)]);
      assert.deepEqual((result.relatedLocations ?? []).map(at), finding.related.map(place));
    });
    const prints = run.results.map(({ partialFingerprints }) => Object.values(partialFingerprints).join());
    assert.equal(new Set(prints).size, findings.length);
  });

  it("sarif brings the page of every rule, with its level", async () => {
    const { rules } = readSarif(await report("sarif")).tool.driver;
    const levels = kindsOf(["error", "warning", "note"]);
    assert.deepEqual(
      rules.map(({ id, defaultConfiguration }) => [id, defaultConfiguration.level]),
      RULES.map(({ code, level }) => [code, levels[level]]),
    );
    for (const { id, shortDescription, fullDescription, help } of rules) {
      assert.ok(RULE_PAGES[id].startsWith(help.markdown), id);
      assert.ok(!/An example|```/.test(help.markdown), id);
      assert.ok(!/^## |^# \w+\/|`/m.test(help.text) && help.text.includes("Why it matters"), id);
      assert.ok(shortDescription.text.length > 20 && fullDescription.text.length > shortDescription.text.length, id);
    }
  });

  it("junit has a suite for each file and a case for each finding, valid by its XSD", async () => {
    const { tests, failures, testsuite } = await readJunit(await report("junit"));
    const failing = findings.filter(({ level }) => level === "error" || level === "warning");
    const clean = testsuite.filter(({ testcase }) => testcase[0].name === "nothing to mend");
    assert.equal(Number(tests), findings.length + clean.length);
    assert.equal(Number(failures), failing.length);
    assert.equal(testsuite.length, 26);
    for (const suite of testsuite) assert.equal(Number(suite.tests), suite.testcase.length);
    const cases = testsuite.flatMap(({ testcase }) => testcase).filter(({ line }) => line !== undefined);
    const described = ({ file, line, failure }: (typeof cases)[number]): string =>
      `${file}:${line} ${failure?.type ?? "passed"}`;
    assert.deepEqual(
      cases.map(described).sort(),
      findings
        .map(({ file, range, level }) => {
          const outcome = level === "error" || level === "warning" ? level : "passed";
          return `sample-workspace/${file}:${range.start.line + 1} ${outcome}`;
        })
        .sort(),
    );
    assert.deepEqual(
      cases.flatMap(({ failure }) => (failure ? [failure.message] : [])).sort(),
      failing.map(({ message }) => message).sort(),
    );
  });

  it("github has an annotation for each finding, errors first, and tells how many GitHub will show", async () => {
    const { annotations, otherLines } = readAnnotations(await report("github"));
    const kinds = kindsOf(["error", "warning", "notice"]);
    assert.deepEqual(
      annotations.map(({ kind }) => kind),
      ["error", "warning", "information"].flatMap((level) =>
        findings.filter((finding) => finding.level === level).map(() => kinds[level]),
      ),
    );
    const first = findings.find(({ level }) => level === "error")!;
    assert.deepEqual(annotations[0].properties, {
      file: `sample-workspace/${first.file}`,
      line: String(first.range.start.line + 1),
      col: String(first.range.start.character + 1),
      endLine: String(first.range.end.line + 1),
      endColumn: String(first.range.end.character),
      title: first.code,
    });
    const expected = findings.map(({ message }) => message).sort();
    assert.deepEqual(annotations.map(({ message }) => message.split("\n")[0]).sort(), expected);
    const counts = ["error", "warning", "notice"].map((kind) => annotations.filter((one) => one.kind === kind).length);
    const shown = counts.reduce((sum, count) => sum + Math.min(count, 10), 0);
    assert.match(otherLines.join("\n"), new RegExp(`so ${shown} of these findings; the other ${40 - shown} stand`));
  });

  it("github fills the step's summary where there is one, and tells paths from the workflow's workspace", async () => {
    await inFolder({ "summary.md": "before\n", ...SMALL_BOOK }, async (folder) => {
      const summary = join(folder, "summary.md");
      const environment = { GITHUB_STEP_SUMMARY: summary, GITHUB_WORKSPACE: join(folder, "..") };
      const { out } = await spadework(["check", "--format", "github"], { workingFolder: folder, environment });
      const { annotations } = readAnnotations(out);
      assert.equal(annotations[0].properties.file, `${folder.split("/").at(-1)!}/all.visits.yaml`);
      const text = readFileSync(summary, "utf8");
      assert.match(text, /^before\n## Spadework\n\n1 finding: 1 warning\. 4 records in 3 files/);
      assert.match(text, /\n\| warning \| .*all\.visits\.yaml:8 \| entry\/wet-ground \| /);
      writeFileSync(summary, "");
      await spadework(["check", "--format", "text"], { workingFolder: folder, environment });
      assert.equal(readFileSync(summary, "utf8"), "");
      const lost = { GITHUB_STEP_SUMMARY: join(folder, "no", "where.md") };
      const failed = await spadework(["check", "--format", "github"], { workingFolder: folder, environment: lost });
      assert.equal(failed.code, 2);
      assert.match(failed.error, /GITHUB_STEP_SUMMARY lies in a folder that does not exist/);
    });
  });
});
