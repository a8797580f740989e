import { strict as assert } from "node:assert";
import { inFolder, spadework } from "../support/command-line.ts";

const PLAN = ["plan", "sample-workspace", "--as-of", "2026-08-18"];
const HOME = ["--home", "51.88,-104.40"];

interface PlanAnswer {
  readonly method: string;
  readonly windows_missed: number;
  readonly bound: { readonly drive_km: number; readonly drive_gap: number | null };
  readonly drive_km: number;
  readonly walks: readonly {
    readonly day: string;
    readonly walker: string;
    readonly samples: readonly string[];
    readonly carry: { readonly stock_l: number };
    readonly ended: string;
    readonly fields: readonly {
      field: string;
      left: string;
      standing: string;
      plants: number;
      stops: { place: string; patch: string | null }[];
    }[];
  }[];
  readonly not_walked: readonly { readonly field: string; readonly reason: string }[];
  readonly done: readonly string[];
}

async function answer(...args: readonly string[]): Promise<PlanAnswer> {
  const { out, error, code } = await spadework([...PLAN, ...args, "--format", "json"]);
  assert.equal(error, "");
  assert.equal(code, 0);
  return JSON.parse(out) as PlanAnswer;
}

describe("spadework plan", () => {
  it("reads as a day's list: where, when, how many plants, the clean-down with its mix, what to take, what to mind", async () => {
    const { out, code, error } = await spadework([...PLAN, "--days", "4", ...HOME]);
    assert.equal(code, 0);
    assert.equal(error, "");
    for (const words of [
      "Plan for Tuesday 18 Aug to Friday 21 Aug, for M. Okafor and J. Lindqvist: 5 fields to walk, no window missed",
      "Tuesday 18 Aug, M. Okafor: 07:00 to ",
      "1. Lone Tree (clean), by east-gate after 7.7 km; dig 157 plants; window closes 4 Sep",
      "stop 1, at east-gate, within 100 m of it: 30 plants",
      "stops 2 to 11, along a W across the field: 12 or 13 plants each",
      // 5.25 % to 1 %: 0.952 L in 5 L (CDC, appendix E), rounded up to 10 mL so that it is not too weak.
      "then 0.96 L of 5.25 % bleach into 4.04 L of water (5 L of 1 %), 15 minutes wet",
      "in patch p2, seen on visit v-0818-rail-side (wilting, 25 m²",
      "hand in s-0818-1 of Rail Side to Plains Plant Diagnostics",
      "This is the best plan there is",
      "Never mix bleach with acids or ammonia",
      "Follow the product's label and local rules",
    ])
      assert.ok(out.includes(words), `${words}\nis not in\n${out}`);
    assert.ok(!out.includes("undefined") && !out.includes("NaN"));
    // dig-kit-1 was cleaned in full after it was on a field last.
    assert.ok(!out.includes("No full clean-down of dig-kit-1"));
  });

  it("tells what is left to do: the rest of a field, an undug patch, an entrance that was passed by, and nothing else", async () => {
    const { walks, done, not_walked } = await answer("--days", "4", ...HOME);
    const fields = new Map(walks.flatMap((walk) => walk.fields.map((field) => [field.field, field])));
    assert.deepEqual([...fields.keys()].sort(), [
      "dugout-field",
      "lone-tree",
      "mill-quarter",
      "rail-side",
      "west-eighty",
    ]);
    // 157 plants are wanted: 100 were dug on Dugout Field. Lone Tree was dug before its window opened.
    assert.equal(fields.get("dugout-field")!.plants, 57);
    assert.equal(fields.get("lone-tree")!.plants, 157);
    assert.deepEqual(
      fields.get("rail-side")!.stops.map(({ place, patch }) => [place, patch]),
      [["patch", "v-0818-rail-side#p2"]],
    );
    assert.deepEqual(
      fields.get("mill-quarter")!.stops.map(({ place }) => place),
      ["entrance"],
    );
    assert.deepEqual(done, ["east-slough", "hay-corner", "long-meadow"]);
    assert.deepEqual(not_walked, []);
  });

  it("walks clean before doubtful before confirmed each day, and hands samples in on the first", async () => {
    const { walks, method, drive_km, bound } = await answer("--days", "7", "--crew", "jl", ...HOME);
    const order = ["clean", "doubtful", "confirmed"];
    for (const { fields } of walks) {
      const ranks = fields.map(({ standing }) => order.indexOf(standing));
      assert.deepEqual(ranks, [...ranks].sort());
    }
    assert.deepEqual(
      walks.map(({ samples }) => samples),
      walks.map((_, i) => (i === 0 ? ["s-0818-1"] : [])),
    );
    assert.equal(method, "exact");
    assert.deepEqual([bound.drive_km, bound.drive_gap], [drive_km, 0]);
  });

  it("drives by the lab on the first day where its place is given, and takes the time to hand samples in", async () => {
    const one = ["--days", "1", "--crew", "mo", ...HOME];
    const [without, near, far] = await Promise.all([
      answer(...one),
      answer(...one, "--lab", "51.88,-104.40"),
      answer(...one, "--lab", "51.88,-104.80"),
    ]);
    assert.equal(near.drive_km, without.drive_km);
    // 0.4 degrees of longitude at 51.88 degrees north are 27.5 km, and 1.3 times that by road, there and back.
    assert.ok(far.drive_km > near.drive_km + 2 * 27 && far.drive_km < near.drive_km + 2 * 36, `${far.drive_km}`);
    // Without its samples the day would end 15 minutes earlier, by the region's figure.
    const ended = (one: PlanAnswer): number => Date.parse(`${one.walks[0]!.ended}Z`) / 60_000;
    const left = (one: PlanAnswer): number => Date.parse(`${one.walks[0]!.fields.at(-1)!.left}Z`) / 60_000;
    assert.ok(ended(without) - left(without) >= 15);
  });

  it("gives kit that two took along last to the first of them, and says so", async () => {
    const visit = (id: string, who: string, day: string): string =>
      `  - { id: ${id}, field: oak, arrived: ${day}T08:00, left: ${day}T09:00, purpose: scouting, crew: [${who}], equipment: [spade] }\n`;
    await inFolder(
      {
        "season.yaml": "season: 2026\nregion: base\ncrew: [{ id: mo, name: Mo }, { id: jl, name: Jo }]\n",
        "a.equipment.yaml": "equipment: [{ id: spade, kind: hand tools }]\n",
        "a.fields.yaml": "fields: [{ id: oak, name: Oak, area_ha: 20 }]\n",
        "a.rotations.yaml": "rotations: [{ field: oak, crops: [{ year: 2026, crop: canola, seeded: 2026-05-07 }] }]\n",
        "a.visits.yaml": `visits:\n${visit("v1", "mo", "2026-06-01")}${visit("v2", "jl", "2026-06-02")}`,
      },
      async (folder) => {
        const { out } = await spadework(["plan", folder, "--as-of", "2026-08-15", "--days", "2"]);
        assert.match(out, /spade was last with Jo too; in this plan Mo has it, and Jo takes other tools\./);
        assert.match(out, /No full clean-down of spade is on record since Oak on 2 Jun: clean it down before it goes/);
        assert.match(out, /Times count 60 plants an hour/);
        assert.match(out, /season\.yaml names no timezone, so daylight was not looked at/);
        assert.match(out, /No rain is recorded, so no field was left out for being wet/);
      },
    );
  });

  it("says what cannot be fitted in, and why", async () => {
    // The last day of three windows, and one person.
    const args = [
      "plan",
      "sample-workspace",
      "--as-of",
      "2026-08-12",
      "--from",
      "2026-08-30",
      "--days",
      "1",
      "--crew",
      "mo",
    ];
    const { out } = await spadework([...args, ...HOME]);
    assert.match(out, /2 fields to walk, 1 window missed, 4 more left out, 1 done already/);
    assert.match(
      out,
      /Left out \(X: its window is missed\):\n {2}X [\w ]+the days are full; its window closes on 30 Aug: add a day or a person\./,
    );
    assert.match(out, / {2}- Hay Corner +its window closed on 29 Aug; look at roots still in the stubble/);
    assert.match(out, / {2}- Lone Tree +the days are full; its window closes on 4 Sep: add a day or a person\./);
  });

  it("takes the middle of the fields for a start where none is given, and says so, and who is not needed", async () => {
    const { out } = await spadework([...PLAN, "--days", "4"]);
    // The median of the five entrances of the sample, each way.
    assert.match(
      out,
      /No start was given .* so the middle of the fields, 51\.90964 N, 104\.34508 W, is taken for it\./,
    );
    assert.match(
      out,
      /J\. Lindqvist has no field in this plan: sharing them out would walk no more fields, and drive no less\./,
    );
    assert.ok(!out.includes("back at the start"));
  });

  it("says when daylight was not looked at, for want of a place or of a time zone that is known", async () => {
    for (const timezone of ["America/Regina", "Mars/Olympus"])
      await inFolder(
        {
          "season.yaml": `season: 2026\nregion: base\ntimezone: ${timezone}\n`,
          "a.fields.yaml": "fields: [{ id: oak, area_ha: 20 }]\n",
          "a.rotations.yaml":
            "rotations: [{ field: oak, crops: [{ year: 2026, crop: canola, seeded: 2026-05-07 }] }]\n",
        },
        async (folder) => {
          const { out } = await spadework(["plan", folder, "--as-of", "2026-08-15", "--days", "2"]);
          assert.match(out, /so daylight was not looked at, only the region's hours\./);
        },
      );
  });

  it("waits for the re-entry interval of a spraying, and says so in every form", async () => {
    await inFolder(
      {
        "season.yaml": "season: 2026\nregion: base\ncrew: [{ id: mo }]\n",
        "a.fields.yaml": "fields: [{ id: oak, area_ha: 20 }]\n",
        "a.rotations.yaml": "rotations: [{ field: oak, crops: [{ year: 2026, crop: canola, seeded: 2026-05-07 }] }]\n",
        "a.visits.yaml":
          "visits: [{ id: v1, field: oak, arrived: 2026-08-14T20:00, left: 2026-08-14T21:00, purpose: spraying, re_entry_hours: 12 }]\n",
      },
      async (folder) => {
        // 21:00 and 12 hours.
        const args = ["plan", folder, "--as-of", "2026-08-15", "--days", "1"];
        assert.match((await spadework(args)).out, /09:00 {2}1\. oak[^\n]*\n +not before: it was sprayed/);
        const calendar = (await spadework([...args, "--format", "ics"])).out.replaceAll("\r\n ", "");
        assert.match(calendar, /DTSTART:20260815T090000\r\n/);
        assert.match(calendar, /Not before: it was sprayed\\; the product's label decides who may go in/);
      },
    );
  });

  it("leaves wet fields alone, and says so", async () => {
    // 8.6 mm fell on 16 August 2026.
    const { out } = await spadework(["plan", "sample-workspace", "--as-of", "2026-08-16", "--days", "1", ...HOME]);
    assert.match(out, /too wet by the rain recorded; its window closes on \d+ Aug: go when it carries/);
    assert.match(out, /0 fields to walk/);
    // 9.8 mm on 5 September, 3.2 mm on the 6th.
    const later = await spadework([
      "plan",
      "sample-workspace",
      "--as-of",
      "2026-09-06",
      "--from",
      "2026-09-06",
      ...HOME,
    ]);
    assert.match(later.out, /1\. Lone Tree/);
    assert.match(later.out, /The rain recorded makes fields too wet to walk on 6 Sep\./);
  });

  it("says in April only when fields can be planned, with nothing about a plan's merits, driving or cautions", async () => {
    const { out } = await spadework(["plan", "sample-workspace", "--as-of", "2026-04-10"]);
    assert.match(out, /: 0 fields to walk, no window missed, 8 left out\. /);
    assert.match(out, /Long Meadow +neither seeding nor swathing is recorded/);
    assert.doesNotMatch(out, /best plan|No start was given|Mind:/);
  });

  it("says where an exposed field was dug enough but not at its entrance, and on what soil may have come in there", async () => {
    const { out } = await spadework([...PLAN, "--days", "4", ...HOME]);
    assert.match(out, /Mill Quarter .*; dig 30 plants, 160 dug so far, enough but for these places; window/);
    assert.match(
      out,
      /stop 1, at south-gate, by which dig-kit-1 may have brought soil of an infested field, within 100 m/,
    );
  });

  it("lets one field with a mistyped place keep no other from being walked, and says that it is too far", async () => {
    const field = (id: string, longitude: number): string =>
      `  - { id: ${id}, area_ha: 20, entrances: [{ id: gate, position: [${longitude}, 51.9], usual: true }] }\n`;
    const crop = (id: string): string =>
      `  - { field: ${id}, crops: [{ year: 2026, crop: canola, seeded: 2026-05-07 }] }\n`;
    await inFolder(
      {
        "season.yaml": "season: 2026\nregion: base\ncrew: [{ id: mo }]\n",
        "a.fields.yaml": `fields:\n${field("ash", -104.4)}${field("elm", -104.41)}${field("oak", 104.42)}`,
        "a.rotations.yaml": `rotations:\n${["ash", "elm", "oak"].map(crop).join("")}`,
      },
      async (folder) => {
        const { out } = await spadework(["plan", folder, "--as-of", "2026-08-15", "--days", "2"]);
        assert.match(out, /2 fields to walk/);
        assert.match(
          out,
          /oak {2}the drive there and back leaves too little of a day for the [\w ]+ it takes; look whether its place/,
        );
      },
    );
  });

  it("says in plain words what it cannot take", async () => {
    for (const [args, message] of [
      [["--crew", "mo,xx"], 'there is nobody "xx" in the crew'],
      [["--crew", "moo"], 'there is nobody "moo" in the crew; did you mean "mo"?'],
      [["--crew", ","], "--crew takes the ids of those who walk, such as mo,jl"],
      [["--days", "0"], '--days takes a whole number above 0 and at most 60; "0" is none'],
      [["--days", "2.5"], '--days takes a whole number above 0 and at most 60; "2.5" is none'],
      [["--days", "1e9"], '--days takes a whole number above 0 and at most 60; "1e9" is none'],
      [["--home", "104.4"], '--home takes a latitude and a longitude in degrees, such as 51.885,-104.42; "104.4"'],
      [["--home", "91,0"], '--home takes a latitude and a longitude in degrees, such as 51.885,-104.42; "91,0"'],
      [["--from", "2026-08-01"], "--from 2026-08-01 is before 2026-08-18, the day the plan is made on"],
      [["--from", "soon"], '--from takes a day of the calendar such as 2026-08-18; "soon" is none'],
      [["--paper", "letter"], "--paper is for field sheets; name their folder with --sheets"],
      [
        ["--sheets", "sheets", "--links", "javascript:alert(1)"],
        "--links takes an address that begins with https://, http:// or vscode://",
      ],
      [["--litres", "-3"], '--litres takes a number above 0 and at most 1000; "-3" is none'],
    ] as const) {
      const { code, error, out } = await spadework([...PLAN, ...args]);
      assert.equal(code, 2, args.join(" "));
      assert.ok(error.includes(message), `${error} lacks ${message}`);
      assert.equal(out, "");
    }
  });

  it("mixes as many litres as are wanted, and says where a region lacks a figure", async () => {
    const { walks } = await answer("--days", "1", "--litres", "20", ...HOME);
    // 20 L of 1 % from 5.25 %: 3.81 L of stock each, rounded up to 10 mL (recomputed).
    assert.equal(walks[0]!.carry.stock_l, Number((3.81 * walks[0]!.fields.length).toFixed(3)));
    await inFolder(
      {
        "season.yaml": "season: 2026\nregion: bare.region.yaml\ncrew: [{ id: mo }]\n",
        "bare.region.yaml": "region: bare\nextends: base\nunknown: { plan: not known here }\n",
      },
      async (folder) => {
        const { code, error } = await spadework(["plan", folder]);
        assert.equal(code, 2);
        assert.match(
          error,
          /the region pack lacks figures that a plan counts with: plan\.hours_per_day, .*plan\.starts/,
        );
      },
    );
  });

  it("has nothing to plan in a book without fields, and says so", async () => {
    await inFolder({ "season.yaml": "season: 2026\nregion: base\n" }, async (folder) => {
      const { code, out } = await spadework(["plan", folder]);
      assert.equal(code, 0);
      assert.match(out, /for one person: 0 fields to walk/);
    });
  });

  it("lets no record of a hostile book forge a line, colour the terminal, or command a workflow's log", async () => {
    const evil = '"\\u001b[31mred\\n::error::forged\\u202E ##[group]"';
    await inFolder(
      {
        "season.yaml": `season: 2026\nregion: base\ncrew: [{ id: mo, name: ${evil} }]\nlabs: [{ id: l, name: ${evil} }]\n`,
        "a.fields.yaml": `fields: [{ id: oak, name: ${evil}, area_ha: 20, entrances: [{ id: g, name: ${evil} }] }, { id: elm, name: ${evil} }]\n`,
        "a.rotations.yaml":
          "rotations: [{ field: oak, crops: [{ year: 2026, crop: canola, seeded: 2026-05-01 }] }, { field: elm, crops: [{ year: 2026, crop: canola }] }]\n",
        "a.samples.yaml": "samples: [{ id: s1, field: oak, lab: l, material: soil, taken: 2026-08-01 }]\n",
      },
      async (folder) => {
        const { out, code } = await spadework(["plan", folder, "--as-of", "2026-08-10"]);
        assert.equal(code, 0);
        // eslint-disable-next-line no-control-regex
        assert.ok(!/[\u0000-\u0009\u000B-\u001F\u202E]|^\s*::|##\[/m.test(out), out);
        assert.match(out, /1 field to walk/);
        assert.match(out, /neither seeding nor swathing is recorded/);
      },
    );
  });

  it("says of a field without a window what is lacking: a day, or the region's figure", async () => {
    for (const [region, crop, words] of [
      ["base", "crop: canola", /oak {2}neither seeding nor swathing is recorded, so it is not known when to walk it/],
      ["au", "crop: canola, seeded: 2026-05-07", /oak {2}the region gives no scouting window, so it is not known/],
    ] as const)
      await inFolder(
        {
          "season.yaml": `season: 2026\nregion: ${region}\n`,
          "a.fields.yaml": "fields: [{ id: oak, area_ha: 20 }]\n",
          "a.rotations.yaml": `rotations: [{ field: oak, crops: [{ year: 2026, ${crop} }] }]\n`,
        },
        async (folder) => {
          const { out } = await spadework(["plan", folder, "--as-of", "2026-08-15"]);
          assert.match(out, words);
        },
      );
  });

  it("plans winter crops too, whose windows hang on seeding", async () => {
    await inFolder(
      {
        "season.yaml": "season: 2027\nregion: gb\ncrew: [{ id: mo }]\n",
        "a.fields.yaml": "fields: [{ id: oak, name: Oak, area_ha: 20 }]\n",
        "a.rotations.yaml":
          "rotations: [{ field: oak, crops: [{ year: 2027, crop: oilseed rape, seeded: 2026-08-28 }] }]\n",
      },
      async (folder) => {
        const { out } = await spadework(["plan", folder, "--as-of", "2026-11-02", "--days", "2"]);
        // 60 to 120 days after seeding, by the British pack.
        assert.match(out, /1\. Oak \(clean\), by the usual entrance; dig 157 plants; window closes 26 Dec/);
        const later = await spadework(["plan", folder, "--as-of", "2027-01-05"]);
        // The crop stands until summer: there is no stubble yet.
        assert.match(later.out, /Oak {2}its window closed on 26 Dec 2026; dig while the crop still stands, or have/);
      },
    );
  });
});
