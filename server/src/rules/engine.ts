import { NEVER_CANCELLED, throwIfCancelled, type CancellationSignal } from "../base/cancellation.ts";
import type { Book } from "../book/book.ts";
import { LEVELS, type Finding, type Level } from "../records/finding.ts";
import type { FactRecord } from "../records/record.ts";
import type { FileKind } from "../schema/kinds.ts";
import { BROKEN_CHECK, withRegionRules } from "./region-rules.ts";
import type { Reporter, Rule, RulePart } from "./rule.ts";

/** The level a rule has in a book: the book's own word, else the region's, else the rule's. */
export function levelOf(rule: Pick<Rule, "code" | "level">, book: Book): Level | "off" {
  const asked = ownValue(book.season.rules, rule.code) ?? ownValue(book.region.rules, rule.code);
  return asked === "off" || LEVELS.includes(asked as Level) ? (asked as Level | "off") : rule.level;
}

/**
 * Asks every rule of everything it looks at. Findings come in no order to rely on: publishing sorts them by place.
 */
export function runRules(book: Book, rules: readonly Rule[], signal: CancellationSignal = NEVER_CANCELLED): Finding[] {
  const findings: Finding[] = [];
  const active = withRegionRules(rules, book).flatMap((rule) => {
    const level = levelOf(rule, book);
    if (level === "off") return [];
    const report = reporter(rule.code, level, book, (finding) => findings.push(finding));
    return partsOf(rule).map((part) => ({ rule: part, report }));
  });
  const byKind = new Map<FileKind, typeof active>();
  for (const one of active) {
    if (one.rule.scope !== "record") continue;
    for (const kind of one.rule.kinds) byKind.set(kind, [...(byKind.get(kind) ?? []), one]);
  }
  for (const file of book.files) {
    throwIfCancelled(signal);
    const asked = byKind.get(file.kind);
    if (!asked) continue;
    for (const {
      body: { record },
    } of file.entries) {
      for (const { rule, report } of asked) if (rule.scope === "record") rule.check(record as FactRecord, book, report);
    }
  }
  const [fields, carriers, crew] = [book.fieldIds(), book.carrierIds(), book.crewIds()];
  for (const { rule, report } of active) {
    throwIfCancelled(signal);
    if (rule.scope === "field") for (const id of fields) rule.check(book.fieldHistory(id), book, report);
    else if (rule.scope === "carrier") for (const id of carriers) rule.check(book.carrierHistory(id), book, report);
    else if (rule.scope === "crew") for (const id of crew) rule.check(book.crewHistory(id), book, report);
  }
  return findings;
}

export function partsOf(rule: Rule): readonly RulePart[] {
  if (rule.scope === "reading") return [];
  return rule.scope === "combined" ? rule.parts : [rule];
}

/** What a rule is handed to report with: adds the code and the level. */
export function reporter(code: string, level: Level, book: Book, into: (finding: Finding) => void): Reporter {
  return ({ place, message, related = [], suggestion, isAboutItself }) => {
    if (!isAboutItself) return into({ code, level, place, message, related, ...(suggestion && { suggestion }) });
    const ofPack = levelOf({ code: BROKEN_CHECK, level: "error" }, book);
    if (ofPack !== "off") into({ code: BROKEN_CHECK, level: ofPack, place, message, related });
  };
}

/** Only what the map holds itself: a rule named like something every object has must not find that. */
function ownValue(map: Readonly<Record<string, string>> | undefined, key: string): string | undefined {
  return map && Object.hasOwn(map, key) ? map[key] : undefined;
}
