import { strict as assert } from "node:assert";
import { RULES } from "../../server/generated/rules.ts";
import { hover, rulePageHover } from "../../server/src/features/hover.ts";
import { inFile } from "../support/feature.ts";
import { AS_OF, cleaning, firstPart, HOVER_BOOK, hoverAt, shows, visit } from "../support/hovering.ts";

describe("hover", () => {
  describe("on a key", () => {
    it("says what it means, with its unit, whether it is required, its words and an example", () => {
      const area = hoverAt("#- a.fields.yaml\nfields:\n  - id: x\n    ar$0ea_ha: 3\n");
      assert.equal(area?.over, "area_ha");
      assert.equal(area.markdown, "**Area** (ha)\n\nThe field's size.\n\nExample: `area_ha: 62.4`");
      shows(
        hoverAt(visit("    fo$0otwear: disposable")),
        "**Footwear**\n",
        "- `disposable`: Single-use covers, bagged on leaving",
      );
      shows(hoverAt(visit("    digs: [{ pla$0nts: 3 }]")), "**Plants** (plants, required)");
    });

    it("reads flow style, CRLF and characters beyond the BMP, beside a record that is broken", () => {
      const lines = [
        "visits:",
        '  - { id: v0, field: [unclosed, note: "🌱',
        '  - { note: "🌱🌱", sta$0ge: 83 }',
        "  - id: v2",
        "    stag",
      ];
      const shown = hoverAt(`#- a.visits.yaml\n${lines.join("\r\n")}`);
      assert.equal(shown?.over, "stage");
      shows(shown, "**Growth stage** (BBCH)", "BBCH 83: 30 % of pods ripe");
    });

    it("knows the region's own keys, and leaves the keeper's own and unknown ones alone", () => {
      const region = `\n#- season.yaml\nseason: 2026\nregion: ours.region.yaml\n#- ours.region.yaml\nregion: ours\nextends: base\nrecords:\n  fields: { properties: { municipality: { type: string, title: Municipality, description: Where *it* lies } } }\n`;
      shows(
        hoverAt(`#- a.fields.yaml\nfields:\n  - id: x\n    munici$0pality: y${region}`),
        "**Municipality**",
        "Where \\*it\\* lies",
      );
      assert.equal(hoverAt(`#- a.fields.yaml\nfields:\n  - id: x\n    x-mi$0ne: y\n`), undefined);
      assert.equal(hoverAt(`#- a.fields.yaml\nfields:\n  - id: x\n    constr$0uctor: y\n`), undefined);
      assert.equal(hoverAt(`#- a.fields.yaml\nfields:\n  - id: x\n    __pro$0to__: { a: b }\n`), undefined);
    });

    it("gives the page of a rule whose level is set", () => {
      const shown = hoverAt("#- season.yaml\nseason: 2026\nrules: { entry/risk-o$0rder: error }\n");
      assert.equal(firstPart(shown), "# entry/risk-order");
    });
  });

  describe("on an id", () => {
    it("tells a field in brief: name, grower, status, crop, window", () => {
      const shown = hoverAt(visit("").replace("field: long-meadow", "field: long-me$0adow"));
      assert.equal(shown?.over, "long-meadow");
      shows(
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
      shows(
        hoverAt(visit("    entrance: north-$0gate")),
        "**Entrance north-gate of Long Meadow**",
        "machines usually come in",
      );
      shows(
        hoverAt(visit("    equipment: [seed$0er-1]")),
        "**Big seeder (seeder-1)**",
        "- Owner: Alder Bench Farm",
        "- Last cleaned: 14 Aug, in part, about 10 % of the soil left",
      );
      shows(hoverAt(visit("    crew: [m$0o]")), "**M. Okafor (mo)**", "- Last visit: Long Meadow, 16 Aug");
      shows(
        hoverAt(`${cleaning("step: wash").replace("id: c1", "id: c1\n    equipment: [boots/m$0o]")}${HOVER_BOOK}`),
        "**Boots of M. Okafor (boots/mo)**",
        "- Last cleaned: 14 Aug, in full",
      );
      shows(
        hoverAt(`#- a.samples.yaml\nsamples: [{ id: s1, lab: plains$0-lab }]\n`),
        "**Plains Plant Diagnostics (plains-lab)**",
        "- Results 21 days after sending",
      );
      shows(
        hoverAt("#- a.fields.yaml\nfields: [{ id: x, grower: alder$0-bench }]\n"),
        "**Alder Bench Farm (alder-bench)**",
        "- 1 field: 1 no host this season",
      );
    });

    it("tells visits, digs, patches, samples and clean-downs in brief", () => {
      const sample = (line: string): string =>
        `${AS_OF}#- a.samples.yaml\nsamples:\n  - id: s1\n    field: long-meadow\n    ${line}\n${HOVER_BOOK}`;
      shows(
        hoverAt(sample("visit: v$00")),
        "**v0: scouting, Long Meadow**",
        "- 14 Aug, 09:40 to 11:05",
        "- galls on 2 of 20 plants",
      );
      shows(
        hoverAt(sample("visit: v0\n    dig: d$01")),
        "**Dig d1 of v0**",
        "- Where: patch, patch p1",
        "- Samples: s1, s0",
      );
      shows(
        hoverAt(visit("    digs: [{ id: d9, patch: v0#p$01 }]")),
        "**Patch p1 of v0**",
        "- Symptom: ripening early",
        "- Area: 60 m²",
      );
      shows(hoverAt(visit("    patches: [{ id: p$07, symptom: pale }]")), "**Patch p7 of v1**", "- Symptom: pale");
      shows(hoverAt(sample("plants: 3").replace("id: s1", "id: s$01")), "**Sample s1**", "- From: Long Meadow");
      shows(
        hoverAt(cleaning("step: wash").replace("id: c1", "id: c$01")),
        "**Clean-down c1**",
        "- In part: not disinfected; about 1 % of the soil left",
      );
    });

    it("has nothing to say of an id that the book does not define", () => {
      assert.equal(hoverAt(visit("    crew: [nob$0ody]")), undefined);
      assert.equal(hoverAt(visit("    crew: [const$0ructor]")), undefined);
    });
  });

  describe("on a value", () => {
    it("says what a word means and what a number counts, and nothing of what speaks for itself", () => {
      assert.equal(hoverAt(visit("    ground: we$0t"))?.markdown, "**wet**: Soil sticks and travels: better stay out.");
      assert.equal(
        hoverAt(visit("    digs: [{ metres_in: 4$00 }]"))?.markdown,
        "**Metres in** (m): The distance from the entrance.",
      );
      assert.equal(hoverAt(visit("    note: as it st$0ands")), undefined);
      assert.equal(hoverAt(visit("    x-own: 1$02")), undefined);
    });

    it("has nothing to say between the parts of a record, outside records, and in a file of weather", () => {
      assert.equal(hoverAt(visit("    crew: $0 ")), undefined);
      assert.equal(hoverAt("#- a.visits.yaml\nvis$0its:\n  - id: v1\n"), undefined);
      assert.equal(hoverAt("#- a.weather.csv\ndate,tmin_c,tmax_c\n2026-05-0$01,1,2\n"), undefined);
    });
  });

  describe("on an accept comment", () => {
    it("gives the page of its rule without the examples", () => {
      const shown = hoverAt(
        `#- a.visits.yaml\nvisits:\n  - id: v1 # accept entry/foot$0wear-unprotected: the lane is gravel\n    field: long-meadow\n`,
      );
      assert.equal(shown?.over, "# accept entry/footwear-unprotected: the lane is gravel");
      assert.equal(firstPart(shown), "# entry/footwear-unprotected");
      assert.ok(!shown.markdown.includes("An example that"));
      assert.equal(hoverAt(`#- a.visits.yaml\n# accept no/such$0-rule: why\nvisits:\n  - id: v1\n`), undefined);
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
    const shown = hoverAt(source);
    assert.equal(
      firstPart(shown),
      "**\\<img src=x onerror=y\\> \\[a\\](command:b) \\`c\\` !\\[d\\](http\\://e.f) www\\.g.h i\\@j.k # l - m n \\&lt; (field)**",
    );
  });
});
