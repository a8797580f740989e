import { strict as assert } from "node:assert";
import { codeLenses } from "../../server/src/features/code-lenses.ts";
import { completionsAt } from "../../server/src/features/completion.ts";
import { definition } from "../../server/src/features/definition.ts";
import { shippedRegionText } from "../../server/src/schema/region.ts";
import { atCursor, inFile } from "../support/feature.ts";
import { hoverAt } from "../support/hovering.ts";
import { check } from "../support/check.ts";

const COUNTY = `#- county.region.yaml
region: county
title: Our county
extends: packs/province.region.yaml
rotation: { break_years: 4 }
cleaning: { contact_minutes: 15 }
unknown: { notice.within_days: not said }
rules: { province/permit: error }
sources: { rotation.break_years: bylaw 3 of 2024 }
`;
const PROVINCE = `#- packs/province.region.yaml
region: province
extends: ca-prairies
rotation: { break_years: 3 }
records: { visits: { properties: { permit: { type: string } } } }
checks:
  - { code: province/permit, on: visits, at: purpose, when: "!has(record.permit)", message: no permit }
sources: { rotation.break_years: act 1 of 2020 }
`;
const SEASON = "#- season.yaml\nseason: 2026\nregion: county.region.yaml\n";
const RECORDS = `#- a.fields.yaml
fields: [{ id: oak }, { id: elm }]
#- a.rotations.yaml
rotations:
  - { field: oak, crops: [{ year: 2021, crop: canola }, { year: 2022, crop: oats }, { year: 2023, crop: oats }, { year: 2024, crop: oats }, { year: 2026, crop: canola }] }
  - { field: elm, crops: [{ year: 2022, crop: canola }, { year: 2023, crop: oats }, { year: 2024, crop: oats }, { year: 2025, crop: oats }, { year: 2026, crop: canola }] }
`;
const BOOK = SEASON + COUNTY + PROVINCE + RECORDS;
const CLOCK = { today: "2026-08-20", now: "2026-08-20T10:00" };

/** The book with one piece of it replaced, `$0` in it. */
const at = (from: string, to: string): string => {
  assert.ok(BOOK.includes(from), from);
  return BOOK.replace(from, to);
};
const labels = (from: string, to: string): string[] => {
  const { context, offset } = atCursor(at(from, to), { withBasics: false });
  return completionsAt(context, offset, CLOCK).map(({ label }) => label);
};
/** Where a definition leads, as `path: text`. */
const target = (from: string, to: string): string | undefined => {
  const { context, offset } = atCursor(at(from, to), { withBasics: false });
  const found = definition(context, offset);
  const text =
    found?.shippedPack === undefined
      ? context.book.files.find(({ path }) => path === found?.path)?.text
      : shippedRegionText(found.shippedPack);
  return found && `${found.path}: ${text!.slice(found.selection.start, found.selection.end).split("\n")[0]!}`;
};

describe("a region pack in the editor", () => {
  it("shows on hover what a figure is in its parent, and whence", () => {
    const shown = hoverAt(at("rotation: { break_years: 4 }", "rotation: { break_$0years: 4 }"))!;
    assert.match(shown.markdown, /^\*\*Break\*\*/);
    assert.match(shown.markdown, /In `packs\/province\.region\.yaml`: `3`\. Source: act 1 of 2020/);
    const value = hoverAt(at("contact_minutes: 15", "contact_minutes: 1$05"))!;
    assert.match(value.markdown, /In `ca-prairies`: `15`\. Source: /);
    const unknown = hoverAt(at("notice.within_days: not", "notice.within$0_days: not"))!;
    assert.match(unknown.markdown, /In `ca-prairies`: `7`/);
  });

  it("leads to the pack it names, the parent's figure, the figure of a source, and the check of a code", () => {
    assert.equal(
      target("region: county.region.yaml", "region: coun$0ty.region.yaml"),
      "county.region.yaml: region: county",
    );
    assert.equal(
      target("packs/province.region.yaml\nrot", "packs/prov$0ince.region.yaml\nrot"),
      "packs/province.region.yaml: region: province",
    );
    assert.equal(target("break_years: 4", "break_$0years: 4"), "packs/province.region.yaml: break_years");
    assert.equal(target("break_years: bylaw", "break_$0years: bylaw"), "county.region.yaml: break_years");
    assert.equal(
      target("province/permit: error", "province/per$0mit: error"),
      "packs/province.region.yaml: province/permit",
    );
    assert.equal(
      target("region: county.region.yaml\n", "region: county.region.yaml\nrules: { province/per$0mit: off }\n"),
      "packs/province.region.yaml: province/permit",
    );
    // What comes with Spadework lies beside the program.
    assert.equal(target("contact_minutes: 15", "contact_$0minutes: 15"), "ca-prairies.region.yaml: contact_minutes");
    assert.match(target("extends: ca-prairies", "extends: ca-$0prairies")!, /^ca-prairies\.region\.yaml: /);
    assert.match(target("region: county.region.yaml\n", "region: s$0e\n")!, /^se\.region\.yaml: /);
    assert.equal(target("region: county.region.yaml\n", "region: nowh$0ere\n"), undefined);
  });

  it("proposes the parent's figures as unknown, figures without a source, and words for an added key", () => {
    const unknown = labels("unknown: { notice.within_days: not said }", "unknown: { $0 }");
    assert.ok(unknown.includes("growth.days_seed_to_swath"));
    assert.deepEqual(labels("sources: { rotation.break_years: bylaw 3 of 2024 }", "sources: { $0 }"), [
      "rotation.break_years",
      "cleaning.contact_minutes",
    ]);
    assert.ok(labels("permit: { type: string }", "permit: { $0 }").includes("pattern"));
    assert.ok(labels("permit: { type: string }", "permit: { type: $0 }").includes("integer"));
    assert.ok(labels("at: purpose", "at: $0").includes("permit"));
    assert.ok(labels("on: visits", "on: $0").includes("samples"));
    const codes = labels(
      "title: Our county\n",
      "title: Our county\nexamples: [{ name: a, files: {}, expect: [$0] }]\n",
    );
    assert.ok(codes.includes("province/permit") && codes.includes("entry/wet-ground"));
    assert.ok(labels("extends: packs/province.region.yaml", "extends: $0").includes("packs/province.region.yaml"));
  });

  it("says over each figure that differs what it does to the findings of the book", () => {
    const shown = (source: string, path: string): string[] => {
      const context = inFile(source, path, { withBasics: false });
      return codeLenses(context).map(
        ({ span, title, opens }) =>
          `${context.file.text.slice(span.start, span.end)} | ${title} | ${(opens?.places ?? []).length}`,
      );
    };
    assert.deepEqual(shown(BOOK, "county.region.yaml"), [
      "break_years | changes 2 findings in this book: 2 more than with packs/province.region.yaml's 3 | 2",
    ]);
    // The county's figure stands, whatever its parent says.
    assert.deepEqual(shown(BOOK, "packs/province.region.yaml"), [
      "break_years | changes no finding in this book: they are the same as with ca-prairies's 2 | 0",
    ]);
    const lax = at("break_years: 4", "break_years: 1");
    assert.deepEqual(shown(lax, "county.region.yaml").slice(0, 1), [
      "break_years | changes no finding in this book: they are the same as with packs/province.region.yaml's 3 | 0",
    ]);
    assert.deepEqual(shown(BOOK.replace("region: county.region.yaml", "region: base"), "county.region.yaml"), []);
  });

  it("says over each example what it comes to", () => {
    const example = (expect: string): string =>
      `examples:\n  - name: no permit\n    as_of: 2026-08-20\n    files: { a.visits.yaml: "visits: [{ id: v1, field: oak, arrived: 2026-08-14T09:40, purpose: other }]" }\n    expect: [${expect}]\n`;
    const shown = (expect: string): string[] => {
      const context = inFile(at("title: Our county\n", `title: Our county\n${example(expect)}`), "county.region.yaml", {
        withBasics: false,
      });
      return codeLenses(context).flatMap(({ span, title }) =>
        context.file.text.slice(span.start, span.end) === "name" ? [title] : [],
      );
    };
    assert.deepEqual(shown("province/permit"), ["as expected"]);
    assert.deepEqual(shown("province/permit, entry/wet-ground"), ["not as expected: must give entry/wet-ground"]);
  });

  it("is checked whether or not the book asks for it", () => {
    check(
      `#- season.yaml
season: 2026
region: base
#- other.region.yaml
region: other
extends: nowhere
#        ^^^^^^^ error structure/schema: no region pack is called "nowhere"
rules: { county/a: hint }
checks: [{ code: county/a, on: visits, when: "record.purpse == 1", message: m }]
#                                            ^^^^^^^^^^^^^^^^^^^^ error structure/schema: there is no key "purpse"
`,
      { withBasics: false },
    );
  });
});
