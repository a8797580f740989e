import { strict as assert } from "node:assert";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { Ajv } from "ajv";
import { XMLParser } from "fast-xml-parser";
import { validateXML } from "xmllint-wasm";

/** Readers of the reports that owe nothing to what writes them. Each fails where the report breaks its format. */

interface SarifPlace {
  physicalLocation: {
    artifactLocation: { uri: string };
    region: { startLine: number; startColumn: number; endLine: number; endColumn: number };
  };
}

export interface SarifResult {
  ruleId: string;
  ruleIndex: number;
  level: string;
  message: { text: string };
  locations: SarifPlace[];
  relatedLocations?: (SarifPlace & { message: { text: string } })[];
  partialFingerprints: Record<string, string>;
}

export interface SarifRule {
  id: string;
  shortDescription: { text: string };
  fullDescription: { text: string };
  help: { text: string; markdown: string };
  defaultConfiguration: { level: string };
}

export interface SarifRun {
  columnKind: string;
  tool: { driver: { rules: SarifRule[] } };
  results: SarifResult[];
}

// The schema of OASIS is written in draft 4 of JSON Schema; it uses nothing that later drafts read otherwise but `id`.
const {
  id: _id,
  $schema: _draft,
  ...sarifSchema
} = createRequire(import.meta.url)("@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json") as Record<
  string,
  unknown
>;
// One of its patterns is none under the rules of `u`.
const isSarif = new Ajv({ strict: false, validateFormats: false, unicodeRegExp: false }).compile(sarifSchema);

export function readSarif(text: string): SarifRun {
  const log = JSON.parse(text) as { version: string; runs: SarifRun[] };
  assert.ok(isSarif(log), JSON.stringify(isSarif.errors?.slice(0, 3)));
  assert.equal(log.version, "2.1.0");
  assert.equal(log.runs.length, 1);
  return log.runs[0];
}

export interface JunitCase {
  name: string;
  classname: string;
  file: string;
  line?: string;
  failure?: { type: string; message: string; "#text": string };
  "system-out"?: string;
}

export interface JunitSuite {
  name: string;
  tests: string;
  failures: string;
  testcase: JunitCase[];
}

const XSD = readFileSync(new URL("../fixtures/junit.xsd", import.meta.url), "utf8");

export async function readJunit(text: string): Promise<{ tests: string; failures: string; testsuite: JunitSuite[] }> {
  const { valid, errors } = await validateXML({ xml: { fileName: "report.xml", contents: text }, schema: XSD });
  assert.ok(valid, errors.map(({ message }) => message).join("\n"));
  const reader = new XMLParser({
    ignoreAttributes: false,
    attributeNamePrefix: "",
    parseTagValue: false,
    trimValues: false,
    isArray: (name) => name === "testsuite" || name === "testcase",
  });
  const { testsuites } = reader.parse(text) as {
    testsuites: { tests: string; failures: string; testsuite: JunitSuite[] };
  };
  return testsuites;
}

export interface Annotation {
  kind: string;
  properties: Record<string, string>;
  message: string;
}

/**
 * Reads a log as the runner of GitHub Actions does (actions/runner, ActionCommand.cs): a line that begins, past blanks, with
 * two colons is a command; and so is, in the older form, `##[` anywhere in another line.
 */
export function readAnnotations(text: string): { annotations: Annotation[]; otherLines: string[] } {
  const annotations: Annotation[] = [];
  const otherLines: string[] = [];
  for (const line of text.split(/\r\n|\r|\n/)) {
    const command = /^\s*::([a-z-]+)(?: ([^:]*))?::(.*)$/.exec(line);
    if (!command) {
      assert.ok(!/^\s*::/.test(line) && !line.includes("##["), line);
      otherLines.push(line);
      continue;
    }
    const [, kind, list = "", data] = command;
    const properties = list.split(",").map((one) => {
      const at = one.indexOf("=");
      return [one.slice(0, at), unescaped(one.slice(at + 1), { "%3A": ":", "%2C": "," })];
    });
    annotations.push({ kind, properties: Object.fromEntries(properties), message: unescaped(data) });
  }
  return { annotations, otherLines };
}

function unescaped(text: string, more: Record<string, string> = {}): string {
  const meanings: Record<string, string> = { "%25": "%", "%0D": "\r", "%0A": "\n", ...more };
  return text.replace(/%[0-9A-F]{2}/g, (code) => meanings[code] ?? code);
}
