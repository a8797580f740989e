import { strict as assert } from "node:assert";
import { parseDay } from "../../server/src/base/days.ts";
import { openBook, type OpenedBook } from "../../server/src/book/open-book.ts";
import { runRules } from "../../server/src/rules/engine.ts";
import { publish, type PublishedFinding } from "../../server/src/rules/publish.ts";
import { RULES } from "../../server/generated/rules.ts";
import { parseFixture, type Fixture, type Mark } from "./fixture.ts";

/** The only place where tests call the checker: a refactor of its interface changes this file alone. */
export function findingsOf(fixture: Fixture): PublishedFinding[] {
  const opened = openFixture(fixture);
  return publish(opened, runRules(opened.book, RULES), RULES);
}

export function openFixture(fixture: Fixture): OpenedBook {
  const sources = [...fixture.files].map(([path, text]) => ({ path, text }));
  return openBook(sources, {
    asOf: parseDay(fixture.asOf)!,
    today: parseDay(fixture.today)!,
    allSeasons: fixture.allSeasons,
  });
}

interface CheckOptions {
  /** Look only at findings whose code this accepts; the default is all of them. */
  readonly only?: (code: string) => boolean;
  readonly withBasics?: boolean;
}

/** Checks that a book has exactly the findings that are underlined in it. */
export function check(source: string, { only = () => true, withBasics = true }: CheckOptions = {}): PublishedFinding[] {
  const fixture = parseFixture(source, { withBasics });
  const findings = findingsOf(fixture).filter((finding) => only(finding.code));
  const found = findings.map((finding) => describeFinding(finding)).sort();
  const marks = fixture.marks.filter((mark) => only(mark.code));
  const expected = marks.map((mark) => describeMark(mark)).sort();
  const messages = findings.map((finding) => `${describeFinding(finding)} ${finding.message}`).join("\n");
  assert.deepEqual(found, expected, `findings are not those underlined; found:\n${messages || "(nothing)"}\n`);
  for (const mark of marks) {
    const same = findings.filter((finding) => describeFinding(finding) === describeMark(mark));
    assert.ok(
      same.some((finding) => finding.message.includes(mark.message)),
      `${mark.code}: "${mark.message}" is not in "${same.map((finding) => finding.message).join('" or "')}"`,
    );
    if (mark.hasFix)
      assert.ok(
        same.some((finding) => finding.suggestion),
        `${mark.code}: no fix is offered`,
      );
  }
  return findings;
}

function describeFinding({ file, range, level, code }: PublishedFinding): string {
  const width = range.start.line === range.end.line ? range.end.character - range.start.character : "more lines";
  return `${file}:${range.start.line + 1}:${range.start.character + 1} (${width}) ${level} ${code}`;
}

function describeMark({ file, line, character, width, level, code }: Mark): string {
  return `${file}:${line + 1}:${character + 1} (${width}) ${level} ${code}`;
}
