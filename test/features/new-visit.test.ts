import { strict as assert } from "node:assert";
import { parseDay, parseMinute } from "../../server/src/base/days.ts";
import { openBook } from "../../server/src/book/open-book.ts";
import { newVisitEdit } from "../../server/src/features/new-visit.ts";
import { seasonSummary } from "../../server/src/features/season-summary.ts";
import { runRules } from "../../server/src/rules/engine.ts";
import { publish } from "../../server/src/rules/publish.ts";
import { RULES } from "../../server/generated/rules.ts";

const common = {
  "season.yaml":
    "season: 2026\nregion: ca-prairies\ncrew:\n  - { id: mo, name: M. Okafor }\n  - { id: jl, name: J. L. }\n",
  "all.fields.yaml":
    "fields:\n" +
    "  - id: long-meadow\n    entrances: [{ id: east }, { id: north, usual: true }]\n" +
    "  - { id: mill-flat, name: Mill Flat }\n",
  "all.equipment.yaml": "equipment:\n  - { id: dig-kit, kind: hand tools }\n",
};
const july =
  "visits:\n" +
  "  - { id: v-0702-long-meadow, field: long-meadow, arrived: 2026-07-02T09:00, purpose: scouting, crew: [jl], equipment: [dig-kit] }\n" +
  "  - { id: v-0720-mill-flat, field: mill-flat, arrived: 2026-07-20T09:00, purpose: spraying, crew: [mo] }\n";

function bookOf(files: Readonly<Record<string, string>>, day = "2026-08-14") {
  const sources = Object.entries({ ...common, ...files }).map(([path, text]) => ({ path, text }));
  return openBook(sources, { asOf: parseDay(day)!, today: parseDay(day)!, allSeasons: false });
}

function visitIn(files: Readonly<Record<string, string>>, now: string, near?: string) {
  const visit = newVisitEdit(bookOf(files, now.slice(0, 10)).book, "long-meadow", parseMinute(now)!, near);
  assert.ok(visit);
  const record = visit.text.slice(visit.span.start, visit.span.end).replace(/\n {4}/g, "\n");
  return { ...visit, record };
}

describe("a new visit", () => {
  it("comes by the usual entrance, with the crew and kit that scouted last, and reads without a finding of structure", () => {
    const { record, path, text, isNewFile } = visitIn({ "a.visits.yaml": july }, "2026-07-21T14:05");
    assert.equal(path, "a.visits.yaml");
    assert.equal(isNewFile, false);
    assert.equal(
      record,
      "id: v-0721-long-meadow\nfield: long-meadow\nentrance: north\narrived: 2026-07-21T14:05\npurpose: scouting\n" +
        "crew: [jl]\nequipment: [dig-kit]",
    );
    const opened = bookOf({ "a.visits.yaml": text });
    const findings = publish(opened, runRules(opened.book, RULES), RULES);
    assert.deepEqual(
      findings.filter(({ code }) => code.startsWith("structure/")),
      [],
    );
    assert.ok(opened.book.record("visits", "v-0721-long-meadow"));
  });

  it("stands after the visits that are not later", () => {
    const { text } = visitIn({ "a.visits.yaml": july }, "2026-07-10T08:00");
    assert.deepEqual(text.match(/v-\d{4}-/g), ["v-0702-", "v-0710-", "v-0720-"]);
  });

  it("goes to the month's file, to the one that is looked at, or to a fellow of the latest", () => {
    const monthly = { "2026/07-july.visits.yaml": july };
    assert.equal(visitIn(monthly, "2026-07-30T08:00").path, "2026/07-july.visits.yaml");
    const { path, isNewFile, text } = visitIn(monthly, "2026-08-02T08:00", "2026/07-july.visits.yaml");
    assert.equal(path, "2026/08-august.visits.yaml");
    assert.ok(isNewFile);
    assert.ok(text.startsWith("visits:\n  - id: v-0802-long-meadow\n"), text);
    assert.equal(visitIn(monthly, "2027-01-05T08:00").path, "2027/01-january.visits.yaml");
    assert.equal(visitIn({ "2026.visits.yaml": july }, "2026-08-02T08:00").path, "2026.visits.yaml");
    assert.equal(visitIn({ "2026.visits.yaml": july }, "2027-08-02T08:00").path, "2027.visits.yaml");
    assert.equal(visitIn({ "walks.visits.yaml": july }, "2027-08-02T08:00").path, "walks.visits.yaml");
    const two = { ...monthly, "mo.visits.yaml": "visits: []\n" };
    assert.equal(visitIn(two, "2026-07-30T08:00", "mo.visits.yaml").path, "mo.visits.yaml");
    assert.equal(visitIn({}, "2026-07-30T08:00").path, "2026.visits.yaml");
  });

  it("fills a file that holds none yet, with its comments kept", () => {
    const { text, record } = visitIn({ "2026.visits.yaml": "# walks\nvisits: []\n" }, "2026-08-02T08:00");
    assert.ok(text.startsWith("# walks\nvisits:\n  - id: v-0802-long-meadow\n"), text);
    assert.ok(!record.includes("crew"), "nobody is known to have been out, and two could be");
  });
});

describe("the summary of a season", () => {
  it("counts findings and fields, the riskiest first", () => {
    const { book } = bookOf({
      "b.fields.yaml": "fields:\n  - { id: east, name: East\tSlough, grower: g, clubroot: { found_on: 2025-09-01 } }\n",
    });
    const summary = seasonSummary(book, ["error", "warning", "warning"]);
    assert.deepEqual(summary.findings, { error: 1, warning: 2, information: 0, hint: 0 });
    assert.equal(summary.worst, "confirmed");
    assert.deepEqual(summary.statuses, { confirmed: 1, "no host this season": 2 });
    assert.deepEqual(
      summary.fields.map(({ name }) => name),
      ["East Slough", "Mill Flat", "long-meadow"],
    );
    assert.equal(summary.asOf, "2026-08-14");
  });
});
