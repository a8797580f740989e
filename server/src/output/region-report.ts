import type { Range } from "../base/text.ts";
import { closest } from "../base/closest.ts";
import { byCodeUnits } from "../base/code-units.ts";
import { openBook, type OpenedBook } from "../book/open-book.ts";
import type { Level } from "../records/finding.ts";
import { isKind } from "../records/record.ts";
import { rangeOfPlace } from "../records/places.ts";
import { runRules } from "../rules/engine.ts";
import { publish } from "../rules/publish.ts";
import { packsWithoutExamples, runExample, type ExampleResult } from "../rules/region-examples.ts";
import { withRegionRules } from "../rules/region-rules.ts";
import type { Rule } from "../rules/rule.ts";
import type { RegionPack } from "../schema/facts.ts";
import { meantFileName } from "../schema/kinds.ts";
import { figurePaths, figureSources } from "../schema/merge-packs.ts";
import { addedKeyList, figureChanges, type AddedKey, type FigureChange } from "./region-changes.ts";

/** Something wrong with a region pack, at its place. */
export interface PackFinding {
  /** A pack of the chain, from the folder that paths are told from. */
  readonly file: string;
  readonly range: Range;
  readonly level: Level;
  readonly message: string;
}

/** Everything that there is to say of a region pack by itself. */
export interface RegionReport {
  readonly file: string;
  readonly region: string;
  readonly title: string;
  /** The packs it rests on, the nearest first. */
  readonly parents: readonly string[];
  readonly problems: readonly PackFinding[];
  /** What it says otherwise than its parent, by path. */
  readonly changes: readonly FigureChange[];
  readonly unknown: readonly { readonly path: string; readonly reason: string }[];
  readonly added: readonly AddedKey[];
  readonly checks: NonNullable<RegionPack["checks"]>;
  readonly levels: readonly { readonly code: string; readonly level: string }[];
  readonly examples: readonly ExampleResult[];
}

export interface RegionAsked {
  /** The pack's path, and the texts of it and of all packs it rests on that are files, by path. */
  readonly file: string;
  readonly packs: ReadonlyMap<string, string>;
  readonly rules: readonly Rule[];
  readonly today: number;
}

const MOST_EXAMPLES = 200;

/** Looks at a pack: what is wrong in it, where its figures come from, what its examples come to, what it changes. */
export function regionReport({ file, packs, rules, today }: RegionAsked): RegionReport {
  const season = { path: "season.yaml", text: `season: 2000\nregion: ${JSON.stringify(file)}\n` };
  const sources = [season, ...[...packs].map(([path, text]) => ({ path, text }))];
  const opened = openBook(sources, { asOf: today, today, allSeasons: false });
  const { chain } = opened.book.resolvedRegion;
  const record = opened.book.file(file)?.entries[0]?.body.record;
  const pack = record && isKind(record, "region") ? record.facts : {};
  const setting = { pack: file, packs: packsWithoutExamples(packs), name: pack.region, rules, today };
  const examples = (pack.examples ?? []).slice(0, MOST_EXAMPLES).map((example) => runExample(example, setting));
  const codes = withRegionRules(rules, opened.book).map(({ code }) => code);
  const place = placer(opened, file);
  const told = publish(opened, runRules(opened.book, rules), rules)
    .filter((finding) => packs.has(finding.file))
    .map(({ file: path, range, level, message }): PackFinding => ({ file: path, range, level, message }));
  if ((pack.examples?.length ?? 0) > MOST_EXAMPLES)
    told.push(
      place(["examples", MOST_EXAMPLES], "value", "error", `${MOST_EXAMPLES} examples are looked at, and no more`),
    );
  const problems = [...told, ...sourceProblems(pack, place), ...exampleProblems(examples, codes, place)];
  return {
    file,
    region: pack.region ?? "",
    title: pack.title ?? "",
    parents: chain
      .slice(0, -1)
      .map(({ name }) => name)
      .reverse(),
    problems: problems.sort(
      (a, b) =>
        byCodeUnits(a.file, b.file) ||
        a.range.start.line - b.range.start.line ||
        a.range.start.character - b.range.start.character ||
        byCodeUnits(a.message, b.message),
    ),
    changes: figureChanges(chain),
    unknown: Object.entries(pack.unknown ?? {})
      .map(([path, reason]) => ({ path, reason }))
      .sort((a, b) => byCodeUnits(a.path, b.path)),
    added: addedKeyList(chain),
    checks: (pack.checks ?? []).filter(({ code, when, message }) => code && when && message),
    levels: Object.entries(pack.rules ?? {})
      .map(([code, level]) => ({ code, level: String(level) }))
      .sort((a, b) => byCodeUnits(a.code, b.code)),
    examples,
  };
}

type Place = (
  pointer: readonly (string | number)[],
  part: "key" | "value",
  level: Level,
  message: string,
) => PackFinding;

function placer({ book }: OpenedBook, path: string): Place {
  const file = book.file(path)!;
  return (pointer, part, level, message) => ({
    file: path,
    range: rangeOfPlace(file, 0, pointer, part),
    level,
    message,
  });
}

const NO_SOURCE = 'name a published source, or write "common practice, no source" or "from memory"';

/** Every figure of a pack has a source, and every source belongs to a figure. */
function sourceProblems(pack: RegionPack, place: Place): PackFinding[] {
  const found: PackFinding[] = [];
  const figures = figurePaths(pack);
  for (const [path, { source }] of figureSources([pack]))
    if (!source)
      found.push(place(pointerOf(path, pack), "key", "error", `${path} has no source; ${NO_SOURCE} under sources`));
  for (const path of Object.keys(pack.sources ?? {})) {
    if (figures.some((figure) => figure === path || figure.startsWith(`${path}.`))) continue;
    const meant = closest(path, figures);
    const advice = meant === undefined ? "take it out, or give the figure" : `did you mean ${meant}?`;
    found.push(place(["sources", path], "key", "warning", `this pack gives no figure "${path}"; ${advice}`));
  }
  for (const [i, { code, source }] of (pack.checks ?? []).entries())
    if (code && !source)
      found.push(place(["checks", i, "code"], "value", "warning", `${code} has no source; ${NO_SOURCE} under source`));
  return found;
}

/** The keys of a path with dots; keys of a pack have none themselves. */
function pointerOf(path: string, pack: RegionPack): string[] {
  const steps = path.split(".");
  return Object.hasOwn(pack, steps[0]!) ? steps : [];
}

function exampleProblems(examples: readonly ExampleResult[], codes: readonly string[], place: Place): PackFinding[] {
  return examples.flatMap(({ missing, unwanted, said, strays, unknown, troubles, found }, i) => {
    const at = (key: string): (string | number)[] => ["examples", i, key];
    const also = found.length === 0 ? "nothing is found" : `found are ${found.join(", ")}`;
    const mistyped = new Set(unknown.map(({ code }) => code));
    return [
      ...unknown.map(({ code, pointer }) => {
        const meant = closest(code, codes);
        return place(
          ["examples", i, ...pointer],
          "value",
          "error",
          `there is no check called "${code}"${meant === undefined ? "; spadework explain lists them" : `; did you mean "${meant}"?`}`,
        );
      }),
      ...missing
        .filter((code) => !mistyped.has(code))
        .map((code) => place(at("expect"), "key", "error", `this example must give ${code}, and does not; ${also}`)),
      ...unwanted.map((code) =>
        place(at("never"), "key", "error", `this example must not give ${code}, and does: ${said.get(code) ?? ""}`),
      ),
      ...strays.map((path) => {
        const meant = meantFileName(path);
        return place(
          ["examples", i, "files", path],
          "key",
          "warning",
          `"${path}" is no part of a record book by its name${meant === undefined ? "; end it for example with .visits.yaml" : `; did you mean "${meant}"?`}`,
        );
      }),
      ...troubles.map((message) => place(at("name"), "value", "error", `in this example ${message}`)),
    ];
  });
}

/** Whether the pack is fit to be used: warnings are for its author to weigh. */
export function isSound({ problems }: RegionReport): boolean {
  return problems.every(({ level }) => level !== "error");
}
