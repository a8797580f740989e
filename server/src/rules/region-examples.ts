import { formatDay, parseDay } from "../base/days.ts";
import { openBook } from "../book/open-book.ts";
import type { RegionExample } from "../schema/facts.ts";
import { runRules } from "./engine.ts";
import { publish } from "./publish.ts";
import { withRegionRules } from "./region-rules.ts";
import type { Rule } from "./rule.ts";
import { fileKind } from "../schema/kinds.ts";
import { applyEdits } from "../base/text.ts";
import { insertEntry, replaceScalar } from "../syntax/edits.ts";
import { parseText } from "../syntax/parse.ts";
import { keyName, nodeAt } from "../syntax/tree-queries.ts";

/** What an example of a region pack came to. */
export interface ExampleResult {
  readonly name: string;
  readonly asOf: string;
  /** Every code that is found in it, in order. */
  readonly found: readonly string[];
  /** Codes that must be found and are not; and those that must not be and are. */
  readonly missing: readonly string[];
  readonly unwanted: readonly string[];
  /** What is said where a code is found first, by code. */
  readonly said: ReadonlyMap<string, string>;
  /** Its files that are no part of a record book by their names. */
  readonly strays: readonly string[];
  /** Codes that it names and no check has, with where they stand in the example. */
  readonly unknown: readonly { readonly code: string; readonly pointer: readonly (string | number)[] }[];
  /** What could not be worked out in the pack itself while the example was looked at. */
  readonly troubles: readonly string[];
}

export interface ExampleSetting {
  /** The pack's own path, and the texts of it and of all packs it rests on that are files, by path. */
  readonly pack: string;
  readonly packs: ReadonlyMap<string, string>;
  /** The name by which an example's season may ask for the pack. */
  readonly name: string | undefined;
  readonly rules: readonly Rule[];
  /** The day for an example that names none. */
  readonly today: number;
}

const MOST_FILES = 50;

/**
 * The texts of packs for the books of their examples, which have no use for the examples themselves: a pack is read once
 * for each of them.
 */
export function packsWithoutExamples(packs: ReadonlyMap<string, string>): ReadonlyMap<string, string> {
  return new Map([...packs].map(([path, text]) => [path, withoutExamples(text)]));
}

function withoutExamples(text: string): string {
  const { root } = parseText(text);
  const span = root?.type === "map" ? nodeAt(root, ["examples"])?.value?.span : undefined;
  // An anchor in them may be meant elsewhere.
  if (!span || text.slice(span.start, span.end).includes("&")) return text;
  return applyEdits(text, [{ span, newText: " []" }]);
}

/** Looks at the small book of an example as if it were a book of the pack's region. Never throws. */
export function runExample(example: RegionExample, setting: ExampleSetting): ExampleResult {
  const { pack, packs, rules } = setting;
  const day = (example.as_of === undefined ? undefined : parseDay(example.as_of)) ?? setting.today;
  const files = new Map(Object.entries(example.files ?? {}).slice(0, MOST_FILES));
  files.set("season.yaml", seasonOf(files.get("season.yaml"), day, setting));
  for (const [path, text] of packs) if (!files.has(path)) files.set(path, text);
  const sources = [...files].map(([path, text]) => ({ path, text }));
  const opened = openBook(sources, { asOf: day, today: day, allSeasons: false });
  const findings = publish(opened, runRules(opened.book, rules), rules);
  const ofBook = findings.filter(({ file }) => !packs.has(file));
  const found = [...new Set(ofBook.map(({ code }) => code))].sort();
  const known = new Set(withRegionRules(rules, opened.book).map(({ code }) => code));
  const { expect = [], never = [] } = example;
  const said = new Map<string, string>();
  for (const { code, message } of ofBook) if (!said.has(code)) said.set(code, message);
  const named = (key: "expect" | "never", codes: readonly string[]): ExampleResult["unknown"][number][] =>
    codes.flatMap((code, i) => (known.has(code) ? [] : [{ code, pointer: [key, i] }]));
  return {
    name: example.name ?? "",
    asOf: formatDay(day),
    found,
    missing: expect.filter((code) => !found.includes(code)),
    unwanted: never.filter((code) => found.includes(code)),
    said,
    strays: [...files.keys()].filter((path) => fileKind(path) === undefined && !path.endsWith(".geojson")),
    unknown: [...named("expect", expect), ...named("never", never)],
    troubles: findings
      .filter(({ file, message }) => file === pack && message.startsWith("the expression of "))
      .map(({ message }) => message),
  };
}

/** Whether an example comes to what it says. */
export function isAsExpected({ missing, unwanted, unknown, troubles }: ExampleResult): boolean {
  return missing.length + unwanted.length + unknown.length + troubles.length === 0;
}

/** The example's own season with the pack as its region; without one, the season of its day. */
function seasonOf(text: string | undefined, day: number, { pack, name }: ExampleSetting): string {
  if (text === undefined) return `season: ${formatDay(day).slice(0, 4)}\nregion: ${pack}\n`;
  const { root } = parseText(text);
  if (root?.type !== "map") return text;
  const context = root.flow ? "flow" : "block";
  const region = nodeAt(root, ["region"])?.value;
  if (!root.entries.some(({ key }) => keyName(key) === "region"))
    return applyEdits(text, insertEntry(text, root, "region", pack));
  const isPack = region?.type === "scalar" && region.source === name;
  return isPack ? applyEdits(text, replaceScalar(text, region, pack, context)) : text;
}
