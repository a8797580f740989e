import type { Book } from "../book/book.ts";
import type { CarrierHistory } from "../book/carrier-history.ts";
import type { CrewHistory } from "../book/crew-history.ts";
import type { FieldHistory } from "../book/field-history.ts";
import type { Level, RecordPlace, RelatedPlace, Suggestion } from "../records/finding.ts";
import type { FactRecord } from "../records/record.ts";
import type { FileKind } from "../schema/kinds.ts";

/** What a rule says of one place; the engine adds the code and the level. */
export interface Report {
  readonly place: RecordPlace;
  readonly message: string;
  readonly related?: readonly RelatedPlace[];
  readonly suggestion?: Suggestion;
  /** It tells of the check itself, which cannot be made, and not of the records. */
  readonly isAboutItself?: boolean;
}

export type Reporter = (report: Report) => void;

interface RuleHead {
  /** `group/name`, as the file's own path says. */
  readonly code: string;
  /** The level where the book sets none. */
  readonly level: Level | "off";
  /** The region's figures that it compares with, or whole groups of them, by their paths. */
  readonly figures?: readonly string[];
  /** Of a check that is a region's own: where it comes from. */
  readonly source?: string;
}

/**
 * A rule states what it looks at, and is asked again only when that has changed.
 * - `record`: one record of the kinds named, with the book's ids, season and region.
 * - `field`: everything known of one field: its record, crops, visits, samples.
 * - `carrier`: every stay and clean-down of one carrier.
 * - `crew`: every visit of one member of the crew.
 */
export type Rule = RecordRule | FieldRule | CarrierRule | CrewRule | BuiltInRule | CombinedRule;

export interface RecordRule<K extends FileKind = FileKind> extends RuleHead {
  readonly scope: "record";
  readonly kinds: readonly K[];
  check(record: FactRecord<K>, book: Book, report: Reporter): void;
}

export interface FieldRule extends RuleHead {
  readonly scope: "field";
  check(field: FieldHistory, book: Book, report: Reporter): void;
}

export interface CarrierRule extends RuleHead {
  readonly scope: "carrier";
  check(carrier: CarrierHistory, book: Book, report: Reporter): void;
}

export interface CrewRule extends RuleHead {
  readonly scope: "crew";
  check(crew: CrewHistory, book: Book, report: Reporter): void;
}

/** Found while the file is read (its text, its keys, its comments), not asked of a record afterwards. */
export interface BuiltInRule extends RuleHead {
  readonly scope: "reading";
}

/** One code that looks at things of several kinds. */
export interface CombinedRule extends RuleHead {
  readonly scope: "combined";
  readonly parts: readonly RulePart[];
}

export type RulePart = RecordRule | FieldRule | CarrierRule | CrewRule;

export function combinedRule(rule: Omit<CombinedRule, "scope">): CombinedRule {
  return { ...rule, scope: "combined" };
}

export function recordRule<K extends FileKind>(rule: Omit<RecordRule<K>, "scope">): RecordRule {
  return { ...rule, scope: "record" } as unknown as RecordRule;
}

export function fieldRule(rule: Omit<FieldRule, "scope">): FieldRule {
  return { ...rule, scope: "field" };
}

export function carrierRule(rule: Omit<CarrierRule, "scope">): CarrierRule {
  return { ...rule, scope: "carrier" };
}

export function crewRule(rule: Omit<CrewRule, "scope">): CrewRule {
  return { ...rule, scope: "crew" };
}

export function readingRule(rule: Omit<BuiltInRule, "scope">): BuiltInRule {
  return { ...rule, scope: "reading" };
}
