import { strict as assert } from "node:assert";
import { hover, rulePageHover } from "../../server/src/features/hover.ts";
import { RULES } from "../../server/generated/rules.ts";
import { atCursor, inFile } from "../support/feature.ts";

interface Shown {
  readonly markdown: string;
  /** The text it speaks of. */
  readonly over: string;
}

function at(source: string): Shown | undefined {
  const { context, offset } = atCursor(source);
  const found = hover(context, offset);
  return found && { markdown: found.markdown, over: context.file.text.slice(found.span.start, found.span.end) };
}

/** The first paragraph. */
function head(shown: Shown | undefined): string | undefined {
  return shown?.markdown.split("\n\n")[0];
}

function includes(shown: Shown | undefined, ...parts: string[]): void {
  for (const part of parts)
    assert.ok(shown?.markdown.includes(part), `"${part}" is not in:\n${shown?.markdown ?? "(nothing)"}`);
}

const BOOK = `
#- book.fields.yaml
fields:
  - id: long-meadow
    name: Long Meadow
    grower: alder-bench
    area_ha: 62.4
    soil: { ph: 6.4, texture: clay loam }
    entrances: [{ id: north-gate, position: [-104.612, 50.447], usual: true }]
#- book.equipment.yaml
equipment: [{ id: seeder-1, name: Big seeder, kind: seeder, owner: alder-bench }]
#- book.rotations.yaml
rotations:
  - field: long-meadow
    crops: [{ year: 2023, crop: canola }, { year: 2026, crop: canola, variety: demo 41 R, resistance: { rating: R }, seeded: 2026-05-15 }]
#- book.visits.yaml
visits:
  - id: v0
    field: long-meadow
    arrived: 2026-08-14T09:40
    left: 2026-08-14T11:05
    purpose: scouting
    crew: [mo]
    footwear: disinfected
    patches: [{ id: p1, symptom: ripening early, area_m2: 60 }]
    digs: [{ id: d1, place: patch, patch: p1, plants: 20, ratings: [18, 1, 1, 0] }]
#- book.cleanings.yaml
cleanings: [{ id: c0, at: 2026-08-14T12:00, equipment: [seeder-1], by: mo, steps: [{ step: remove soil }] }]
#- book.samples.yaml
samples: [{ id: s0, field: long-meadow, visit: v0, dig: d1, material: roots, lab: plains-lab, taken: 2026-08-14, sent: 2026-08-15 }]
`;
const AS_OF = "#! as-of: 2026-08-20\n";

/** A visit of the book with one line put in. */
const visit = (line: string): string =>
  `${AS_OF}#- a.visits.yaml\nvisits:\n  - id: v1\n    field: long-meadow\n    arrived: 2026-08-16T09:40\n    purpose: scouting\n${line}${BOOK}`;
const cleaning = (step: string): string =>
  `#- a.cleanings.yaml\ncleanings:\n  - id: c1\n    steps:\n      - { step: remove soil }\n      - { ${step} }\n`;

describe("hover", () => {
  describe("on a key", () => {
    it("says what it means, with its unit, whether it is required, its words and an example", () => {
      const area = at("#- a.fields.yaml\nfields:\n  - id: x\n    ar$0ea_ha: 3\n");
      assert.equal(area?.over, "area_ha");
      assert.equal(area.markdown, "**Area** (ha)\n\nThe field's size.\n\nExample: `area_ha: 62.4`");
      includes(
        at(visit("    fo$0otwear: disposable")),
        "**Footwear**\n",
        "- `disposable`: Single-use covers, bagged on leaving",
      );
      includes(at(visit("    digs: [{ pla$0nts: 3 }]")), "**Plants** (plants, required)");
    });

    it("reads flow style, CRLF and characters beyond the BMP, beside a record that is broken", () => {
      const lines = [
        "visits:",
        '  - { id: v0, field: [unclosed, note: "🌱',
        '  - { note: "🌱🌱", sta$0ge: 83 }',
        "  - id: v2",
        "    stag",
      ];
      const shown = at(`#- a.visits.yaml\n${lines.join("\r\n")}`);
      assert.equal(shown?.over, "stage");
      includes(shown, "**Growth stage** (BBCH)", "BBCH 83: 30 % of pods ripe");
    });

    it("knows the region's own keys, and leaves the keeper's own and unknown ones alone", () => {
      const region = `\n#- season.yaml\nseason: 2026\nregion: ours.region.yaml\n#- ours.region.yaml\nregion: ours\nextends: base\nrecords:\n  fields: { properties: { municipality: { type: string, title: Municipality, description: Where *it* lies } } }\n`;
      includes(
        at(`#- a.fields.yaml\nfields:\n  - id: x\n    munici$0pality: y${region}`),
        "**Municipality**",
        "Where \\*it\\* lies",
      );
      assert.equal(at(`#- a.fields.yaml\nfields:\n  - id: x\n    x-mi$0ne: y\n`), undefined);
      assert.equal(at(`#- a.fields.yaml\nfields:\n  - id: x\n    constr$0uctor: y\n`), undefined);
      assert.equal(at(`#- a.fields.yaml\nfields:\n  - id: x\n    __pro$0to__: { a: b }\n`), undefined);
    });

    it("gives the page of a rule whose level is set", () => {
      const shown = at("#- season.yaml\nseason: 2026\nrules: { entry/risk-o$0rder: error }\n");
      assert.equal(head(shown), "# entry/risk-order");
    });
  });

  describe("on an id", () => {
    it("tells a field in brief: name, grower, status, crop, window", () => {
      const shown = at(visit("").replace("field: long-meadow", "field: long-me$0adow"));
      assert.equal(shown?.over, "long-meadow");
      includes(
        shown,
        "**Long Meadow (long-meadow)**",
        "- Status: suspected: galls in dig d1 of v0",
        "- Grower: Alder Bench Farm",
        "- Crop of 2026: canola, demo 41 R, rated R, seeded 2026-05-15",
        "- Scouting window: 14 Aug to 4 Sep; window closes 4 Sep, in 15 days (swathing day expected)",
        "- 20 plants dug, 10 % with galls, DSI 5 %",
        "- Area: 62.4 ha",
        "- Soil: clay loam, pH 6.4",
      );
    });

    it("tells entrances, equipment, boots, people, labs and growers in brief", () => {
      includes(
        at(visit("    entrance: north-$0gate")),
        "**Entrance north-gate of Long Meadow**",
        "machines usually come in",
      );
      includes(
        at(visit("    equipment: [seed$0er-1]")),
        "**Big seeder (seeder-1)**",
        "- Owner: Alder Bench Farm",
        "- Last cleaned: 14 Aug, in part, about 10 % of the soil left",
      );
      includes(at(visit("    crew: [m$0o]")), "**M. Okafor (mo)**", "- Last visit: Long Meadow, 16 Aug");
      includes(
        at(`${cleaning("step: wash").replace("id: c1", "id: c1\n    equipment: [boots/m$0o]")}${BOOK}`),
        "**Boots of M. Okafor (boots/mo)**",
        "- Last cleaned: 14 Aug, in full",
      );
      includes(
        at(`#- a.samples.yaml\nsamples: [{ id: s1, lab: plains$0-lab }]\n`),
        "**Plains Plant Diagnostics (plains-lab)**",
        "- Results 21 days after sending",
      );
      includes(
        at("#- a.fields.yaml\nfields: [{ id: x, grower: alder$0-bench }]\n"),
        "**Alder Bench Farm (alder-bench)**",
        "- 1 field: 1 no host this season",
      );
    });

    it("tells visits, digs, patches, samples and clean-downs in brief", () => {
      const sample = (line: string): string =>
        `${AS_OF}#- a.samples.yaml\nsamples:\n  - id: s1\n    field: long-meadow\n    ${line}\n${BOOK}`;
      includes(
        at(sample("visit: v$00")),
        "**v0: scouting, Long Meadow**",
        "- 14 Aug, 09:40 to 11:05",
        "- galls on 2 of 20 plants",
      );
      includes(
        at(sample("visit: v0\n    dig: d$01")),
        "**Dig d1 of v0**",
        "- Where: patch, patch p1",
        "- Samples: s1, s0",
      );
      includes(
        at(visit("    digs: [{ id: d9, patch: v0#p$01 }]")),
        "**Patch p1 of v0**",
        "- Symptom: ripening early",
        "- Area: 60 m²",
      );
      includes(at(visit("    patches: [{ id: p$07, symptom: pale }]")), "**Patch p7 of v1**", "- Symptom: pale");
      includes(at(sample("plants: 3").replace("id: s1", "id: s$01")), "**Sample s1**", "- From: Long Meadow");
      includes(
        at(cleaning("step: wash").replace("id: c1", "id: c$01")),
        "**Clean-down c1**",
        "- In part: not disinfected; about 1 % of the soil left",
      );
    });

    it("has nothing to say of an id that the book does not define", () => {
      assert.equal(at(visit("    crew: [nob$0ody]")), undefined);
      assert.equal(at(visit("    crew: [const$0ructor]")), undefined);
    });
  });

  describe("on a figure", () => {
    it("shows how severity comes about, with its interval and source", () => {
      const shown = at(visit("    digs: [{ id: d1, place: entrance, plants: 100, ratings: [80, 1$00, 6, 4] }]"));
      // 80/10/6/4: incidence 20 %, DSI 11.33 % (recomputed from the formula with a statistics library). 20 of 100, exact
      // 95 % interval 12.67 to 29.18 % (recomputed with jStat's beta quantile).
      assert.equal(
        head(shown)?.replace(/DSI 11\.3 % \(.*?\)/, "DSI 11.3 %"),
        "DSI 11.3 %, incidence 20 % (12.7 to 29.2 %)",
      );
      includes(
        shown,
        "`incidence = 20/100·100 = 20 %; DSI = (0·80 + 1·10 + 2·6 + 3·4)/(3·100)·100 = 11.33 %`",
        "Clopper & Pearson 1934",
        "Source: Horsfall & Heuberger 1942; Strelkov et al. 2006 (from memory)",
      );
      includes(
        at(visit("    digs: [{ plants: 30, rat$0ings: [18, 1, 1, 0] }]")),
        "The ratings are of 20 plants, where 30 were dug.",
      );
    });

    it("shows what the plants dug would have caught", () => {
      // ISPM 31 (FAO 2008), table 3, 95 %: with an efficacy of 95 %, 157 plants find an incidence of 2 %.
      includes(
        at(visit("    digs: [{ plants: 15$07 }]")),
        "157 plants, all clean, would have caught 2 % or more with 95 % confidence; 2 % takes 157 plants on the field",
        "ISPM 31",
        "sampling.root\\_sensitivity: common practice, no source",
      );
    });

    it("shows the strength of a mix beside the region's, with the usual cautions", () => {
      // 1 part of 5.25 % bleach to 10 of water: 0.48 % (CDC, Environmental Cleaning, appendix E).
      const shown = at(
        cleaning(
          "step: disinfect, product: bleach, stock_percent: 5.25, stock_l: 1, water_l: 1$00, strength_percent: 1.0",
        ),
      );
      assert.equal(head(shown), "Stock and water make 0.48 %; recorded is 1 %; the region asks for 1 %");
      includes(
        shown,
        "`strength = stock %·stock/(stock + water) = 5.25 %·1/(1 + 10) = 0.4773 %`",
        "- Follow the product's label and local rules",
        "- Never mix bleach with acids or ammonia",
        "Source: CDC, Best Practices for Environmental Cleaning, appendix E; cleaning.strength\\_percent: ",
      );
      const other = at(cleaning("step: disinfect, product: quat, strength_percent: 1.$00"));
      includes(other, "Recorded is 1 %", "label");
      assert.ok(!other?.markdown.includes("bleach with acids"));
    });

    it("shows the contact time asked for, and how the soil left by a clean-down comes about", () => {
      includes(
        at(cleaning("step: disinfect, contact_minutes: 1$00")),
        "The region asks for 15 minutes of contact, 5 minutes more than recorded",
      );
      const shown = at(cleaning("step: wash").replace("steps", "ste$0ps"));
      includes(
        shown,
        "A partial clean-down: not disinfected; about 1 % of the soil left",
        "`share of soil left = 0.1 (remove soil) · 0.1 (wash) = 0.01`",
        "cleaning.soil\\_left.wash: Grainews",
      );
    });

    it("shows the window that hangs on seeding or swathing, and nothing on other dates", () => {
      const crop = (text: string): string =>
        `${AS_OF}#- a.rotations.yaml\nrotations:\n  - field: east-rise\n    crops:\n      - ${text}\n`;
      // 15 May and 105 days is 28 August; 14 days before to 7 days after it.
      const seeded = at(crop("{ year: 2026, crop: canola, seeded: 2026-05$0-15 }"));
      assert.equal(
        head(seeded),
        "Scouting window: 14 Aug to 4 Sep, swathing expected on 28 Aug, counted from seeding; window closes 4 Sep, in 15 days (swathing day expected)",
      );
      includes(
        seeded,
        "`swathing = seeded + 105 days = 2026-05-15 + 105 = 2026-08-28`",
        "growth.days\\_seed\\_to\\_swath: ",
      );
      const swathed = at(crop("{ year: 2026, crop: canola, seeded: 2026-05-15, swathed: 2026-08$0-18 }"));
      assert.equal(
        head(swathed),
        "Scouting window: 4 Aug to 25 Aug, swathed on 18 Aug; window closes 25 Aug, in 5 days",
      );
      includes(swathed, "`window = swathing − 14 days to swathing + 7 days = 2026-08-04 to 2026-08-25`");
      assert.equal(at(crop("{ year: 2026, crop: barley, seeded: 2026-05$0-15 }")), undefined);
      assert.equal(at(crop("{ year: 2026, crop: canola, emerged: 2026-05$0-20 }")), undefined);
      assert.equal(at(visit("").replace("T09:40", "T09$0:40")), undefined);
    });

    it("shows the break before a host crop beside the region's", () => {
      const source = BOOK.replace("year: 2026, crop: canola", "year: 2026, crop: can$0ola");
      assert.equal(
        head(at(source.trimStart())),
        "canola is a host of clubroot; no break, 2024 and 2025 not recorded since canola in 2023; the region asks for a break of 2 years",
      );
    });

    it("shows the plants that the book's own goal takes, and a pack's sources", () => {
      // ISPM 31 (FAO 2008), table 3, 95 %: 157 at 2 % with an efficacy of 95 %; 59 at 5 % with 100 %.
      includes(
        at("#- season.yaml\nseason: 2026\nsampling: { confidence: 0.9$05, design_incidence: 0.02 }\n"),
        "157 plants on a field are enough",
      );
      const own = at(
        "#- season.yaml\nseason: 2026\nsampling: { confidence: 0.95, design_incidence: 0.0$05, root_sensitivity: 1 }\n",
      );
      includes(own, "59 plants on a field are enough");
      assert.ok(!own?.markdown.includes("sampling.confidence"));
      const pack =
        "#- ours.region.yaml\nregion: ours\nrotation: { break_$0years: 4 }\nsources: { rotation.break_years: <b>county</b> by-law }\n";
      includes(at(pack), "Where rotation.break\\_years comes from", "Source: \\<b\\>county\\</b\\> by-law");
    });

    it("adds a re-entry interval to the end of a visit, and defers to the label", () => {
      includes(
        at(visit("    left: 2026-08-16T11:00\n    re_entry_hours: 1$02")),
        "No entry before 2026-08-16 23:00, 12 h after the field was left",
        "label",
      );
      assert.ok(!at(visit("    re_entry_hours: 1e3$000"))?.markdown.includes("No entry before"));
    });
  });

  describe("on a value", () => {
    it("says what a word means and what a number counts, and nothing of what speaks for itself", () => {
      assert.equal(at(visit("    ground: we$0t"))?.markdown, "**wet**: Soil sticks and travels: better stay out.");
      assert.equal(
        at(visit("    digs: [{ metres_in: 4$00 }]"))?.markdown,
        "**Metres in** (m): The distance from the entrance.",
      );
      assert.equal(at(visit("    note: as it st$0ands")), undefined);
      assert.equal(at(visit("    x-own: 1$02")), undefined);
    });

    it("has nothing to say between the parts of a record, outside records, and in a file of weather", () => {
      assert.equal(at(visit("    crew: $0 ")), undefined);
      assert.equal(at("#- a.visits.yaml\nvis$0its:\n  - id: v1\n"), undefined);
      assert.equal(at("#- a.weather.csv\ndate,tmin_c,tmax_c\n2026-05-0$01,1,2\n"), undefined);
    });
  });

  describe("on an accept comment", () => {
    it("gives the page of its rule without the examples", () => {
      const shown = at(
        `#- a.visits.yaml\nvisits:\n  - id: v1 # accept entry/foot$0wear-unprotected: the lane is gravel\n    field: long-meadow\n`,
      );
      assert.equal(shown?.over, "# accept entry/footwear-unprotected: the lane is gravel");
      assert.equal(head(shown), "# entry/footwear-unprotected");
      assert.ok(!shown.markdown.includes("An example that"));
      assert.equal(at(`#- a.visits.yaml\n# accept no/such$0-rule: why\nvisits:\n  - id: v1\n`), undefined);
    });

    it("has a page for every rule, and none for a name that every object knows", () => {
      for (const { code } of RULES) assert.ok(rulePageHover(code)?.startsWith(`# ${code}\n`), code);
      assert.equal(rulePageHover("constructor"), undefined);
      assert.equal(rulePageHover("__proto__"), undefined);
    });
  });

  it("never throws, at any offset of a half-typed book", () => {
    const text = `#- a.visits.yaml\n${visit("    digs: [{ id: d1, ratings: [1, 2, 3, ], plants: {a: b}, patch: v0# }]\n    crew: [mo, *x, &y z]\n    ? [a, b]\n    : c").split("#- a.visits.yaml\n")[1]!}`;
    const context = inFile(text);
    for (let offset = 0; offset <= context.file.text.length; offset++) {
      const found = hover(context, offset);
      if (found) assert.ok(found.span.start <= offset && offset <= found.span.end, `at ${offset}`);
    }
  });

  it("shows what records say as text: no HTML, link, image, code or second line of theirs", () => {
    const name = '"<img src=x onerror=y> [a](command:b) `c` ![d](http://e.f) www.g.h i@j.k\\n# l\\n- m \\u202En &lt;"';
    const source = `#- a.visits.yaml\nvisits: [{ id: v1, field: fi$0eld }]\n#- a.fields.yaml\nfields: [{ id: field, name: ${name} }]\n`;
    const shown = at(source);
    assert.equal(
      head(shown),
      "**\\<img src=x onerror=y\\> \\[a\\](command:b) \\`c\\` !\\[d\\](http\\://e.f) www\\.g.h i\\@j.k # l - m n \\&lt; (field)**",
    );
  });
});
