// A province that does not exist, written by following "A new region" in DEVELOPERS.md and nothing else: two keys of its own,
// three checks, and the examples that hold them.
import { strict as assert } from "node:assert";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { inFolder, spadework } from "../support/command-line.ts";

const PACK = `region: northmark
title: Northmark, a province that does not exist
extends: ca-prairies
rotation: { break_years: 3, break_years_after_find: 6 }
cleaning: { strength_percent: 2 }
notice: { required: true, within_days: 3, authority: the plant health office of Northmark }
unknown:
  growth.days_seed_to_swath: no trial of the province is published
sources:
  rotation: "order of Northmark 12, 2025, section 4"
  cleaning.strength_percent: "order of Northmark 12, 2025, section 9"
  notice: "order of Northmark 12, 2025, section 2"
records:
  fields:
    required: [parcel]
    properties:
      parcel:
        title: Parcel
        description: The number of the parcel in the land register.
        type: string
        pattern: "^N[0-9]{3}$"
        examples: [N042]
  visits:
    properties:
      permit: { title: Permit, description: The number of the permit., type: string, examples: [2026-17] }
rules: { entry/wet-ground: error }
checks:
  - code: northmark/permit
    on: visits
    at: purpose
    level: error
    when: has(record.purpose) && record.purpose == 'soil work' && !has(record.permit)
    message: soil work needs a permit in Northmark; write its number under permit
    source: "order of Northmark 12, 2025, section 3"
  - code: northmark/large-field
    on: fields
    level: information
    when: has(record.area_ha) && record.area_ha > 65 && (!has(record.entrances) || size(record.entrances) < 2)
    message: "this field has {record.area_ha} ha, and one of more than 65 is to have a second entrance; record it, or ask for leave"
    source: "order of Northmark 12, 2025, section 5"
  - code: northmark/late-sample
    on: samples
    at: sent
    when: has(record.taken) && has(record.sent) && day(record.sent) - day(record.taken) > region.notice.within_days
    message: this sample was sent later than notice of a find would be due; send the next one sooner
    source: common practice, no source
examples:
  - name: everything that the order asks for
    as_of: 2026-08-20
    files:
      a.fields.yaml: |
        fields:
          - { id: oak, parcel: N042, area_ha: 70, entrances: [{ id: n }, { id: s }] }
      a.visits.yaml: |
        visits:
          - { id: v1, field: oak, arrived: 2026-06-18T09:00, left: 2026-06-18T11:00, purpose: soil work, permit: 2026-17 }
      a.samples.yaml: |
        samples:
          - { id: s1, field: oak, material: soil, taken: 2026-08-10, sent: 2026-08-13 }
    never:
      [northmark/permit, northmark/large-field, northmark/late-sample, structure/schema, structure/unknown-key]
  - name: nothing of it
    as_of: 2026-08-20
    files:
      a.fields.yaml: |
        fields:
          - { id: oak, area_ha: 70 }
      a.visits.yaml: |
        visits:
          - { id: v1, field: oak, arrived: 2026-06-18T09:00, left: 2026-06-18T11:00, purpose: soil work, ground: wet }
      a.samples.yaml: |
        samples:
          - { id: s1, field: oak, material: soil, taken: 2026-08-10, sent: 2026-08-14 }
    expect: [northmark/permit, northmark/large-field, northmark/late-sample, structure/schema, entry/wet-ground]
`;

const BOOK: Readonly<Record<string, string>> = {
  "season.yaml": "season: 2026\nregion: northmark.region.yaml\nrules: { northmark/large-field: off }\n",
  "northmark.region.yaml": PACK,
  "a.fields.yaml":
    "fields:\n  - { id: oak, parcel: 42, area_ha: 90, clubroot: { found_on: 2021-09-01 }, notices: [{ on: 2021-09-03 }] }\n",
  "a.rotations.yaml":
    "rotations:\n  - field: oak\n    crops:\n" +
    [2021, 2022, 2023, 2024, 2025, 2026]
      .map((year) => `      - { year: ${year}, crop: ${year === 2021 || year === 2026 ? "canola" : "barley"} }\n`)
      .join(""),
  "a.visits.yaml":
    "visits:\n  # accept northmark/permit: the office was told by telephone\n" +
    "  - { id: v1, purpose: soil work, field: oak, arrived: 2026-06-18T09:00, left: 2026-06-18T11:00 }\n" +
    "  - { id: v2, purpose: soil work, field: oak, arrived: 2026-06-19T09:00, left: 2026-06-19T11:00 }\n",
};

interface Checked {
  findings: { code: string; level: string; file: string; message: string; record: { id: string } }[];
}

describe("a province written by the guide", () => {
  it("is found in order by spadework region check", () =>
    inFolder({ "northmark.region.yaml": PACK }, async (folder) => {
      const { out, code } = await spadework(["region", "check", "northmark.region.yaml"], { workingFolder: folder });
      assert.equal(code, 0, out);
      assert.match(out, /^The pack can be used\.$/m);
      assert.match(out, /rotation\.break_years_after_find: 3 -> 6/);
      assert.match(out, /fields: parcel \(string\), required/);
      assert.equal(out.match(/as expected/g)?.length, 2);
    }));

  it("works in a book: its figures, its keys, its checks, its levels, and the book's word over them", () =>
    inFolder(BOOK, async (folder) => {
      const { out, code } = await spadework(["check", folder, "--as-of", "2026-08-20", "--format", "json"]);
      assert.equal(code, 1);
      const { findings } = JSON.parse(out) as Checked;
      const shown = findings.map(({ code: rule, level, record }) => `${level} ${rule} ${record.id}`);
      assert.ok(shown.includes("error structure/schema oak"), shown.join("\n"));
      assert.ok(shown.includes("error northmark/permit v2"), shown.join("\n"));
      assert.ok(!shown.includes("error northmark/permit v1"));
      assert.ok(!shown.some((one) => one.includes("northmark/large-field")));
      // Canola comes after four years without a host, where the parent asks for three after a find and Northmark for six.
      const { message } = findings.find(({ code: rule }) => rule === "rotation/break-after-find")!;
      assert.match(message, /after 4 years without a host, where 6 are needed/);
      const parcel = findings.find(({ code: rule }) => rule === "structure/schema")!;
      assert.match(parcel.message, /"parcel" must be written like N042, not 42/);
    }));
});

describe("the guide itself", () => {
  const guide = /## A new region\n([\s\S]*?)\n## /.exec(
    readFileSync(fileURLToPath(new URL("../../DEVELOPERS.md", import.meta.url)), "utf8"),
  )![1]!;
  const blocks = [...guide.matchAll(/^( *)```yaml\n([\s\S]*?)^ *```/gm)].map(([, indent, text]) =>
    text!.replaceAll(new RegExp(`^${indent!}`, "gm"), ""),
  );

  it("has pieces that make a pack which can be used", () =>
    inFolder({}, async (folder) => {
      assert.equal(blocks.length, 5);
      const begun = await spadework(["region", "new", "made-up", "--extends", "base"], { workingFolder: folder });
      assert.equal(begun.code, 0);
      writeFileSync(join(folder, "made-up.region.yaml"), blocks.join(""));
      const { out, code } = await spadework(["region", "check", "made-up.region.yaml"], { workingFolder: folder });
      assert.equal(code, 0, out);
      assert.match(out, /as expected: soil work without a permit/);
      assert.match(out, /^The pack can be used\.$/m);
    }));
});
