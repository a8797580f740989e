import { strict as assert } from "node:assert";
import { readdirSync, readFileSync } from "node:fs";
import { join, relative, sep } from "node:path";
import { RULES } from "../../server/generated/rules.ts";
import { parseDay } from "../../server/src/base/days.ts";
import { LineIndex } from "../../server/src/base/line-index.ts";
import { applyEdits, type TextEdit } from "../../server/src/base/text.ts";
import { openBook, type OpenedBook } from "../../server/src/book/open-book.ts";
import { fixAll, fixAllOffers, quickFixes, type QuickFix } from "../../server/src/features/code-actions.ts";
import { contextOf } from "../../server/src/features/context.ts";
import { fileKind } from "../../server/src/schema/kinds.ts";
import { runRules } from "../../server/src/rules/engine.ts";
import { publish, type PublishedFinding } from "../../server/src/rules/publish.ts";
import { makeBook } from "../bench/make-book.mjs";

const AS_OF = parseDay("2026-10-31")!;

type Texts = ReadonlyMap<string, string>;
interface Checked {
  readonly texts: Texts;
  readonly opened: OpenedBook;
  readonly findings: readonly PublishedFinding[];
}

function checked(texts: Texts, before?: OpenedBook): Checked {
  const sources = [...texts].map(([path, text]) => ({ path, text }));
  const known = new Map(before?.book.files.map((file) => [file.path, file]));
  const opened = openBook(sources, { asOf: AS_OF, today: AS_OF, allSeasons: false }, known);
  return { texts, opened, findings: publish(opened, runRules(opened.book, RULES), RULES) };
}

function sampleWorkspace(): Texts {
  const root = join(import.meta.dirname, "../../sample-workspace");
  const paths = readdirSync(root, { recursive: true, encoding: "utf8" }).map((path) =>
    relative(root, join(root, path)).split(sep).join("/"),
  );
  return new Map(paths.filter((path) => fileKind(path)).map((path) => [path, readFileSync(join(root, path), "utf8")]));
}

/** What a finding says, without the place that an edit above it moves. */
function nameOf({ code, file, record, message }: PublishedFinding): string {
  return [code, file, record.kind, record.id, message].join(" | ");
}

function counted(names: readonly string[]): Map<string, number> {
  const counts = new Map<string, number>();
  for (const name of names) counts.set(name, (counts.get(name) ?? 0) + 1);
  return counts;
}

/** Whether a text is another one with stretches replaced; told from the edits' spans alone. */
function assertOutsideIsKept(before: string, after: string, edits: readonly TextEdit[], what: string): void {
  const ordered = [...edits].sort((a, b) => a.span.start - b.span.start);
  let [at, moved] = [0, 0];
  for (const { span, newText } of ordered) {
    assert.equal(after.slice(at + moved, span.start + moved), before.slice(at, span.start), what);
    moved += newText.length - (span.end - span.start);
    at = span.end;
  }
  assert.equal(after.slice(at + moved), before.slice(at), what);
}

function recordsOf({ opened }: Checked): Map<string, number> {
  return counted(
    opened.book.files.flatMap((file) =>
      file.entries.map(({ body }) => `${file.path} ${JSON.stringify(body.record.facts)}`),
    ),
  );
}

function offsetOf({ texts }: Checked, { file, range }: PublishedFinding): number {
  return new LineIndex(texts.get(file)!).offset(range.start);
}

/** Where a finding would stand after the fix. */
function placeAfter(before: Checked, fix: QuickFix, finding: PublishedFinding): number {
  const start = offsetOf(before, finding);
  const above = (fix.edit.get(finding.file) ?? []).filter(({ span }) => span.end <= start);
  return above.reduce((at, { span, newText }) => at + newText.length - (span.end - span.start), start);
}

function apply(before: Checked, fix: QuickFix, lineEnding: string): Checked {
  const texts = new Map(before.texts);
  for (const [path, edits] of fix.edit) {
    const text = texts.get(path);
    assert.equal(text === undefined, fix.newFiles.includes(path), `${fix.title}: whether ${path} is new`);
    const after = applyEdits(text ?? "", edits);
    assertOutsideIsKept(text ?? "", after, edits, fix.title);
    if (text !== undefined)
      assert.equal(/(?<!\r)\n/.test(after), lineEnding === "\n", `${fix.title}: line endings of ${path}`);
    texts.set(path, after);
  }
  return checked(texts, before.opened);
}

function assertMends(before: Checked, fix: QuickFix, lineEnding: string): void {
  const after = apply(before, fix, lineEnding);
  const what = `${fix.title} (${fix.findings.map(nameOf).join("; ")})`;
  const structure = (one: Checked): string[] =>
    one.findings.filter(({ code }) => code.startsWith("structure/")).map(nameOf);
  const known = new Set(structure(before));
  // What is said of a record that got another id is said of that id.
  const newId = /^Give it a free id: (.+)$/.exec(fix.title)?.[1];
  const asBefore = (name: string): string =>
    newId === undefined ? name : name.replace(` | ${newId} | `, ` | ${fix.findings[0]!.record.id} | `);
  assert.deepEqual(
    structure(after).filter((name) => !known.has(name) && !known.has(asBefore(name))),
    [],
    `${what}: new mistakes`,
  );
  const [was, is] = [before, after].map((one) => counted(one.findings.map(nameOf)));
  const setTo = /^Set (\S+\/\S+) to (error|warning|information) in /.exec(fix.title);
  if (setTo) {
    const levels = after.findings.filter(({ code }) => code === setTo[1]).map(({ level }) => level);
    assert.deepEqual([...new Set(levels)], [setTo[2]], what);
  } else {
    for (const [name, count] of counted(fix.findings.map(nameOf)))
      assert.ok((is!.get(name) ?? 0) <= was!.get(name)! - count, `${what}: still there`);
    for (const finding of fix.findings) {
      const place = placeAfter(before, fix, finding);
      // A clean-down that is missing is not mended by one that falls short.
      const codes =
        finding.code === "cleaning/missing" && !fix.title.startsWith("Accept") && !fix.title.startsWith("Turn")
          ? ["cleaning/missing", "cleaning/incomplete"]
          : [finding.code];
      const there = after.findings.filter(
        (one) => codes.includes(one.code) && one.file === finding.file && offsetOf(after, one) === place,
      );
      assert.deepEqual(
        there.map(({ message }) => message),
        [],
        `${what}: said in other words`,
      );
    }
  }
  // One record changes or comes anew for each finding that is mended; accepting changes none.
  const most = fix.title.startsWith("Accept") ? 0 : fix.findings.length;
  const [old, now] = [recordsOf(before), recordsOf(after)];
  const [lost, gained] = [
    [old, now],
    [now, old],
  ].map(([a, b]) => [...a!].filter(([name, count]) => count > (b!.get(name) ?? 0)));
  assert.ok(lost!.length <= most && gained!.length <= most, `${what}: other records changed`);
  if (fix.placeholder) {
    const { path, span } = fix.placeholder;
    assert.match(after.texts.get(path)!.slice(span.start, span.end), /^write here/, what);
  }
}

/** Tries every fix of every finding; `perCode` bounds how many findings of one check are tried, `only` which checks. */
function tryEveryFix(
  texts: Texts,
  lineEnding: string,
  perCode = Infinity,
  only?: readonly string[],
): { tried: number; codes: Set<string> } {
  const before = checked(texts);
  const seen = new Map<string, number>();
  const allTried = new Set<string>();
  const codes = new Set<string>();
  let tried = 0;
  for (const finding of before.findings) {
    const times = seen.get(finding.code) ?? 0;
    seen.set(finding.code, times + 1);
    if (times >= perCode || (only && !only.includes(finding.code))) continue;
    const context = contextOf(before.opened, finding.file)!;
    const ofFile = before.findings.filter(({ file }) => file === finding.file);
    const all = fixAllOffers([finding], ofFile).flatMap(({ code }) => fixAll(context, code, ofFile) ?? []);
    const fixes = [...quickFixes(context, finding), ...all];
    for (const fix of fixes) {
      const isAll = fix.kind === "fix all";
      if (isAll && allTried.has(`${finding.code} ${finding.file}`)) continue;
      if (isAll) allTried.add(`${finding.code} ${finding.file}`);
      // A level is set in one file for all findings: once for each check is enough.
      if (/ in season\.yaml$/.test(fix.title) && times > 0) continue;
      assertMends(before, fix, lineEnding);
      if (fix.isPreferred || isAll) codes.add(`${finding.code}${isAll ? " all" : ""}`);
      tried++;
    }
  }
  return { tried, codes };
}

function withCrLf(texts: Texts): Texts {
  return new Map([...texts].map(([path, text]) => [path, text.replaceAll("\n", "\r\n")]));
}

/** The second visit or cleaning of each file has the id of the first; comments that accept nothing stand above and behind keys. */
function withSlips(texts: Texts): Texts {
  return new Map(
    [...texts].map(([path, text]) => {
      const records = text.split(/^(?= {2}- )/m);
      const [first, second] = records.slice(1, 3).map((record) => /\bid: ([^\s,]+)/.exec(record)?.[1]);
      if (!/\.(visits|cleanings)\.yaml$/.test(path) || !first || !second) return [path, text];
      records[2] = records[2]!.replace(`id: ${second}`, `id: ${first}`);
      const slipped = records.map((record, i) => {
        const lines = record.split("\n");
        if (i % 4 === 1) lines.splice(1, 0, "    # accept entry/wet-ground: dry by noon");
        if (i % 4 === 3) lines[0] += " # accept structure/time-order: the watch was slow";
        return lines.join("\n");
      });
      return [path, slipped.join("")];
    }),
  );
}

describe("every quick fix leaves the bytes around it, brings no mistake, and mends its finding", () => {
  it("over the sample season", () => {
    const { tried, codes } = tryEveryFix(sampleWorkspace(), "\n");
    assert.ok(tried > 50, `only ${tried} fixes were offered`);
    for (const code of [
      "cleaning/missing",
      "cleaning/incomplete",
      "scouting/galls-not-sampled",
      "structure/unknown-id",
      "structure/unknown-key",
    ]) {
      assert.ok(codes.has(code), `nothing mends ${code}; mended: ${[...codes].join(", ")}`);
    }
  });
  it("over the sample season with CRLF", () => {
    assert.ok(tryEveryFix(withCrLf(sampleWorkspace()), "\r\n", 3).tried > 50);
  });
  for (const [name, change] of [
    ["LF", (texts: Texts) => texts],
    ["CRLF", withCrLf],
  ] as const)
    it(`over the sample season with ids given twice and comments that accept nothing, ${name}`, () => {
      const only = ["structure/duplicate-id", "structure/accept-unused"];
      const { codes } = tryEveryFix(change(withSlips(sampleWorkspace())), name === "LF" ? "\n" : "\r\n", 8, only);
      for (const code of [...only, "structure/accept-unused all"])
        assert.ok(codes.has(code), `nothing mends ${code}; mended: ${[...codes].join(", ")}`);
    });
  for (const [seed, files] of [
    [1, "month"],
    [2, "year"],
    [3, "month"],
  ] as const) {
    it(`over a made-up book (seed ${seed}, a file a ${files})`, () => {
      const texts = makeBook({ fields: 8, years: 2, visits: 6, seed, files });
      const { tried, codes } = tryEveryFix(texts, "\n", 6);
      assert.ok(tried > 20, `only ${tried} fixes were offered`);
      for (const code of ["cleaning/missing", "cleaning/incomplete"])
        assert.ok(codes.has(code), `nothing mends ${code}; mended: ${[...codes].join(", ")}`);
    });
  }
});
