import { strict as assert } from "node:assert";
import { check } from "../support/check.ts";

const only = (code: string) => ({ only: (found: string): boolean => found === code });

const CANOLA = `#- farm.rotations.yaml
rotations:
  - field: long-meadow
    crops: [{ year: 2026, crop: canola, swathed: 2026-08-27 }]
`;

/** A scouting visit to Long Meadow; its digs begin on the line below. */
function scouting(id: string, arrived: string, digs: string, mark = ""): string {
  return `  - id: ${id}
    field: long-meadow
    arrived: ${arrived}
    purpose: scouting
    crew: [mo]
    footwear: disposable
    digs:
${mark === "" ? "" : `   #^^^^ ${mark}\n`}${digs}
`;
}

function dig(id: string, plants: number, rest = ""): string {
  return `      - { id: ${id}, place: entrance, plants: ${plants}${rest} }`;
}

describe("scouting/too-few-plants", () => {
  const rule = only("scouting/too-few-plants");

  function book(sampling: string, plants: number, mark = ""): string {
    const season = `#- season.yaml\nseason: 2026\nregion: ca-prairies\ncrew: [{ id: mo }]\nsampling: ${sampling}\n`;
    return `${season}${CANOLA}#- a.visits.yaml\nvisits:\n${scouting("v1", "2026-08-14T09:00", dig("d1", plants), mark)}`;
  }

  function assertNeeds(plants: number, sampling: string): void {
    const verb = plants === 2 ? "1 plant was dug" : `${plants - 1} plants were dug`;
    const mark = `information scouting/too-few-plants: ${verb} on Long Meadow in its scouting window, 1 fewer than the ${plants} it`;
    check(book(sampling, plants - 1, mark), rule);
    check(book(sampling, plants), rule);
  }

  // ISPM 31 (FAO 2008), table 3: binomial, 95 %, by the efficacy of detection (cells from memory, recomputed exactly).
  const TABLE_3: [efficacy: number, ...plants: number[]][] = [
    [1, 59, 149, 299, 598, 2995],
    [0.95, 62, 157, 314, 630, 3152],
    [0.9, 66, 165, 332, 665, 3328],
    [0.8, 74, 186, 373, 748, 3744],
    [0.5, 119, 299, 598, 1197, 5990],
  ];
  const INCIDENCES = [0.05, 0.02, 0.01, 0.005, 0.001];
  for (const [efficacy, ...row] of TABLE_3) {
    it(`asks for the plants of ISPM 31's table 3 at ${efficacy * 100} % efficacy`, () => {
      row.forEach((plants, i) => {
        assertNeeds(plants, `{ confidence: 0.95, design_incidence: ${INCIDENCES[i]}, root_sensitivity: ${efficacy} }`);
      });
    });
  }

  it("asks for the plants of ISPM 31's table 3 at 99 % confidence", () => {
    // ISPM 31 (FAO 2008), table 3, 99 %, efficacy 100 % (from memory, recomputed exactly).
    [90, 228, 459, 919, 4603].forEach((plants, i) => {
      assertNeeds(plants, `{ confidence: 0.99, design_incidence: ${INCIDENCES[i]}, root_sensitivity: 1 }`);
    });
  });

  it("asks for the plants that RSurveillance asks for", () => {
    // RSurveillance's own test vectors: C = 0.95, Se = 0.91.
    const vectors = [
      [0.01, 328],
      [0.02, 164],
      [0.05, 65],
      [0.1, 32],
      [0.2, 15],
    ];
    for (const [incidence, plants] of vectors) {
      assertNeeds(plants, `{ confidence: 0.95, design_incidence: ${incidence}, root_sensitivity: 0.91 }`);
    }
  });

  it("says what the plants dug are good for", () => {
    // RSurveillance's own test vectors: 60 plants find 5 % with a probability of 0.936875 when Se = 0.9.
    const sampling = "{ confidence: 0.936875, design_incidence: 0.02, root_sensitivity: 0.9 }";
    const mark =
      "information scouting/too-few-plants: of the plants (60 show it from 5 % on); plan for all of them the next time";
    check(book(sampling, 60, mark), rule);
  });

  it("claims nothing for plants too few to show any incidence", () => {
    // One plant shows even a field wholly infected with a probability of 0.9 only.
    const sampling = "{ confidence: 0.95, design_incidence: 0.02, root_sensitivity: 0.9 }";
    const [finding] = check(book(sampling, 1, "information scouting/too-few-plants"), rule);
    assert.ok(!finding.message.includes("show"), finding.message);
  });

  it("takes the region's figures for those that the book leaves out", () => {
    // ISPM 31, table 3: 2 % at 95 % efficacy asks for 157 plants at 95 % confidence; 5 % for 62.
    assertNeeds(62, "{ design_incidence: 0.05 }");
  });

  it("gives the last day to dig while the window is open", () => {
    const mark = "information scouting/too-few-plants: dig the rest by 3 Sep";
    check(`#! as-of: 2026-09-03\n${book("{ confidence: 0.95 }", 20, mark)}`, rule);
  });

  it("adds up the window's visits, and only those", () => {
    const visits = (mark: string, last: string): string =>
      `${CANOLA}#- a.visits.yaml\nvisits:\n` +
      scouting("early", "2026-08-12T09:00", dig("d1", 100)) +
      scouting("v1", "2026-08-13T09:00", dig("d1", 100)) +
      scouting("v2", "2026-09-03T09:00", `${dig("d1", 50)}\n${dig("d2", Number(last))}`, mark) +
      scouting("late", "2026-09-04T09:00", dig("d1", 100));
    check(visits("information scouting/too-few-plants: 156 plants", "6"), rule);
    check(visits("", "7"), rule);
  });

  it("is silent where the plants of a dig cannot be read, and where nothing was dug in the window", () => {
    const unread = scouting("v1", "2026-08-14T09:00", "      - { id: d1, place: entrance, plants: many }");
    check(`${CANOLA}#- a.visits.yaml\nvisits:\n${unread}`, rule);
    check(`${CANOLA}#- a.visits.yaml\nvisits:\n${scouting("v1", "2026-07-14T09:00", dig("d1", 5))}`, rule);
  });
});

describe("scouting/window-missed and scouting/window-open", () => {
  const both = { only: (code: string): boolean => code.startsWith("scouting/window-") };
  // Swathing is counted from the seeding: 105 days after 7 May is 20 August, so the window is 6 to 27 August.
  const seeded = (mark: string): string => `#- farm.rotations.yaml
rotations:
  - field: long-meadow
    crops:
      - { year: 2026, crop: canola, seeded: 2026-05-07 }
${mark === "" ? "" : `      #                     ^^^^^^ ${mark}\n`}`;

  it("keep to the days of the window", () => {
    check(`#! as-of: 2026-08-05\n${seeded("")}`, both);
    check(`#! as-of: 2026-08-06\n${seeded("information scouting/window-open: closes on 27 Aug, 21 days left")}`, both);
    check(`#! as-of: 2026-08-26\n${seeded("information scouting/window-open: 1 day left")}`, both);
    check(`#! as-of: 2026-08-27\n${seeded("information scouting/window-open: today is the last day")}`, both);
    check(`#! as-of: 2026-08-28\n${seeded("warning scouting/window-missed: 6 Aug to 27 Aug")}`, both);
  });

  it("do not know of a visit later than the as-of day", () => {
    const visit = `#- a.visits.yaml\nvisits:\n${scouting("v1", "2026-08-14T09:00", dig("d1", 200))}`;
    check(`#! as-of: 2026-08-13\n#! today: 2026-10-31\n${seeded("information scouting/window-open")}${visit}`, both);
    check(`#! as-of: 2026-08-14\n#! today: 2026-10-31\n${seeded("")}${visit}`, both);
  });

  it("are silent on a crop of which neither seeding nor swathing is known, and on crops that are no hosts", () => {
    check(
      "#- farm.rotations.yaml\nrotations:\n  - { field: long-meadow, crops: [{ year: 2026, crop: canola }] }",
      both,
    );
    check(
      "#- farm.rotations.yaml\nrotations:\n  - { field: long-meadow, crops: [{ year: 2026, crop: barley, swathed: 2026-08-01 }] }",
      both,
    );
  });

  const EARLIER = `#- farm.rotations.yaml
rotations:
  - field: long-meadow
    crops:
      - { year: 2024, crop: canola, swathed: 2024-08-20 }
`;

  it("look at earlier years when all are asked for", () => {
    check(EARLIER, both);
    const mark = "      #                     ^^^^^^ warning scouting/window-missed: 6 Aug 2024 to 27 Aug 2024";
    const [finding] = check(`#! all-seasons\n${EARLIER}${mark}`, both);
    assert.ok(!finding.message.includes("stubble"), "there is no stubble left of a crop two years ago");
  });

  it("can be accepted with a reason", () => {
    const accepted = seeded("").replace(
      "      - {",
      "      # accept scouting/window-missed: hailed out in July\n      - {",
    );
    check(accepted, { only: (code) => both.only(code) || code === "structure/accept-unused" });
  });

  it("point to the visits that do not count", () => {
    const looked =
      "  - { id: looked, field: long-meadow, arrived: 2026-08-20T09:00, purpose: scouting, crew: [mo], footwear: disposable }\n";
    const visits =
      scouting("early", "2026-08-01T09:00", dig("d1", 20)) +
      looked +
      scouting("late", "2026-09-01T09:00", dig("d1", 20));
    const book = `${seeded("warning scouting/window-missed")}#- a.visits.yaml\nvisits:\n${visits}`;
    const [finding] = check(book, both);
    assert.deepEqual(
      finding.related.map((one) => one.message),
      [
        "scouted on 1 Aug, before the window opened",
        "scouted on 20 Aug, with nothing dug",
        "scouted on 1 Sep, after the window closed",
      ],
    );
  });

  it("name the usual entrance, and a field's only one", () => {
    const fields = (entrances: string): string =>
      `#- a.fields.yaml\nfields: [{ id: long-meadow, name: Long Meadow, entrances: [${entrances}] }]\n`;
    const open = (where: string): string => `${seeded(`information scouting/window-open: first near ${where}`)}`;
    check(
      `#! as-of: 2026-08-14\n${fields("{ id: west-gate }, { id: north-gate, name: the north gate, usual: true }")}${open("the north gate")}`,
      both,
    );
    check(`#! as-of: 2026-08-14\n${fields("{ id: west-gate }")}${open("west-gate")}`, both);
    check(
      `#! as-of: 2026-08-14\n${fields("{ id: west-gate }, { id: north-gate }")}${open("the usual entrance")}`,
      both,
    );
  });
});

describe("scouting/outside-window", () => {
  const rule = only("scouting/outside-window");
  const early = (mark: string): string => `#- farm.rotations.yaml
rotations: [{ field: long-meadow, crops: [{ year: 2026, crop: canola, seeded: 2026-05-07 }] }]
#- a.visits.yaml
visits:
  - id: v1
    field: long-meadow
    arrived: 2026-08-01T09:00
    #        ^^^^^^^^^^^^^^^^ information scouting/outside-window: ${mark}
    purpose: scouting
    digs: [{ id: d1, place: entrance, plants: 20 }]
`;

  it("says what can still be done on the day of asking", () => {
    check(
      `#! as-of: 2026-08-02\n${early("5 days before the scouting window opens on 6 Aug, when galls may still be too small to see; dig again from 6 Aug to 27 Aug")}`,
      rule,
    );
    check(
      `#! as-of: 2026-08-27\n${early("opened on 6 Aug, when galls may still be too small to see; dig again by 27 Aug")}`,
      rule,
    );
    check(
      `#! as-of: 2026-08-28\n${early("these plants are not counted, and the field was not dug inside the window")}`,
      rule,
    );
    const inside = scouting("v2", "2026-08-14T09:00", dig("d1", 20));
    check(`#! as-of: 2026-08-28\n${early("but the field was dug inside the window too")}${inside}`, rule);
  });

  it("is silent on a field without a host crop", () => {
    check(`#- a.visits.yaml\nvisits:\n${scouting("v1", "2026-07-14T09:00", dig("d1", 20))}`, rule);
  });
});

describe("scouting/entrance-not-dug", () => {
  const rule = only("scouting/entrance-not-dug");
  const FIELD = `#- a.fields.yaml
fields:
  - { id: long-meadow, name: Long Meadow, entrances: [{ id: west-gate, position: [-104.62, 50.44] }, { id: north-gate, position: [-104.6, 50.45], usual: true }] }
`;
  const away = (id: string, rest: string): string => `      - { id: ${id}, place: along the route, plants: 20${rest} }`;

  it("measures from the positions to the metre", () => {
    // A degree of latitude is 111,195 m: 0.000899 degrees are 99.96 m, 0.000900 are 100.08 m.
    const near = scouting("v1", "2026-08-14T09:00", away("d1", ", position: [-104.6, 50.449101]"));
    check(`${FIELD}${CANOLA}#- a.visits.yaml\nvisits:\n${near}`, rule);
    const mark =
      "warning scouting/entrance-not-dug: the only dig of 2026 on Long Meadow was not at an entrance or within 100 m of one, the nearest about 101 m away";
    const far = scouting("v1", "2026-08-14T09:00", away("d1", ", position: [-104.6, 50.4491]"), mark);
    const [finding] = check(`${FIELD}${CANOLA}#- a.visits.yaml\nvisits:\n${far}`, rule);
    assert.match(finding.message, /dig near north-gate too$/);
    assert.deepEqual(
      finding.related.map((one) => [one.file, one.message]),
      [["a.fields.yaml", "the usual entrance"]],
    );
  });

  it("counts any entrance, not the usual one alone", () => {
    const near = scouting("v1", "2026-08-14T09:00", away("d1", ", position: [-104.62, 50.44]"));
    check(`${FIELD}${CANOLA}#- a.visits.yaml\nvisits:\n${near}`, rule);
  });

  it("counts a visit outside the window, but none later than the as-of day, and tells the last visit", () => {
    const first = scouting("v0", "2026-07-20T09:00", dig("d1", 20));
    const second = scouting("v1", "2026-08-14T09:00", away("d1", ""));
    check(`${CANOLA}#- a.visits.yaml\nvisits:\n${first}${second}`, rule);
    const third = scouting(
      "v2",
      "2026-08-15T09:00",
      away("d1", ""),
      "warning scouting/entrance-not-dug: none of the 2 digs of 2026",
    );
    const later = scouting("v3", "2026-08-16T09:00", dig("d1", 20));
    check(
      `#! as-of: 2026-08-15\n#! today: 2026-10-31\n${CANOLA}#- a.visits.yaml\nvisits:\n${second}${third}${later}`,
      rule,
    );
    check(
      `#! as-of: 2026-08-16\n#! today: 2026-10-31\n${CANOLA}#- a.visits.yaml\nvisits:\n${second}${third.replace(/ {3}#.*\n/, "")}${later}`,
      rule,
    );
  });
});

describe("scouting/patch-not-dug", () => {
  const rule = only("scouting/patch-not-dug");
  const seen = (arrived: string, mark = "warning scouting/patch-not-dug"): string => `  - id: seen
    field: long-meadow
    arrived: ${arrived}
    purpose: other
    patches:
      - { id: p1 }
${mark === "" ? "" : `      #       ^^ ${mark}\n`}`;
  const digging = (arrived: string, patch: string): string =>
    scouting("digging", arrived, dig("d1", 10, `, patch: "${patch}"`));

  it("takes a dig of the same day for one, but not an earlier one, nor one of the next year", () => {
    const book = (visits: string): string => `#! as-of: 2027-10-31\n#- a.visits.yaml\nvisits:\n${visits}`;
    check(book(seen("2026-08-14T09:00", "") + digging("2026-08-14T09:00", "seen#p1")), rule);
    check(book(seen("2026-08-14T09:00") + digging("2026-08-13T09:00", "seen#p1")), rule);
    check(book(seen("2026-08-14T09:00") + digging("2027-08-14T09:00", "seen#p1")), rule);
  });

  it("takes a patch of another visit with the same id for another patch", () => {
    const other = scouting("digging", "2026-08-20T09:00", dig("d1", 10, ", patch: p1"));
    check(`#- a.visits.yaml\nvisits:\n${seen("2026-08-14T09:00")}${other}`, rule);
  });

  it("does not take a dig on another field for one", () => {
    const elsewhere = digging("2026-08-20T09:00", "seen#p1").replace("long-meadow", "mill-flat");
    check(`#- a.visits.yaml\nvisits:\n${seen("2026-08-14T09:00")}${elsewhere}`, rule);
  });

  it("looks at earlier years when all are asked for", () => {
    check(`#- a.visits.yaml\nvisits:\n${seen("2025-08-14T09:00", "")}`, rule);
    check(`#! all-seasons\n#- a.visits.yaml\nvisits:\n${seen("2025-08-14T09:00")}`, rule);
  });
});

describe("scouting/galls-not-sampled", () => {
  const rule = only("scouting/galls-not-sampled");
  const visit = (mark: string): string => `#- a.visits.yaml
visits:
  - id: v1
    field: long-meadow
    arrived: 2026-08-14T09:00
    purpose: harvest
    digs:
      - { id: d1, place: entrance, plants: 20, ratings: [17, 1, 1, 1], look_alikes: 2 }
${mark === "" ? "" : `      #       ^^ ${mark}\n`}      - { id: d2, place: entrance, plants: 20, ratings: [20, 0, 0, 0], look_alikes: 0 }
`;
  const sample = (rest: string): string =>
    `#- a.samples.yaml\nsamples: [{ id: s1, field: long-meadow, visit: v1, material: roots, ${rest} }]`;

  it("counts galls and look-alikes apart", () => {
    check(
      visit("warning scouting/galls-not-sampled: 3 plants with galls and 2 with swellings that may be look-alikes"),
      rule,
    );
  });

  it("asks for a sample of that very dig, taken by the as-of day", () => {
    const mark = "warning scouting/galls-not-sampled";
    check(visit(mark) + sample("dig: d2, taken: 2026-08-14"), rule);
    check(visit(mark) + sample("taken: 2026-08-14"), rule);
    check(visit("") + sample("dig: d1, taken: 2026-08-15"), rule);
    check(`#! as-of: 2026-08-14\n#! today: 2026-10-31\n${visit(mark)}${sample("dig: d1, taken: 2026-08-15")}`, rule);
  });

  it("is silent from the day on which a sample confirms the field", () => {
    const detected = sample("dig: d2, taken: 2026-08-14, result: { reported: 2026-08-28, finding: detected }");
    check(
      `#! as-of: 2026-08-27\n#! today: 2026-10-31\n${visit("warning scouting/galls-not-sampled")}${detected}`,
      rule,
    );
    check(`#! as-of: 2026-08-28\n#! today: 2026-10-31\n${visit("")}${detected}`, rule);
  });
});

describe("scouting rules", () => {
  const all = { only: (code: string): boolean => code.startsWith("scouting/") };

  it("are silent where the region has no figure", () => {
    const season =
      "#- season.yaml\nseason: 2026\nregion: bare.region.yaml\n#- bare.region.yaml\nregion: bare\ntitle: Bare\nhosts: [canola]\n";
    const visit =
      "visits: [{ id: v1, field: long-meadow, arrived: 2026-07-14T09:00, purpose: scouting, digs: [{ id: d1, place: other, plants: 1 }] }]";
    check(`${season}${CANOLA}#- a.visits.yaml\n${visit}`, all);
  });

  it("do not stumble over names that every object has", () => {
    const visits = `#- a.visits.yaml
visits:
  - id: constructor
    field: long-meadow
    arrived: 2026-08-14T09:00
    purpose: scouting
    patches:
      - { id: constructor }
      #       ^^^^^^^^^^^ warning scouting/patch-not-dug
      - { id: toString }
    digs:
   #^^^^ information scouting/too-few-plants: 3 plants
      - { id: d1, place: entrance, plants: 1, patch: "__proto__#constructor" }
      - { id: valueOf, place: entrance, plants: 2, patch: toString, ratings: [1, 1, 0, 0] }
      #       ^^^^^^^ warning scouting/galls-not-sampled
`;
    check(`${CANOLA}${visits}`, all);
  });

  it("look at nothing of other years", () => {
    const visit =
      "visits: [{ id: v1, field: long-meadow, arrived: 2025-08-14T09:00, purpose: scouting, patches: [{ id: p1 }], digs: [{ id: d1, place: other, plants: 9, ratings: [1, 1, 0, 0] }] }]";
    const book = `#- farm.rotations.yaml\nrotations: [{ field: long-meadow, crops: [{ year: 2025, crop: canola, swathed: 2025-08-20 }] }]\n#- a.visits.yaml\n${visit}`;
    check(book, all);
  });

  it("look at every year when all are asked for", () => {
    const book = `#! all-seasons
#- farm.rotations.yaml
rotations:
  - field: long-meadow
    crops: [{ year: 2025, crop: canola, swathed: 2025-08-20 }]
#- a.visits.yaml
visits:
  - id: v1
    field: long-meadow
    arrived: 2025-08-14T09:00
    purpose: scouting
    patches:
      - { id: p1 }
      #       ^^ warning scouting/patch-not-dug: on 14 Aug 2025
    digs:
   #^^^^ information scouting/too-few-plants
   #^^^^ warning scouting/entrance-not-dug
      - { id: d1, place: other, plants: 9, ratings: [7, 1, 0, 0] }
      #                                             ^^^^^^^^^^^^ error scouting/ratings-total
      #       ^^ warning scouting/galls-not-sampled
`;
    check(book, all);
  });
});
