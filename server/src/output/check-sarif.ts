import type { Level } from "../records/finding.ts";
import type { Rule } from "../rules/rule.ts";
import type { PublishedRelated } from "../rules/publish.ts";
import { printable } from "./printable.ts";
import { readRulePage } from "./rule-page-parts.ts";
import type { CheckReport, ReportedFinding } from "./report.ts";
import { relativeUri } from "./relative-uri.ts";

/** What describes the program and its checks; the same for every report. */
export interface SarifTool {
  readonly version: string;
  readonly rules: readonly Rule[];
  /** The rules' pages by code, in Markdown. */
  readonly pages: Readonly<Record<string, string>>;
}

const SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/os/schemas/sarif-schema-2.1.0.json";
const SARIF_LEVELS: Readonly<Record<Level | "off", string>> = {
  off: "none",
  error: "error",
  warning: "warning",
  information: "note",
  hint: "note",
};
/** By this name services know the folder that paths are told from: the root of the sources. */
const ROOT = "%SRCROOT%";

/**
 * The findings as SARIF 2.1.0 (https://docs.oasis-open.org/sarif/sarif/v2.1.0/sarif-v2.1.0.html), for services that show
 * findings in a review. Lines and columns count from 1, columns in UTF-16 code units, and a range's end lies behind it.
 */
export function checkSarif({ findings, asOf, baseline }: CheckReport, tool: SarifTool): string {
  const ruleIndexes = new Map(tool.rules.map((rule, index) => [rule.code, index]));
  const run = {
    tool: {
      driver: { name: "Spadework", version: tool.version, rules: tool.rules.map((rule) => ruleSarif(rule, tool)) },
    },
    columnKind: "utf16CodeUnits",
    originalUriBaseIds: { [ROOT]: { description: { text: "The folder that the paths are told from." } } },
    results: findings.map((finding) => resultSarif(finding, ruleIndexes.get(finding.code))),
    properties: { asOf, ...(baseline && { knownFindingsLeftOut: baseline.known }) },
  };
  return `${JSON.stringify({ $schema: SCHEMA, version: "2.1.0", runs: [run] }, null, 2)}\n`;
}

function ruleSarif({ code, level }: Rule, { pages }: SarifTool): object {
  const page = readRulePage(Object.hasOwn(pages, code) ? pages[code]! : "");
  return {
    id: code,
    shortDescription: { text: page.summary },
    fullDescription: { text: [page.summary, page.section("What it looks at")].filter((part) => part !== "").join(" ") },
    help: { text: page.plainText, markdown: page.markdown },
    defaultConfiguration: { level: SARIF_LEVELS[level] },
  };
}

function resultSarif(finding: ReportedFinding, ruleIndex: number | undefined): object {
  const { code, level, message, record, place, related } = finding;
  const path = [record.kind, record.id, place].filter((part) => part !== "").join("/");
  return {
    ruleId: code,
    ...(ruleIndex !== undefined && { ruleIndex }),
    level: SARIF_LEVELS[level],
    message: { text: messageText(message) },
    locations: [
      {
        physicalLocation: physicalLocation(finding),
        logicalLocations: [{ name: printable(record.id || record.kind), fullyQualifiedName: printable(path) }],
      },
    ],
    ...(related.length > 0 && {
      relatedLocations: related.map((one, id) => ({
        id,
        physicalLocation: physicalLocation(one),
        message: { text: messageText(one.message) },
      })),
    }),
    partialFingerprints: { "spadeworkFinding/v1": finding.fingerprint },
    ...(finding.sources.length > 0 && {
      properties: {
        sources: finding.sources.map(({ figures, source }) => ({
          figures: figures.map(printable),
          source: printable(source),
        })),
      },
    }),
  };
}

function physicalLocation({ file, range: { start, end } }: Pick<PublishedRelated, "file" | "range">): object {
  return {
    artifactLocation: { uri: relativeUri(file), uriBaseId: ROOT },
    region: {
      startLine: start.line + 1,
      startColumn: start.character + 1,
      endLine: end.line + 1,
      endColumn: end.character + 1,
    },
  };
}

/**
 * In SARIF's messages `[text](place)` is a link and `{0}` a place holder (3.11.5 and 3.11.6). Words from the records are
 * neither: a backslash and a doubled brace say so.
 */
function messageText(text: string): string {
  return printable(text)
    .replace(/\](?=\()/g, "\\]")
    .replace(/\{(\d+)\}/g, "{{$1}}");
}
