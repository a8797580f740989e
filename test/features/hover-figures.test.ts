import { strict as assert } from "node:assert";
import { AS_OF, cleaning, firstPart, HOVER_BOOK, hoverAt, shows, visit } from "../support/hovering.ts";

describe("hover on a figure", () => {
  it("shows how severity comes about, with its interval and source", () => {
    const shown = hoverAt(visit("    digs: [{ id: d1, place: entrance, plants: 100, ratings: [80, 1$00, 6, 4] }]"));
    // 80/10/6/4: incidence 20 %, DSI 11.33 % (recomputed from the formula with a statistics library). 20 of 100, exact
    // 95 % interval 12.67 to 29.18 % (recomputed with jStat's beta quantile).
    assert.equal(
      firstPart(shown)?.replace(/DSI 11\.3 % \(.*?\)/, "DSI 11.3 %"),
      "DSI 11.3 %, incidence 20 % (12.7 to 29.2 %)",
    );
    shows(
      shown,
      "`incidence = 20/100·100 = 20 %; DSI = (0·80 + 1·10 + 2·6 + 3·4)/(3·100)·100 = 11.33 %`",
      "Clopper & Pearson 1934",
      "Source: Horsfall & Heuberger 1942; Strelkov et al. 2006 (from memory)",
    );
    shows(
      hoverAt(visit("    digs: [{ plants: 30, rat$0ings: [18, 1, 1, 0] }]")),
      "The ratings are of 20 plants, where 30 were dug.",
    );
  });

  it("shows what the plants dug would have caught", () => {
    // ISPM 31 (FAO 2008), table 3, 95 %: with an efficacy of 95 %, 157 plants find an incidence of 2 %.
    shows(
      hoverAt(visit("    digs: [{ plants: 15$07 }]")),
      "157 plants, all clean, would have caught 2 % or more with 95 % confidence; 2 % takes 157 plants on the field",
      "ISPM 31",
      "sampling.root\\_sensitivity: common practice, no source",
    );
  });

  it("shows the strength of a mix beside the region's, with the usual cautions", () => {
    // 1 part of 5.25 % bleach to 10 of water: 0.48 % (CDC, Environmental Cleaning, appendix E).
    const shown = hoverAt(
      cleaning(
        "step: disinfect, product: bleach, stock_percent: 5.25, stock_l: 1, water_l: 1$00, strength_percent: 1.0",
      ),
    );
    assert.equal(firstPart(shown), "Stock and water make 0.48 %; recorded is 1 %; the region asks for 1 %");
    shows(
      shown,
      "`strength = stock %·stock/(stock + water) = 5.25 %·1/(1 + 10) = 0.4773 %`",
      "- Follow the product's label and local rules",
      "- Never mix bleach with acids or ammonia",
      "Source: CDC, Best Practices for Environmental Cleaning, appendix E; cleaning.strength\\_percent: ",
    );
    const other = hoverAt(cleaning("step: disinfect, product: quat, strength_percent: 1.$00"));
    shows(other, "Recorded is 1 %", "label");
    assert.ok(!other?.markdown.includes("bleach with acids"));
  });

  it("shows the contact time asked for, and how the soil left by a clean-down comes about", () => {
    shows(
      hoverAt(cleaning("step: disinfect, contact_minutes: 1$00")),
      "The region asks for 15 minutes of contact, 5 minutes more than recorded",
    );
    const shown = hoverAt(cleaning("step: wash").replace("steps", "ste$0ps"));
    shows(
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
    const seeded = hoverAt(crop("{ year: 2026, crop: canola, seeded: 2026-05$0-15 }"));
    assert.equal(
      firstPart(seeded),
      "Scouting window: 14 Aug to 4 Sep, swathing expected on 28 Aug, counted from seeding; window closes 4 Sep, in 15 days (swathing day expected)",
    );
    shows(
      seeded,
      "`swathing = seeded + 105 days = 2026-05-15 + 105 = 2026-08-28`",
      "growth.days\\_seed\\_to\\_swath: ",
    );
    const swathed = hoverAt(crop("{ year: 2026, crop: canola, seeded: 2026-05-15, swathed: 2026-08$0-18 }"));
    assert.equal(
      firstPart(swathed),
      "Scouting window: 4 Aug to 25 Aug, swathed on 18 Aug; window closes 25 Aug, in 5 days",
    );
    shows(swathed, "`window = swathing − 14 days to swathing + 7 days = 2026-08-04 to 2026-08-25`");
    assert.equal(hoverAt(crop("{ year: 2026, crop: barley, seeded: 2026-05$0-15 }")), undefined);
    assert.equal(hoverAt(crop("{ year: 2026, crop: canola, emerged: 2026-05$0-20 }")), undefined);
    assert.equal(hoverAt(visit("").replace("T09:40", "T09$0:40")), undefined);
  });

  it("shows the break before a host crop beside the region's", () => {
    const source = HOVER_BOOK.replace("year: 2026, crop: canola", "year: 2026, crop: can$0ola");
    assert.equal(
      firstPart(hoverAt(source.trimStart())),
      "canola is a host of clubroot; no break, 2024 and 2025 not recorded since canola in 2023; the region asks for a break of 2 years",
    );
  });

  it("shows the plants that the book's own goal takes, and a pack's sources", () => {
    // ISPM 31 (FAO 2008), table 3, 95 %: 157 at 2 % with an efficacy of 95 %; 59 at 5 % with 100 %.
    shows(
      hoverAt("#- season.yaml\nseason: 2026\nsampling: { confidence: 0.9$05, design_incidence: 0.02 }\n"),
      "157 plants on a field are enough",
    );
    const own = hoverAt(
      "#- season.yaml\nseason: 2026\nsampling: { confidence: 0.95, design_incidence: 0.0$05, root_sensitivity: 1 }\n",
    );
    shows(own, "59 plants on a field are enough");
    assert.ok(!own?.markdown.includes("sampling.confidence"));
    const pack =
      "#- ours.region.yaml\nregion: ours\nrotation: { break_$0years: 4 }\nsources: { rotation.break_years: <b>county</b> by-law }\n";
    shows(hoverAt(pack), "Where rotation.break\\_years comes from", "Source: \\<b\\>county\\</b\\> by-law");
  });

  it("adds a re-entry interval to the end of a visit, and defers to the label", () => {
    shows(
      hoverAt(visit("    left: 2026-08-16T11:00\n    re_entry_hours: 1$02")),
      "No entry before 2026-08-16 23:00, 12 h after the field was left",
      "label",
    );
    assert.ok(!hoverAt(visit("    re_entry_hours: 1e3$000"))?.markdown.includes("No entry before"));
  });

  it("shows what hangs on a find, and the region's duty of notice, with their sources", () => {
    const field = (more: string, region = "ca-prairies"): string =>
      `#- season.yaml\nseason: 2026\nregion: ${region}\n#- a.fields.yaml\nfields:\n  - id: oak\n    ${more}\n`;
    const found = hoverAt(field("clubroot: { found_on: 2026-0$09-01 }"));
    // 1095 days before 1 September 2026: 2 September 2023 (2024 was a leap year).
    assert.equal(
      firstPart(found),
      "The field's soil is taken to have been infested since 2023-09-02, 1095 days before the find",
    );
    shows(
      found,
      "within 7 days, by 2026-09-08",
      "trace.look\\_back\\_days: common practice, no source",
      "notice.within\\_days:",
    );
    shows(
      hoverAt(field("noti$0ces: []")),
      "the region asks for notice of a find within 7 days; who to ask:",
      "ask the municipality",
    );
    const silent = hoverAt(field("noti$0ces: []", "gb"));
    assert.ok(silent && !silent.markdown.includes("the region asks"));
  });

  it("shows a soil's pH beside what liming aims at", () => {
    const soil =
      "#- season.yaml\nseason: 2026\nregion: au\n#- a.fields.yaml\nfields: [{ id: oak, soil: { ph: 6$0.4 } }]\n";
    shows(
      hoverAt(soil),
      "pH 6.4 is 0.6 below the 7 or more that liming aims at",
      "A high pH hinders clubroot, and does not keep it out",
      "disease.liming\\_target\\_ph: Australian advice",
    );
  });

  it("shows how roots are packed and by when a sample goes, by the lab before the region", () => {
    const sample = (key: string, labs = ""): string =>
      `#- season.yaml\nseason: 2026\nregion: ca-prairies\n${labs}#- a.samples.yaml\nsamples:\n` +
      `  - { id: s1, lab: plains-lab, material: roots, ${key} }\n`;
    shows(hoverAt(sample("pac$0ked: tube")), "Roots go into a paper bag", "sample.packaging: common practice");
    const labs = "labs: [{ id: plains-lab, accepts: [paper bag, tube] }]\n";
    shows(hoverAt(sample("pac$0ked: tube", labs)), "Roots go into a paper bag or a tube, by the lab's own word");
    shows(hoverAt(sample("taken: 2026-08-1$04")), "To be sent by 2026-08-21, 7 days after it was taken", "no source");
  });

  it("shows which digs count as made at an entrance", () => {
    shows(
      hoverAt(visit("    digs: [{ plants: 20, metres_$0in: 40 }]")),
      "A dig at an entrance, or within 100 m of one, counts as made there",
      "Cao et al. 2009",
    );
  });
});
