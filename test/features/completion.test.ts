import { strict as assert } from "node:assert";
import fc from "fast-check";
import { applyEdits } from "../../server/src/base/text.ts";
import { completionsAt, type CompletionItem } from "../../server/src/features/completion.ts";
import { contextOf } from "../../server/src/features/context.ts";
import { atCursor, inFile } from "../support/feature.ts";
import { openFixture } from "../support/check.ts";
import { parseFixture } from "../support/fixture.ts";

const CLOCK = { today: "2026-08-14", now: "2026-08-14T11:20" };

const VISITS = `#- a.visits.yaml
visits:
  - id: v-0813-mill-flat
    field: mill-flat
    arrived: 2026-08-13T09:00
    left: 2026-08-13T10:00
    purpose: scouting
    crew: [ines]
    equipment: [dig-kit]
    patches:
      - { id: p1, symptom: ripening early }
    digs:
      - { id: d1, place: entrance, plants: 20, ratings: [20, 0, 0, 0] }
      - { id: d2, place: patch, patch: p1, plants: 20, ratings: [18, 2, 0, 0] }
`;

function complete(source: string): { items: CompletionItem[]; text: string } {
  const { context, offset } = atCursor(source);
  return { items: completionsAt(context, offset, CLOCK), text: context.file.text };
}

function labels(source: string): string[] {
  return complete(source).items.map(({ label }) => label);
}

/** The text after taking a completion; tab stops as the words they propose. */
function take(source: string, label: string): string {
  const { items, text } = complete(source);
  const item = items.find((one) => one.label === label);
  assert.ok(item, `"${label}" is not among ${items.map((one) => one.label).join(", ")}`);
  const newText = item.isSnippet ? expanded(item.insertText) : item.insertText;
  return applyEdits(text, [{ span: item.replace, newText }]);
}

function expanded(snippet: string): string {
  return snippet
    .replace(/\$\{\d+\|((?:\\.|[^|\\,])*)[^}]*\|\}/g, "$1")
    .replace(/\$\{\d+:((?:\\.|[^}\\])*)\}/g, "$1")
    .replace(/\$\d+/g, "")
    .replace(/\\([\\$}])/g, "$1");
}

const END = (text: string): string => text.split("\n").slice(13).join("\n");

describe("completion of keys", () => {
  it("offers required keys first, and none that are there before or after the cursor", () => {
    const found = labels(`${VISITS}  - id: v2\n    $0\n    purpose: scouting\n    # later\n    crew: [mo]\n`);
    assert.deepEqual(found.slice(0, 3), ["field", "arrived", "entrance"]);
    for (const there of ["id", "purpose", "crew"]) assert.ok(!found.includes(there), there);
  });
  it("replaces a half-typed key, though the tree reads it as part of the value above", () => {
    assert.equal(
      END(take(`${VISITS}  - id: v2\n    field: mill-flat\n    pur$0\n    crew: [mo]\n`, "purpose")),
      "  - id: v2\n    field: mill-flat\n    purpose: \n    crew: [mo]\n",
    );
  });
  it("writes no second colon", () => {
    assert.equal(END(take(`${VISITS}  - id: v2\n    gr$0ond: dry\n`, "ground")), "  - id: v2\n    ground: dry\n");
  });
  it("mends the indentation of a key that stands between two levels", () => {
    assert.equal(
      END(take(`${VISITS}  - id: v2\n    field: mill-flat\n     gro$0\n`, "ground")),
      "  - id: v2\n    field: mill-flat\n    ground: \n",
    );
  });
  it("begins the list under a key where its items stand", () => {
    assert.equal(END(take(`${VISITS}  - id: v2\n    dig$0`, "digs")), "  - id: v2\n    digs:\n      - ");
    assert.equal(
      END(take(`${VISITS}  - id: v2\n    digs:\n      $0`, "place")),
      "  - id: v2\n    digs:\n      - place: ",
    );
    assert.equal(
      END(take(`${VISITS}  - id: v2\n    digs:\n      - id: d1\n        $0`, "place")),
      "  - id: v2\n    digs:\n      - id: d1\n        place: ",
    );
  });
  it("knows brackets, also those that are not closed yet", () => {
    const found = labels(`${VISITS}      - { id: d3, place: patch, $0 }\n`);
    assert.equal(found[0], "plants");
    assert.ok(!found.includes("id") && !found.includes("place"));
    assert.ok(!labels(`${VISITS}      - { id: d3, $0, place: patch }\n`).includes("place"), "a key after the cursor");
    assert.equal(
      labels(`${VISITS}      - { id: d3, place: patch, $0\n  - id: v3\n    field: mill-flat\n`)[0],
      "plants",
    );
    assert.equal(END(take(`${VISITS}      - {id: d3, pl$0`, "plants")), "      - {id: d3, plants: ");
  });
  it("goes on in brackets over several lines", () => {
    assert.equal(labels(`${VISITS}      - { id: d3,\n          place: patch,\n          $0 }\n`)[0], "plants");
  });
  it("knows where a dash still needs its blank", () => {
    assert.equal(END(take(`${VISITS}      -$0`, "place")), "      - place: ");
  });
  it("knows lists in the column of their key", () => {
    const found = labels("#- a.rotations.yaml\nrotations:\n- field: mill-flat\n  crops:\n  - year: 2026\n    $0\n");
    assert.equal(found[0], "crop");
    assert.ok(!found.includes("year"));
  });
  it("adds the keys that the region asks for", () => {
    const source = `#- season.yaml\nseason: 2026\nregion: our.region.yaml\n#- our.region.yaml\nregion: our\nextends: base\nrecords:\n  fields:\n    required: [municipality]\n    properties: { municipality: { type: string, description: Its name. } }\n#- a.fields.yaml\nfields:\n  - id: x\n    $0`;
    const item = complete(source).items.find(({ label }) => label === "municipality");
    assert.equal(item?.detail, "required");
    assert.equal(item.documentation, "Its name.");
  });
  it("works in season.yaml and region packs", () => {
    assert.ok(labels("#- season.yaml\nseason: 2026\n$0").includes("crew"));
    assert.deepEqual(labels("#- season.yaml\nseason: 2026\ncrew:\n  - { id: mo, $0 }").slice(0, 1), ["name"]);
    assert.ok(labels("#- season.yaml\nseason: 2026\nrules:\n  entry/w$0").includes("entry/wet-ground"));
    assert.ok(labels("#- season.yaml\nseason: 2026\nrules: { $0 }").includes("entry/wet-ground"));
    assert.ok(
      !labels("#- season.yaml\nseason: 2026\nrules: { entry/wet-ground: error, $0 }").includes("entry/wet-ground"),
    );
    const figures = labels(
      "#- x.region.yaml\nregion: x\ncleaning:\n  strength_percent: 1\n  $0\n  contact_minutes: 20\n",
    );
    assert.ok(
      figures.includes("soil_left") && !figures.includes("strength_percent") && !figures.includes("contact_minutes"),
    );
  });
  it("offers nothing in comments, notes and after a closed bracket", () => {
    assert.deepEqual(labels(`${VISITS}  - id: v2 # $0`), []);
    assert.deepEqual(labels(`${VISITS}    note: |\n      was here $0\n`), []);
    assert.deepEqual(labels(`${VISITS}    note: "a: $0`), []);
    assert.deepEqual(labels(`${VISITS}    crew: [mo] $0`), []);
  });
});

describe("completion of values", () => {
  it("offers words with their meaning", () => {
    const { items } = complete(`${VISITS}  - id: v2\n    ground: $0`);
    assert.deepEqual(
      items.map(({ label }) => label),
      ["dry", "moist", "wet"],
    );
    assert.match(items[2]!.documentation, /better stay out/);
    assert.equal(
      END(take(`${VISITS}  - id: v2\n    purpose: soil w$0\n`, "soil work")),
      "  - id: v2\n    purpose: soil work\n",
    );
  });
  it("writes the blank after a colon that has none", () => {
    assert.equal(END(take(`${VISITS}  - id: v2\n    field:$0`, "mill-flat")), "  - id: v2\n    field: mill-flat");
  });
  it("stays inside quotes", () => {
    assert.equal(
      END(take(`${VISITS}  - id: v2\n    field: "mi$0"\n`, "mill-flat")),
      `  - id: v2\n    field: "mill-flat"\n`,
    );
  });
  it("puts fields in their window first", () => {
    const rotation =
      "#- r.rotations.yaml\nrotations:\n  - field: mill-flat\n    crops:\n      - { year: 2026, crop: canola, swathed: 2026-08-20 }\n  - field: long-meadow\n    crops:\n      - { year: 2026, crop: canola, swathed: 2026-10-20 }\n";
    const { items } = complete(`#- a.visits.yaml\nvisits:\n  - id: v2\n    field: $0\n${rotation}`);
    assert.deepEqual(
      items.map(({ label }) => label),
      ["mill-flat", "long-meadow", "east-rise"],
    );
    assert.match(items[0]!.detail, /window open until 27 Aug/);
    assert.match(items[1]!.detail, /window opens 6 Oct/);
  });
  it("puts the crew's own kit first, and leaves out what is listed", () => {
    const seeded =
      "  - { id: v-s, field: east-rise, arrived: 2026-05-01T09:00, purpose: seeding, crew: [mo], equipment: [seeder-1] }\n";
    assert.equal(
      labels(`${VISITS}${seeded}  - id: v2\n    crew: [ines]\n    equipment: [$0]\n    purpose: scouting\n`)[0],
      "dig-kit",
    );
    assert.equal(
      labels(`${VISITS}${seeded}  - id: v2\n    crew: [mo]\n    equipment: [$0\n    purpose: seeding\n`)[0],
      "seeder-1",
    );
    assert.ok(!labels(`${VISITS}  - id: v2\n    equipment: [dig-kit, $0]\n`).includes("dig-kit"));
    assert.equal(
      END(take(`${VISITS}  - id: v2\n    equipment: $0`, "dig-kit")),
      "  - id: v2\n    equipment: [dig-kit]",
    );
    assert.equal(END(take(`${VISITS}  - id: v2\n    crew:\n      - $0`, "mo")), "  - id: v2\n    crew:\n      - mo");
  });
  it("names the digs of the sample's visit, those with galls first", () => {
    assert.deepEqual(
      labels(`${VISITS}#- a.samples.yaml\nsamples:\n  - id: s1\n    visit: v-0813-mill-flat\n    dig: $0`),
      ["d2", "d1"],
    );
  });
  it("names the visit's own patches, then those of earlier visits of the field", () => {
    assert.deepEqual(
      labels(
        `${VISITS}  - id: v2\n    field: mill-flat\n    arrived: 2026-08-14T09:00\n    patches: [{ id: q1 }]\n    digs:\n      - { id: d1, place: patch, patch: $0 }\n`,
      ),
      ["q1", "v-0813-mill-flat#p1"],
    );
  });
  it("names entrances of the visit's field, the usual one first", () => {
    const fields =
      "#- b.fields.yaml\nfields:\n  - { id: mill-flat, entrances: [{ id: back }, { id: gate, usual: true }] }\n";
    assert.deepEqual(labels(`${VISITS}  - id: v2\n    field: mill-flat\n    entrance: $0\n${fields}`), [
      "gate",
      "back",
    ]);
  });
  it("names carriers with their boots, what was out last first", () => {
    const found = labels(
      `${VISITS}#- a.cleanings.yaml\ncleanings:\n  - id: c1\n    at: 2026-08-14T09:00\n    by: ines\n    equipment: [$0]`,
    );
    assert.deepEqual(found.slice(0, 2), ["dig-kit", "boots/ines"]);
  });
  it("proposes now, today, and when the last visit ended", () => {
    assert.deepEqual(
      labels(`${VISITS}#- a.cleanings.yaml\ncleanings:\n  - id: c1\n    equipment: [dig-kit]\n    at: $0`),
      ["2026-08-13T10:00", "2026-08-14T11:20", "2026-08-14T…"],
    );
    assert.deepEqual(
      labels(`${VISITS}#- a.samples.yaml\nsamples:\n  - id: s1\n    visit: v-0813-mill-flat\n    taken: $0`),
      ["2026-08-13", "2026-08-14"],
    );
    assert.deepEqual(labels(`${VISITS}  - id: v2\n    arrived: 2026-08-14T08:15\n    left: $0`), [
      "2026-08-14T11:20",
      "2026-08-14T08:15",
      "2026-08-14T…",
    ]);
  });
  it("works out figures", () => {
    const step = (at: string): string =>
      `#- a.cleanings.yaml\ncleanings:\n  - id: c1\n    steps:\n      - { step: disinfect, stock_percent: 6, stock_l: 1, water_l: 5, ${at} }`;
    // 6 % · 1 L / 6 L; the region's 15 minutes: schemas/regions/ca-prairies.region.yaml
    assert.equal(labels(step("strength_percent: $0"))[0], "1");
    assert.deepEqual(labels(step("contact_minutes: $0")), ["15"]);
    assert.deepEqual(labels(`${VISITS}      - { id: d3, place: other, plants: 12, ratings: $0 }`), ["[12, 0, 0, 0]"]);
    assert.ok(labels(`${VISITS}      - { id: d3, ratings: [9, 1, 0, 0], plants: $0 }`).includes("10"));
  });
  it("names region packs, shipped and of the book", () => {
    const found = labels("#- season.yaml\nseason: 2026\nregion: $0\n#- packs/our.region.yaml\nregion: our\n");
    assert.ok(found.includes("ca-prairies") && found.includes("packs/our.region.yaml"));
  });
  it("offers crops of the region and words in use", () => {
    const found = labels(
      "#- a.rotations.yaml\nrotations:\n  - field: mill-flat\n    crops:\n      - { year: 2025, crop: hemp }\n      - { year: 2026, crop: $0 }",
    );
    assert.ok(found.includes("hemp") && found.includes("canola"));
  });
  it("quotes what would be read as something else", () => {
    assert.match(
      take(
        "#- a.rotations.yaml\nrotations:\n  - field: mill-flat\n    crops:\n      - { year: 2025, crop: 'a, b' }\n      - { year: 2026, crop: $0 }",
        "a, b",
      ),
      /2026, crop: 'a, b' }/,
    );
  });
});

describe("completion of whole records", () => {
  it("begins a visit, numbered as the book does, wherever the cursor is below the last one", () => {
    const expected =
      "  - id: v-0814-east-rise\n    field: east-rise\n    arrived: 2026-08-14T11:20\n    left: \n    purpose: scouting\n    crew: [ines]\n    equipment: [dig-kit]\n    footwear: disposable\n    ground: dry";
    for (const typed of ["  - $0", "  -$0", "  $0", "$0", "  - vis$0"])
      assert.equal(END(take(VISITS + typed, "visit")), expected, typed);
  });
  it("begins a clean-down in full after the last visit, at the region's strength and minutes", () => {
    const text = take(`${VISITS}#- a.cleanings.yaml\ncleanings:\n  - $0`, "clean-down in full");
    assert.equal(
      text,
      "cleanings:\n  - id: c-0813-1\n    at: 2026-08-13T10:00\n    place: field entrance\n    field: mill-flat\n    equipment: [dig-kit]\n    by: ines\n    steps:\n" +
        "      - { step: remove soil }\n      - { step: wash, with: water }\n      - { step: disinfect, product: bleach, strength_percent: 1, contact_minutes: 15 }",
    );
  });
  it("begins the sample of a dig with galls", () => {
    const text = take(
      `${VISITS}#- a.samples.yaml\nsamples:\n  - id: s-2026-007\n    field: east-rise\n    material: soil\n    taken: 2026-05-02\n  $0`,
      "sample of dig d2 of v-0813-mill-flat",
    );
    assert.match(
      text,
      /^ {2}- id: s-2026-008\n {4}field: mill-flat\n {4}visit: v-0813-mill-flat\n {4}dig: d2\n {4}material: roots\n {4}plants: 2\n {4}taken: 2026-08-13\n/m,
    );
  });
  it("begins parts of records with their next id", () => {
    assert.equal(END(take(`${VISITS}      $0`, "dig")), "      - { id: d3, place: entrance, plants:  }");
    assert.equal(END(take(`${VISITS}      - $0`, "dig")), "      - { id: d3, place: entrance, plants:  }");
    assert.match(
      take(
        "#- a.rotations.yaml\nrotations:\n  - field: mill-flat\n    crops:\n      - { year: 2026, crop: canola }\n      - $0",
        "crop",
      ),
      /- { year: 2027, crop: {2}}$/m,
    );
  });
  it("begins an empty file", () => {
    assert.equal(take("#- a.samples.yaml\n$0", "samples"), "samples:\n  - ");
  });
});

describe("completion in texts as they come", () => {
  it("keeps CRLF", () => {
    const source = `${VISITS}  - $0`;
    const fixture = parseFixture(source);
    const files = new Map([...fixture.files].map(([path, text]) => [path, text.replaceAll("\n", "\r\n")]));
    const context = contextOf(openFixture({ ...fixture, files }), "a.visits.yaml")!;
    const items = completionsAt(context, context.file.text.length, CLOCK);
    const visit = items.find(({ label }) => label === "visit")!;
    assert.ok(visit.insertText.includes("\r\n    field") && !/(?<!\r)\n/.test(visit.insertText));
    const key = completionsAt(context, context.file.text.indexOf("purpose") + 3, CLOCK).find(
      ({ label }) => label === "ground",
    );
    assert.equal(key && context.file.text.slice(key.replace.start, key.replace.end), "purpose");
  });
  it("counts characters beyond the basic plane as two", () => {
    const source = `#- a.visits.yaml\nvisits:\n  - id: v1\n    note: "🌾🌾"\n    field: mi$0\n`;
    assert.equal(take(source, "mill-flat"), `visits:\n  - id: v1\n    note: "🌾🌾"\n    field: mill-flat\n`);
  });
  it("works beside a broken record, and in one", () => {
    const source = `#- a.visits.yaml\nvisits:\n  - id: [[v0\n    field: "mill\n  - id: v1\n    field: mill-flat\n    ground: $0\n    crew: [mo\n`;
    assert.deepEqual(labels(source), ["dry", "moist", "wet"]);
    assert.equal(labels(`#- a.visits.yaml\nvisits:\n  - id: v0\n    crew: [mo\n    ground: d$0\n`)[0], "dry");
  });
  it("gives only completions whose stretch holds the cursor, at any place of any text, cut anywhere", () => {
    const text =
      `${VISITS}  - id: v2\n    field: "mill-flat"\n    crew:\n    - mo\n    note: >\n      a: b\n    digs: [{ id: d1, place: other }, { id: d2 }]\n`.replace(
        "#- a.visits.yaml\n",
        "",
      );
    const junk = fc.constantFrom(
      "",
      "[",
      "{",
      "}",
      "]",
      '"',
      "'",
      ": ",
      "- ",
      "\n",
      "\n    ",
      "#",
      "|",
      "&a ",
      "*a",
      "\t",
      "🌾",
      "{ x: [",
    );
    const looksRight = (cut: number, cursor: number, typed: string): void => {
      const broken = `${text.slice(0, cut)}${typed}${text.slice(cut)}`;
      const offset = Math.min(cursor, broken.length);
      const context = inFile(`#- a.visits.yaml\n${broken}`, "a.visits.yaml");
      for (const item of completionsAt(context, Math.min(offset, context.file.text.length), CLOCK)) {
        assert.ok(
          item.replace.start <= offset && offset <= item.replace.end,
          `${item.label} replaces ${JSON.stringify(item.replace)} at ${offset}`,
        );
        assert.ok(
          !/[\r\n]/.test(context.file.text.slice(item.replace.start, item.replace.end)),
          `${item.label} replaces several lines`,
        );
      }
    };
    // A text that begins with an empty line.
    looksRight(0, 0, "\n");
    // A value in brackets that goes on on the next line.
    looksRight(text.indexOf("d2") + 1, text.indexOf("d2") + 2, "\n    ");
    fc.assert(fc.property(fc.nat(text.length), fc.nat(text.length), junk, looksRight), { numRuns: 400 });
  });
});
