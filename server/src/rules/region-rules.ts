import { formatDay } from "../base/days.ts";
import { codeText, markdownText, oneLine } from "../base/safe-text.ts";
import { capitalised } from "../base/words.ts";
import type { Book } from "../book/book.ts";
import { dayOfRecord } from "../book/dates.ts";
import { fieldIdOfRecord } from "../book/references.ts";
import { LEVELS, type Level, type RecordPlace } from "../records/finding.ts";
import { isKind, type FactRecord } from "../records/record.ts";
import { celFacts, type CelFacts } from "../schema/cel/cel-values.ts";
import { isRecordKind, type SchemaKind } from "../schema/kinds.ts";
import type { RegionOwnCheck } from "../schema/region-checks.ts";
import type { ResolvedRegion } from "../schema/region.ts";
import { recordRule, type Rule } from "./rule.ts";

/** Under this code a check that cannot be worked out is told, in the pack that gives it. */
export const BROKEN_CHECK = "structure/schema";

const known = new WeakMap<ResolvedRegion, readonly Rule[]>();
const NONE: readonly Rule[] = [];

/** The checks that a book's region adds, as rules like all others. */
export function regionRules({ resolvedRegion }: Book): readonly Rule[] {
  if (resolvedRegion.checks.length === 0) return NONE;
  let rules = known.get(resolvedRegion);
  if (!rules) known.set(resolvedRegion, (rules = resolvedRegion.checks.map(ruleOf)));
  return rules;
}

/** The rules that come with Spadework and those of the book's region. */
export function withRegionRules(rules: readonly Rule[], book: Book): readonly Rule[] {
  const own = regionRules(book);
  return own.length === 0 ? rules : [...rules, ...own];
}

function ruleOf(check: RegionOwnCheck): Rule {
  return recordRule({
    code: check.code,
    // A check that its pack turns off is made where a book turns it on.
    level: LEVELS.includes(check.level as Level) ? (check.level as Level) : "off",
    kinds: [check.on],
    ...(check.source !== undefined && { source: check.source }),
    check(record, book, report) {
      if (!isLookedAtByRegion(record, book)) return;
      const scope = scopeOf(record, book);
      const answer = check.expression.holds(scope);
      if (answer === false) return;
      if (answer === true) {
        const pointer = check.at === undefined ? [] : [check.at];
        report({
          place: { record, pointer, part: check.at === undefined ? "key" : "value" },
          message: check.says.text(scope),
        });
        return;
      }
      const place = placeOfCheck(check, book);
      if (!place) return;
      const name = record.id === "" ? "a record without an id" : `"${oneLine(record.id, 60)}"`;
      report({
        isAboutItself: true,
        place,
        message: `the expression of ${check.code} ${answer}`,
        related: [{ place: { record, pointer: [], part: "key" }, message: `first at ${name}` }],
      });
    },
  });
}

/** Records that are dated count once they have happened, and in the season that is looked at; others always. */
export function isLookedAtByRegion(record: FactRecord, book: Book): boolean {
  const isDated = isKind(record, "visits") || isKind(record, "cleanings") || isKind(record, "samples");
  return !isDated || (book.hasHappened(record) && book.isInSight(record));
}

const NOTHING = {};

function scopeOf(record: FactRecord, book: Book): Parameters<RegionOwnCheck["expression"]["holds"]>[0] {
  const fieldId = fieldIdOfRecord(record);
  const field = fieldId ? book.record("fields", fieldId) : undefined;
  const day = dayOfRecord(record);
  const facts = (of: object, kind: SchemaKind): CelFacts => celFacts(of, book.formats[kind]);
  return {
    record: facts(record.facts, record.kind as SchemaKind),
    field: facts(field?.facts ?? NOTHING, "fields"),
    book: facts(book.season, "season"),
    region: facts(figuresOf(book.resolvedRegion), "region"),
    season: day === undefined ? (book.seasonYear ?? 0) : book.seasonOfDay(day),
    asOf: formatDay(book.asOf),
  };
}

const figures = new WeakMap<ResolvedRegion, object>();

/** What a pack says of the region, without what it says of records and checks. */
function figuresOf(region: ResolvedRegion): object {
  let found = figures.get(region);
  if (!found) {
    const { records: _records, checks: _checks, examples: _examples, sources: _sources, ...rest } = region.pack;
    figures.set(region, (found = rest));
  }
  return found;
}

/** Where the expression stands; for a shipped pack, where the book asks for the pack. */
function placeOfCheck({ pack, isShipped, index }: RegionOwnCheck, book: Book): RecordPlace | undefined {
  const file = isShipped ? book.files.find(({ kind }) => kind === "season") : book.file(pack);
  const record = file?.entries[0]?.body.record;
  return record && { record, pointer: isShipped ? ["region"] : ["checks", index, "when"], part: "value" };
}

/** The page of each check of the book's region, in Markdown, as the shipped rules have theirs. */
export function regionRulePages({ resolvedRegion }: Book): Readonly<Record<string, string>> {
  return pagesOfRegion(resolvedRegion);
}

export function pagesOfRegion(region: ResolvedRegion): Readonly<Record<string, string>> {
  const pages = Object.create(null) as Record<string, string>;
  for (const check of region.checks) pages[check.code] = pageOf(check, region);
  return pages;
}

function pageOf({ code, on, message, when, source, pack }: RegionOwnCheck, { chain }: ResolvedRegion): string {
  const title = chain.find(({ name }) => name === pack)?.pack.title;
  const from = title === undefined ? codeText(pack) : `${markdownText(title)} (${codeText(pack)})`;
  return [
    `# ${code}`,
    markdownText(`${capitalised(message)}.`, 400),
    "## What it looks at",
    `${isRecordKind(on) ? capitalised(on) : on} for which this holds: ${codeText(when)}`,
    "## Where it comes from",
    `The region pack ${from}.`,
    `Source: ${source === undefined ? "none is named" : markdownText(source, 400)}`,
    "",
  ].join("\n\n");
}
