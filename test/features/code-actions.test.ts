import { strict as assert } from "node:assert";
import { applyEdits } from "../../server/src/base/text.ts";
import { fixAll, fixAllOffers, quickFixes, type QuickFix } from "../../server/src/features/code-actions.ts";
import { contextOf } from "../../server/src/features/context.ts";
import { findingsOf, openFixture } from "../support/check.ts";
import { parseFixture, type Fixture } from "../support/fixture.ts";

interface Mended {
  readonly fixes: readonly QuickFix[];
  /** The text of each file after a fix. */
  readonly after: (fix: QuickFix | undefined) => Map<string, string>;
}

/** The fixes of the first finding of a code. */
function fixesOf(source: string | Fixture, code: string): Mended {
  const fixture = typeof source === "string" ? parseFixture(source) : source;
  const findings = findingsOf(fixture);
  const finding = findings.find((one) => one.code === code);
  assert.ok(finding, `no ${code} among ${findings.map((one) => one.code).join(", ")}`);
  const context = contextOf(openFixture(fixture), finding.file)!;
  const ofFile = findings.filter(({ file }) => file === finding.file);
  const all = fixAllOffers([finding], ofFile).map((offer) => fixAll(context, offer.code, ofFile)!);
  const fixes = [...quickFixes(context, finding), ...all];
  return { fixes, after: (fix) => applied(fixture, fix) };
}

function applied(fixture: Fixture, fix: QuickFix | undefined): Map<string, string> {
  assert.ok(fix, "there is no such fix");
  const texts = new Map(fixture.files);
  for (const [path, edits] of fix.edit) texts.set(path, applyEdits(texts.get(path) ?? "", edits));
  return texts;
}

/** The first file after the preferred fix of the first finding of a code. */
function mend(source: string, code: string): string {
  const { fixes, after } = fixesOf(source, code);
  return [...after(fixes.find(({ isPreferred }) => isPreferred)).values()][0]!;
}

const VISIT = "#- a.visits.yaml\nvisits:\n  - id: v1\n    field: mill-flat\n    arrived: 2026-08-13T09:00\n";

describe("did you mean", () => {
  const unknown = "structure/unknown-id";
  it("keeps quotes, comments and whatever stands around", () => {
    assert.equal(
      mend(
        `#- a.visits.yaml\n# top\nvisits:\n  - id:   v1   # as told\n    field:  "mill-flatt"  # the 🌾 one\n    arrived: 2026-08-13T09:00\n    purpose: other`,
        unknown,
      ),
      `# top\nvisits:\n  - id:   v1   # as told\n    field:  "mill-flat"  # the 🌾 one\n    arrived: 2026-08-13T09:00\n    purpose: other`,
    );
    assert.match(mend(`${VISIT}    purpose: other\n    crew: [ mo, 'inez' ]\n`, unknown), /crew: \[ mo, 'ines' \]/);
  });
  it("corrects keys, words, times, numbers and lists", () => {
    assert.match(mend(`${VISIT}    porpose: other\n`, "structure/unknown-key"), /^ {4}purpose: other$/m);
    assert.match(mend(`${VISIT}    "porpose": other\n`, "structure/unknown-key"), /^ {4}"purpose": other$/m);
    assert.match(mend(`${VISIT}    purpose: "Scoutting"\n`, "structure/schema"), /purpose: "scouting"/);
    assert.match(
      mend(`${VISIT}    left: 2026/08/13 10.30\n    purpose: other\n`, "structure/schema"),
      /left: 2026-08-13T10:30\n/,
    );
    assert.match(mend(`${VISIT}    purpose: other\n    stage: "83"\n`, "structure/schema"), /stage: 83\n/);
    assert.match(mend(`${VISIT}    purpose: other\n    crew: mo\n`, "structure/schema"), /crew: \[mo\]\n/);
  });
  it("corrects beside a record that cannot be read", () => {
    assert.match(
      mend(
        `#- a.visits.yaml\nvisits:\n  - id: [[v0\n    ground: "x\n  - id: v1\n    field: mill-flatt\n    arrived: 2026-08-13T09:00\n    purpose: other\n`,
        unknown,
      ),
      /\n {4}field: mill-flat\n/,
    );
  });
  it("corrects all of a kind in the file, and no more", () => {
    const source = `${VISIT}    purpose: other\n    crew: [moo, inez]\n    grond: dry\n`;
    const { fixes, after } = fixesOf(source, unknown);
    const all = fixes.find(({ kind }) => kind === "fix all")!;
    assert.equal(all.findings.length, 2);
    assert.match(after(all).get("a.visits.yaml")!, /crew: \[mo, ines\]\n {4}grond: dry/);
    const one = findingsOf(parseFixture(source)).filter((finding) => finding.code === "structure/unknown-key");
    assert.deepEqual(fixAllOffers(one, one), [], "one alone needs no fix of all");
  });
});

describe("the missing clean-down", () => {
  const visits = `#- 2026/08.visits.yaml
visits:
  - { id: v1, field: mill-flat, arrived: 2026-08-13T09:00, left: 2026-08-13T10:00, purpose: scouting, crew: [mo], equipment: [dig-kit], footwear: disposable }
  - { id: v2, field: east-rise, arrived: 2026-08-13T11:00, left: 2026-08-13T12:00, purpose: scouting, crew: [mo], equipment: [dig-kit], footwear: disposable }
`;
  it("goes where the crew's cleanings of that month stand, in order of time, numbered as they are", () => {
    const other =
      "#- ines.cleanings.yaml\ncleanings:\n  - { id: k1, at: 2026-08-01T08:00, equipment: [seeder-1], by: ines, steps: [{ step: wash }] }\n";
    const own = `#- mo.cleanings.yaml\ncleanings:\n  - id: k7   # first\n    at: 2026-08-12T08:00\n    equipment: [seeder-1]\n    by: mo\n    steps: [{ step: wash }]\n\n  - id: k8\n    at: 2026-08-20T08:00\n    equipment: [seeder-1]\n    by: mo\n    steps: [{ step: wash }]\n`;
    const { fixes, after } = fixesOf(visits + other + own, "cleaning/missing");
    const fix = fixes.find(({ isPreferred }) => isPreferred);
    assert.deepEqual([...fix!.edit.keys()], ["mo.cleanings.yaml"]);
    assert.match(
      after(fix).get("mo.cleanings.yaml")!,
      /steps: \[{ step: wash }\]\n\n {2}- id: k9\n {4}at: 2026-08-13T10:00\n {4}place: field entrance\n {4}field: mill-flat\n {4}equipment: \[dig-kit\]\n {4}by: mo\n {4}steps: # to confirm[^\n]*\n {6}- { step: remove soil }\n {6}- { step: wash, with: water }\n {6}- { step: disinfect, product: bleach, strength_percent: 1, contact_minutes: 15 }\n\n {2}- id: k8\n/,
    );
  });
  it("makes a file beside the visits where there is none", () => {
    const { fixes, after } = fixesOf(visits, "cleaning/missing");
    const fix = fixes[0]!;
    assert.deepEqual(fix.newFiles, ["2026/08.cleanings.yaml"]);
    assert.match(after(fix).get("2026/08.cleanings.yaml")!, /^cleanings:\n {2}- id: c-0813-1\n/);
  });
  it("comes after a partial one", () => {
    const partial =
      "#- 2026/08.cleanings.yaml\ncleanings:\n  - { id: c-0813-1, at: 2026-08-13T10:20, equipment: [dig-kit], by: mo, steps: [{ step: remove soil }] }\n";
    const { fixes, after } = fixesOf(visits + partial, "cleaning/incomplete");
    assert.match(after(fixes[0]).get("2026/08.cleanings.yaml")!, /\n {2}- id: c-0813-2\n {4}at: 2026-08-13T10:20\n/);
  });
  it("cleans the boots that were worn", () => {
    const worn = visits.replaceAll(", equipment: [dig-kit], footwear: disposable", ", footwear: unprotected");
    const { fixes, after } = fixesOf(worn, "cleaning/missing");
    assert.match(after(fixes[0]).get("2026/08.cleanings.yaml")!, /equipment: \[boots\/mo\]\n {4}by: mo\n/);
  });
  it("gives each of several an id of its own", () => {
    const third = `${visits}  - { id: v3, field: mill-flat, arrived: 2026-08-13T13:00, purpose: scouting, crew: [mo], equipment: [dig-kit], footwear: disposable }\n#- 2026/08.cleanings.yaml\ncleanings:\n  - { id: c-0801-1, at: 2026-08-01T10:20, equipment: [dig-kit], by: mo, steps: [{ step: remove soil }] }\n`;
    const { fixes, after } = fixesOf(third, "cleaning/missing");
    const ids = [
      ...after(fixes.find(({ kind }) => kind === "fix all"))
        .get("2026/08.cleanings.yaml")!
        .matchAll(/id: (c-0813-\d)/g),
    ].map(([, id]) => id);
    assert.deepEqual(ids, ["c-0813-1", "c-0813-2"]);
  });
});

describe("digs, samples and ratings", () => {
  const visit = `${VISIT}    purpose: scouting\n`;
  it("adds a dig for a patch, to the digs or with them", () => {
    const patch = `${visit}    patches:\n      - { id: p1, area_m2: 20 } # low\n`;
    assert.match(
      mend(`${patch}    note: wet\n`, "scouting/patch-not-dug"),
      /# low\n {4}digs:\n {6}- { id: d1, place: patch, patch: p1, plants: \d+ } # to confirm: plants and ratings\n {4}note: wet\n/,
    );
    assert.match(
      mend(`${patch}    digs:\n    - id: dig-01\n      place: entrance\n      plants: 15\n`, "scouting/patch-not-dug"),
      /plants: 15\n {4}- { id: dig-02, place: patch, patch: p1, plants: 15 } # to confirm[^\n]*\n/,
    );
    assert.match(
      mend(`${patch}    digs: [{ id: d1, place: entrance, plants: 15 }]\n`, "scouting/patch-not-dug"),
      /plants: 15 }, { id: d2, place: patch, patch: p1, plants: 15 }\]/,
    );
  });
  it("records the roots of a dig with galls", () => {
    const { fixes, after } = fixesOf(
      `${visit}    digs:\n      - { id: d1, place: entrance, plants: 10, ratings: [8, 1, 1, 0] }\n`,
      "scouting/galls-not-sampled",
    );
    assert.equal(
      after(fixes[0]).get("a.samples.yaml"),
      "samples:\n  - id: s-0813-1\n    field: mill-flat\n    visit: v1\n    dig: d1\n    material: roots\n    plants: 2\n    taken: 2026-08-13 # to confirm; add the day it is sent\n    packed: paper bag\n    lab: plains-lab\n",
    );
  });
  it("corrects plants from ratings; ratings from plants only where all had one rating", () => {
    const mixed = fixesOf(
      `${visit}    digs:\n      - { id: d1, place: entrance, plants: 20, ratings: [8, 1, 1, 0] }\n`,
      "scouting/ratings-total",
    );
    assert.match(mixed.after(mixed.fixes[0]).get("a.visits.yaml")!, /plants: 10, ratings: \[8, 1, 1, 0\]/);
    assert.ok(!mixed.fixes.some(({ title }) => /plants rated/.test(title)));
    const clean = fixesOf(
      `${visit}    digs:\n      - { id: d1, place: entrance, plants: 20, ratings: [19, 0, 0, 0] }\n`,
      "scouting/ratings-total",
    );
    assert.match(clean.after(clean.fixes[1]).get("a.visits.yaml")!, /plants: 20, ratings: \[20, 0, 0, 0\]/);
  });
});

describe("the strength of a mix", () => {
  const cleaning = (step: string): string =>
    `#- a.cleanings.yaml\ncleanings:\n  - id: c1\n    at: 2026-08-13T10:00\n    equipment: [dig-kit]\n    steps:\n      - { step: remove soil }\n      - { step: wash }\n      - ${step}\n`;
  it("is taken from stock and water", () => {
    // 6 % · 2 L / 8 L = 1.5 %
    assert.match(
      mend(
        cleaning(
          "{ step: disinfect, stock_percent: 6, stock_l: 2, water_l: 6, strength_percent: 3, contact_minutes: 20 }",
        ),
        "cleaning/mix-mismatch",
      ),
      /strength_percent: 1\.5,/,
    );
  });
  it("is not taken where the mix itself is too weak", () => {
    const { fixes } = fixesOf(
      cleaning("{ step: disinfect, stock_percent: 5.25, stock_l: 1, water_l: 10, contact_minutes: 20 }"),
      "cleaning/strength-too-low",
    );
    assert.ok(!fixes.some(({ title }) => title.includes("strength_percent")));
  });
});

describe("levels and accepted findings", () => {
  const wet = `${VISIT}    purpose: other\n    ground: wet # after rain\n`;
  const season = (text: string): string => `${wet}#- season.yaml\n${text}`;
  const off = (text: string): string => {
    const { fixes, after } = fixesOf(season(text), "entry/wet-ground");
    return after(fixes.find(({ title }) => title === "Turn entry/wet-ground off in season.yaml")).get("season.yaml")!;
  };
  it("writes the level into season.yaml, whatever stands there", () => {
    assert.equal(off("season: 2026 # ours\n"), "season: 2026 # ours\nrules:\n  entry/wet-ground: off\n");
    assert.equal(
      off("season: 2026\nrules:\n  trace/exposed: hint # known\n"),
      "season: 2026\nrules:\n  trace/exposed: hint # known\n  entry/wet-ground: off\n",
    );
    assert.equal(
      off("season: 2026\nrules: { trace/exposed: hint }\nx-mine: 1"),
      "season: 2026\nrules: { trace/exposed: hint, entry/wet-ground: off }\nx-mine: 1",
    );
    assert.equal(off("season: 2026\nrules:\n"), "season: 2026\nrules:\n  entry/wet-ground: off\n");
    assert.equal(off("season: 2026\nrules: {}\n"), "season: 2026\nrules: { entry/wet-ground: off }\n");
    assert.equal(
      off("season: 2026\nrules:\n  'entry/wet-ground': \"warning\"\n"),
      "season: 2026\nrules:\n  'entry/wet-ground': \"off\"\n",
    );
  });
  const accepted = (source: string, code = "entry/wet-ground"): string => {
    const { fixes, after } = fixesOf(source, code);
    const fix = fixes.find(({ title }) => title.startsWith("Accept"))!;
    const text = after(fix).get("a.visits.yaml")!;
    assert.equal(
      text.slice(fix.placeholder!.span.start, fix.placeholder!.span.end),
      "write here why this is right as it is",
    );
    return text;
  };
  it("accepts on the line above", () => {
    assert.match(
      accepted(wet),
      /\n {4}# accept entry\/wet-ground: write here why this is right as it is\n {4}ground: wet # after rain\n/,
    );
  });
  it("keeps away from another accept comment, and from within a text", () => {
    assert.match(
      accepted(`${VISIT}    purpose: other\n    # accept entry/re-entry: spray was called off\n    ground: wet\n`),
      /- id: v1 # accept entry\/wet-ground: write[^\n]*\n(.*\n)* {4}# accept entry\/re-entry: spray was called off\n {4}ground: wet\n/,
    );
    assert.match(
      accepted(
        `#- a.visits.yaml\nvisits:\n  - { id: v1, field: mill-flat, arrived: 2026-08-13T09:00, purpose: other,\n      note: "one\n      two", ground: wet }\n`,
      ),
      /purpose: other, # accept entry\/wet-ground: write[^\n]*\n {6}note: "one\n {6}two", ground: wet/,
    );
  });
  it("keeps CRLF", () => {
    const fixture = parseFixture(wet);
    const files = new Map([...fixture.files].map(([path, text]) => [path, text.replaceAll("\n", "\r\n")]));
    const { fixes, after } = fixesOf({ ...fixture, files }, "entry/wet-ground");
    for (const fix of fixes) for (const text of after(fix).values()) assert.ok(!/(?<!\r)\n/.test(text), fix.title);
  });
});

describe("an id that is given twice", () => {
  const code = "structure/duplicate-id";
  it("becomes the next free one, numbered as the book's are", () => {
    const visit = (id: string, day: string): string =>
      `  - { id: ${id}, field: mill-flat, arrived: ${day}T09:00, purpose: other } # 🌾\n`;
    const source = `#- a.visits.yaml\nvisits:\n${visit("v-0813-1", "2026-08-13")}${visit("v-0813-2", "2026-08-13")}${visit('"v-0813-1"', "2026-08-14")}`;
    assert.match(mend(source, code), /\n {2}- { id: "v-0814-1", field: mill-flat, arrived: 2026-08-14T09:00/);
  });
  it("keeps a name and gets a number where ids are names", () => {
    const fields = "#- b.fields.yaml\nfields:\n  - id: mill-flat\n  - id: mill-flat # again\n  - id: mill-flat-2\n";
    const { fixes, after } = fixesOf(fields, code);
    assert.equal(fixes[0]!.title, "Give it a free id: mill-flat-3");
    assert.match(after(fixes[0]).get("b.fields.yaml")!, /- id: mill-flat-3 # again\n/);
  });
  it("is free among the parts of its record", () => {
    const digs =
      "[{ id: d1, place: entrance, plants: 4 }, { id: d2, place: headland, plants: 4 }, { id: d1, place: other, plants: 4 }]";
    assert.match(mend(`${VISIT}    purpose: scouting\n    digs: ${digs}\n`, code), /{ id: d3, place: other/);
    const season = "#- season.yaml\nseason: 2026\ncrew: [{ id: mo }, { id: mo }, { id: mo }]\n";
    const { fixes, after } = fixesOf(season, code);
    assert.match(after(fixes[0]).get("season.yaml")!, /crew: \[{ id: mo }, { id: mo-2 }, { id: mo }\]/);
    const all = fixes.find(({ kind }) => kind === "fix all");
    assert.match(after(all).get("season.yaml")!, /crew: \[{ id: mo }, { id: mo-2 }, { id: mo-3 }\]/);
  });
});

describe("an accept comment that silences nothing", () => {
  const code = "structure/accept-unused";
  const accept = "# accept entry/wet-ground: dry by noon";
  it("is taken away with its line, or from behind what it stands behind", () => {
    assert.equal(
      mend(`${VISIT}    ${accept}\n    ground: dry # 🌾\n    purpose: other\n`, code),
      `${VISIT.split("\n").slice(1).join("\n")}    ground: dry # 🌾\n    purpose: other\n`,
    );
    assert.match(
      mend(`${VISIT}    purpose: other \t ${accept}\n    ground: dry\n`, code),
      /purpose: other\n {4}ground: dry\n/,
    );
    assert.match(mend(`#- a.visits.yaml\n${accept}\nvisits: []\n`, code), /^visits: \[\]\n/);
    assert.match(mend(`${VISIT}    purpose: other\n    ${accept}`, code), /purpose: other\n$/);
  });
  it("is left to the keeper as long as it says no reason", () => {
    const { fixes } = fixesOf(
      `${VISIT}    # accept entry/wet-ground dry by noon\n    ground: wet\n    purpose: other\n`,
      code,
    );
    assert.deepEqual(
      fixes.slice(0, 1).map(({ title, isPreferred }) => [title, isPreferred]),
      [["Take this comment away", false]],
    );
  });
});
