import { strict as assert } from "node:assert";
import { inFolder, spadework, type CommandResult } from "../support/command-line.ts";

interface JsonField {
  field: string;
  status: string;
  plants_dug: number;
  samples_pending: number;
  probability_free: number | null;
}

async function risk(book: Readonly<Record<string, string>>, ...args: string[]): Promise<CommandResult> {
  return inFolder(book, (folder) => spadework(["risk", folder, ...args]));
}

async function riskJson(book: Readonly<Record<string, string>>, ...args: string[]): Promise<JsonField[]> {
  const { out, code, error } = await risk(book, "--format", "json", ...args);
  assert.equal(error, "");
  assert.equal(code, 0);
  return (JSON.parse(out) as { fields: JsonField[] }).fields;
}

const BOOK: Readonly<Record<string, string>> = {
  "season.yaml": "season: 2026\nregion: ca-prairies\ngrowers:\n  - { id: alder-bench, name: Alder Bench Farm }\n",
  "all.fields.yaml": `fields:
  - { id: mill-flat, name: Mill Flat, clubroot: { found_on: 2026-04-02 } }
  - { id: long-meadow, name: Long Meadow, grower: alder-bench }
  - { id: east-rise, name: East Rise }
  - { id: far-corner, name: Far Corner }
`,
  "all.equipment.yaml": "equipment:\n  - { id: seeder-1, kind: seeder }\n",
  "all.rotations.yaml": `rotations:
  - field: long-meadow
    crops:
      - { year: 2023, crop: canola }
      - { year: 2024, crop: oats }
      - { year: 2025, crop: barley }
      - { year: 2026, crop: canola, swathed: 2026-08-28 }
  - field: far-corner
    crops: [{ year: 2026, crop: canola, seeded: 2026-05-15 }]
`,
  "all.visits.yaml": `visits:
  - { id: v1, field: mill-flat, arrived: 2026-05-08T08:00, left: 2026-05-08T18:00, purpose: seeding, equipment: [seeder-1] }
  - { id: v2, field: east-rise, arrived: 2026-05-09T08:00, purpose: seeding, equipment: [seeder-1] }
  - id: v3
    field: long-meadow
    arrived: 2026-08-20T09:00
    left: 2026-08-20T11:00
    purpose: scouting
    digs:
      - { id: d1, place: entrance, plants: 100, ratings: [80, 10, 6, 4] }
  - { id: v4, field: long-meadow, arrived: 2026-08-30T09:00, purpose: swathing, digs: [{ id: d1, place: other, plants: 5 }] }
`,
  "all.cleanings.yaml":
    "cleanings:\n  - { id: c1, at: 2026-05-08T18:30, equipment: [seeder-1], steps: [{ step: remove soil }] }\n",
  "all.samples.yaml":
    "samples:\n  - { id: s1, field: long-meadow, visit: v3, dig: d1, material: roots, plants: 20, taken: 2026-08-20 }\n",
};

const NOTHING_KNOWN = {
  grower: null,
  last_scouted: null,
  plants_dug: 0,
  detectable_incidence: null,
  dsi_percent: null,
  incidence_percent: null,
  window: null,
  break_years: null,
  exposure: null,
  samples_pending: 0,
  probability_free: null,
};

describe("spadework risk", () => {
  it("gives the JSON of the format, key by key, with figures worked out by hand", async () => {
    const { out, error, code } = await risk(BOOK, "--format", "json", "--as-of", "2026-09-01");
    const report = JSON.parse(out) as { fields: Record<string, unknown>[] };
    const near = (field: number, key: string, expected: number): void => {
      const value = report.fields[field]![key] as number;
      assert.ok(Math.abs(value - expected) < 5e-7, `${key} is ${value}, not ${expected}`);
    };
    // Prior of 0.1 and 0.01 a carriage by the base pack, common practice. A tenth of the soil was left after loose soil was
    // removed: 0.9 · (1 − 0.01 · 0.1).
    near(0, "probability_free", 0.8991);
    near(1, "probability_free", 0.9);
    // The incidence that 100 plants catch at 95 %, with a root sensitivity of 0.95 (binomial, ISPM 31, solved for it):
    // (1 − 0.05^(1/100)) / 0.95 = (1 − 0.9704870) / 0.95.
    near(2, "detectable_incidence", 0.0310664);
    // 80, 10, 6 and 4 plants rated 0 to 3: (10 + 2·6 + 3·4) / (3·100), Horsfall & Heuberger 1942.
    near(2, "dsi_percent", 34 / 3);
    const [eastRise, farCorner, longMeadow] = report.fields;
    const expected = {
      as_of: "2026-09-01",
      fields: [
        {
          field: "east-rise",
          ...NOTHING_KNOWN,
          status: "exposed",
          exposure: {
            field: "east-rise",
            arrived: "2026-05-09T08:00",
            carriages: 1,
            soil_left: 0.1,
            chain: [
              {
                from: "mill-flat",
                to: "east-rise",
                carrier: "seeder-1",
                left: "2026-05-08T18:00",
                arrived: "2026-05-09T08:00",
                soil_left: 0.1,
              },
            ],
          },
          probability_free: eastRise!.probability_free,
        },
        {
          field: "far-corner",
          ...NOTHING_KNOWN,
          status: "unscouted",
          // 105 days from 15 May is 28 August; from 14 days before to 7 after.
          window: { opens: "2026-08-14", closes: "2026-09-04", basis: "days" },
          probability_free: farCorner!.probability_free,
        },
        {
          field: "long-meadow",
          grower: "alder-bench",
          status: "suspected",
          last_scouted: "2026-08-20",
          // The five plants dug while swathing were no scouting.
          plants_dug: 100,
          detectable_incidence: longMeadow!.detectable_incidence,
          dsi_percent: longMeadow!.dsi_percent,
          incidence_percent: 20,
          window: { opens: "2026-08-14", closes: "2026-09-04", basis: "recorded" },
          break_years: 2,
          exposure: null,
          samples_pending: 1,
          probability_free: null,
        },
        { field: "mill-flat", ...NOTHING_KNOWN, status: "confirmed" },
      ],
    };
    assert.deepEqual(report, expected);
    // The keys of each field stand in the order of the format.
    for (const field of report.fields) assert.deepEqual(Object.keys(field), Object.keys(longMeadow!));
    assert.deepEqual(Object.keys(longMeadow!), Object.keys(expected.fields[2]!));
    assert.ok(out.endsWith("}\n"));
    assert.equal(error, "");
    assert.equal(code, 0);
  });

  it("forecasts the window from degree days where there is weather", async () => {
    // 15 degree days a day from 15 May: 1500, the pack's figure, on the hundredth, 22 August.
    const days = Array.from({ length: 140 }, (_, i) => new Date(Date.UTC(2026, 4, 1 + i)).toISOString().slice(0, 10));
    const weather = `date,tmin_c,tmax_c\n${days.map((day) => `${day},10,20\n`).join("")}`;
    const fields = await riskJson({ ...BOOK, "yard.weather.csv": weather }, "--as-of", "2026-09-10");
    assert.deepEqual((fields[1] as JsonField & { window: unknown }).window, {
      opens: "2026-08-08",
      closes: "2026-08-29",
      basis: "forecast",
    });
  });

  it("shows the riskiest first, with the reason, the figures and what to do", async () => {
    // The interval of the severity: the mean of those of 20, 10 and 4 plants in 100 (rated 1, 2, 3 or more), each exact at
    // 1 − 0.05/3 by jStat's beta quantiles.
    const { out } = await risk(BOOK, "--as-of", "2026-09-01");
    assert.equal(
      out,
      `X confirmed  Mill Flat    since 2 Apr, by the field's own record
? suspected  Long Meadow  galls in dig d1 of v3 · last scouted 20 Aug · window closes 4 Sep, in 3 days · 100 plants dug, 20 % with galls, DSI 11.3 % (5.4 to 20.7 %) · 1 sample pending · after a break of 2 years
> exposed    East Rise    one carriage from Mill Flat by seeder-1, 9 May, about 10 % of the soil left · free with 89 %, no dig counted
! unscouted  Far Corner   a host crop, and no dig in its scouting window · window closes 4 Sep, in 3 days (swathing day expected) · no plants dug · free with 90 %, no dig counted

What to do, confirmed: keep its soil on it; whatever has been on it gets a full clean-down before it leaves.
What to do, suspected: treat it as confirmed until a lab has looked at its roots; spadework trace --assume FIELD=DATE tells what a find would mean.
What to do, exposed: walk it after the clean fields, and dig first where the carrier came in; spadework trace tells the way.
What to do, unscouted: dig while its window is open; once that has passed, plan it for its next host crop.

4 fields as of 2026-09-01: 1 confirmed, 1 suspected, 1 exposed, 1 unscouted.
"Free with" is the chance that clubroot is in fewer than 2 % of the plants: decision support, not proof.
`,
    );
  });

  it("is said of no field where there is none", async () => {
    const { out, code } = await risk({ "season.yaml": "season: 2026\n" }, "--as-of", "2026-09-01");
    assert.equal(out, "No fields are recorded, as of 2026-09-01.\n");
    assert.equal(code, 0);
  });

  it("tells of all books of all folders together, by field", async () => {
    const files = Object.entries(BOOK);
    const two = Object.fromEntries(
      files.flatMap(([path, text]) => [
        [`b/${path}`, text.replaceAll("long-meadow", "ash-hill")],
        [`a/${path}`, text],
      ]),
    );
    await inFolder({ ...two, "empty/readme.txt": "nothing" }, async (folder) => {
      const both = await spadework(["risk", "a", "b", "--format", "json"], { workingFolder: folder });
      assert.equal(both.code, 0);
      assert.deepEqual(
        (JSON.parse(both.out) as { fields: JsonField[] }).fields.map(({ field }) => field),
        ["ash-hill", "east-rise", "east-rise", "far-corner", "far-corner", "long-meadow", "mill-flat", "mill-flat"],
      );
      const without = await spadework(["risk", "a", "empty"], { workingFolder: folder });
      assert.equal(without.code, 2);
      assert.match(without.error, /empty holds no record book/);
      assert.match(without.out, /^4 fields as of/m);
    });
  });

  it("says in one line what is wrong with the command", async () => {
    for (const [args, said] of [
      [["--format", "dot"], /--format is one of text, json, csv/],
      [["--as-of", "yesterday"], /--as-of takes a day of the calendar/],
      [["--field", "long-meadow"], /no option --field/],
    ] as const) {
      const { code, error, out } = await risk(BOOK, ...args);
      assert.equal(code, 2);
      assert.match(error, said);
      assert.equal(error.trim().split("\n").length, 1);
      assert.equal(out, "");
    }
  });
});

describe("a field's status", () => {
  /** What may be known of the field `here`; everything else in the book stays the same. */
  interface Known {
    readonly found?: string;
    /** Day and ratings of the digs of a scouting visit each. */
    readonly digs?: readonly (readonly [day: string, ratings: string])[];
    /** Text of samples without their id and field. */
    readonly samples?: readonly string[];
    /** A seeder comes from a confirmed field on this day. */
    readonly seeder?: string;
    /** The crop of the season: swathed on 28 August, so that its window is 14 August to 4 September. */
    readonly crop?: string;
  }

  async function statusOn(asOf: string, { found, digs = [], samples = [], seeder, crop }: Known): Promise<string> {
    const known = found === undefined ? "" : `, clubroot: { found_on: ${found} }`;
    const soil =
      seeder === undefined
        ? []
        : [
            `{ id: t1, field: there, arrived: ${seeder}T08:00, purpose: seeding, equipment: [seeder-1] }`,
            `{ id: t2, field: here, arrived: ${seeder}T12:00, purpose: seeding, equipment: [seeder-1] }`,
          ];
    const scouting = digs.map(
      ([day, ratings], i) =>
        `{ id: v${i}, field: here, arrived: ${day}T09:00, purpose: scouting, digs: [{ id: d1, place: entrance, plants: 10, ratings: ${ratings} }] }`,
    );
    const list = (kind: string, records: readonly string[]): string =>
      `${kind}:${records.length === 0 ? " []" : ""}\n${records.map((record) => `  - ${record}\n`).join("")}`;
    const swathed = asOf >= "2026-08-28" ? "swathed: 2026-08-28" : "seeded: 2026-05-15";
    const book = {
      "season.yaml": "season: 2026\nregion: ca-prairies\n",
      "all.fields.yaml": `fields:\n  - { id: here${known} }\n  - { id: there, clubroot: { found_on: 2026-01-05 } }\n`,
      "all.equipment.yaml": "equipment:\n  - { id: seeder-1, kind: seeder }\n",
      "all.rotations.yaml": crop
        ? `rotations:\n  - { field: here, crops: [{ year: 2026, crop: ${crop}, ${swathed} }] }\n`
        : "rotations: []\n",
      "all.visits.yaml": list("visits", [...soil, ...scouting]),
      "all.samples.yaml": list(
        "samples",
        samples.map((sample, i) => `{ id: s${i}, field: here, material: roots, ${sample} }`),
      ),
    };
    return (await riskJson(book, "--as-of", asOf)).find(({ field }) => field === "here")!.status;
  }

  it("is the first that holds, in the order of the format", async () => {
    const all: Known = {
      found: "2026-08-25",
      digs: [["2026-08-01", "[9, 1, 0, 0]"]],
      seeder: "2026-05-08",
      crop: "canola",
    };
    const clean: Known["digs"] = [["2026-08-01", "[10, 0, 0, 0]"]];
    const noFind: Known = { digs: all.digs!, seeder: all.seeder!, crop: all.crop! };
    const noGalls: Known = { ...noFind, digs: clean };
    assert.equal(await statusOn("2026-08-25", all), "confirmed");
    assert.equal(await statusOn("2026-08-25", noFind), "suspected");
    assert.equal(await statusOn("2026-08-25", noGalls), "exposed");
    assert.equal(await statusOn("2026-08-25", { digs: clean, crop: "canola" }), "unscouted");
    // Before the window has opened, a clean dig is all there is to say.
    assert.equal(await statusOn("2026-08-13", { digs: clean, crop: "canola" }), "not found");
    assert.equal(await statusOn("2026-08-25", { digs: clean, crop: "barley" }), "not found");
    assert.equal(await statusOn("2026-08-25", { crop: "barley" }), "no host this season");
    assert.equal(await statusOn("2026-08-25", {}), "no host this season");
    assert.equal(await statusOn("2026-08-13", { crop: "canola" }), "waiting");
  });

  it("is confirmed from the day of the find or of the lab's word, whichever is earlier", async () => {
    const sample = "taken: 2026-08-20, result: { reported: 2026-09-03, finding: detected }";
    assert.equal(await statusOn("2026-08-24", { found: "2026-08-25" }), "no host this season");
    assert.equal(await statusOn("2026-08-25", { found: "2026-08-25" }), "confirmed");
    assert.equal(await statusOn("2026-08-19", { samples: [sample] }), "no host this season");
    assert.equal(await statusOn("2026-08-20", { samples: [sample] }), "suspected");
    assert.equal(await statusOn("2026-09-02", { samples: [sample] }), "suspected");
    assert.equal(await statusOn("2026-09-03", { samples: [sample] }), "confirmed");
    assert.equal(await statusOn("2026-08-30", { samples: [sample], found: "2026-08-30" }), "confirmed");
  });

  it("is suspected for galls until the lab clears that very dig, and for a sample pending or inconclusive", async () => {
    const digs = [["2026-08-20", "[9, 1, 0, 0]"]] as const;
    const result = (finding: string, more: string): string =>
      `${more}, taken: 2026-08-20, result: { reported: 2026-08-27, finding: ${finding} }`;
    const cleared = result("not detected", "visit: v0, dig: d1");
    assert.equal(await statusOn("2026-08-26", { digs, samples: [cleared] }), "suspected");
    assert.equal(await statusOn("2026-08-27", { digs, samples: [cleared] }), "not found");
    const other = [...digs, ["2026-08-21", "[10, 0, 0, 0]"]] as const;
    const otherDig = result("not detected", "visit: v1, dig: d1");
    assert.equal(await statusOn("2026-08-27", { digs: other, samples: [otherDig] }), "suspected");
    assert.equal(await statusOn("2026-08-27", { samples: [result("inconclusive", "plants: 5")] }), "suspected");
    assert.equal(
      await statusOn("2026-08-27", { samples: [result("not detected", "plants: 5")] }),
      "no host this season",
    );
    // Galls of an earlier season are no suspicion of this one's.
    assert.equal(await statusOn("2026-08-27", { digs: [["2025-08-20", "[9, 1, 0, 0]"]] }), "no host this season");
  });

  it("is exposed from the arrival on", async () => {
    assert.equal(await statusOn("2026-05-07", { seeder: "2026-05-08" }), "no host this season");
    assert.equal(await statusOn("2026-05-08", { seeder: "2026-05-08" }), "exposed");
  });

  it("is unscouted from the day the window opens, until a dig within it, its first and last day included", async () => {
    const crop = "canola";
    assert.equal(await statusOn("2026-08-13", { crop }), "waiting");
    assert.equal(await statusOn("2026-08-14", { crop }), "unscouted");
    assert.equal(await statusOn("2026-12-31", { crop }), "unscouted");
    for (const [day, status] of [
      ["2026-08-13", "unscouted"],
      ["2026-08-14", "not found"],
      ["2026-09-04", "not found"],
      ["2026-09-05", "unscouted"],
    ] as const)
      assert.equal(await statusOn("2026-09-10", { crop, digs: [[day, "[10, 0, 0, 0]"]] }), status, day);
  });
});

/** The cells of a CSV text by RFC 4180. */
function cellsOf(text: string): string[][] {
  const rows: string[][] = [[]];
  const cell = /(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r\n|$)/gy;
  while (cell.lastIndex < text.length) {
    const [, quoted, plain, end] = cell.exec(text)!;
    rows.at(-1)!.push(quoted?.replaceAll('""', '"') ?? plain!);
    if (end === "\r\n") rows.push([]);
  }
  return rows.slice(0, -1);
}

describe("spadework risk --format csv", () => {
  it("has a line a field and a cell a figure, empty where it cannot be known", async () => {
    const { out } = await risk(BOOK, "--format", "csv", "--as-of", "2026-09-01");
    const [head, ...rows] = cellsOf(out);
    const named = rows.map((row) => {
      assert.equal(row.length, head!.length);
      return Object.fromEntries(head!.map((name, i) => [name, row[i]!]));
    });
    const fields = await riskJson(BOOK, "--as-of", "2026-09-01");
    assert.deepEqual(
      named.map(({ field, status, plants_dug, samples_pending }) => [field, status, plants_dug, samples_pending]),
      fields.map((one) => [one.field, one.status, String(one.plants_dug), String(one.samples_pending)]),
    );
    assert.deepEqual(named[0], {
      ...Object.fromEntries(head!.map((name) => [name, ""])),
      field: "east-rise",
      name: "East Rise",
      status: "exposed",
      plants_dug: "0",
      exposed_from: "mill-flat",
      exposed_by: "seeder-1",
      exposed_arrived: "2026-05-09T08:00",
      exposed_carriages: "1",
      exposed_soil_left: "0.1",
      samples_pending: "0",
      probability_free: String(fields[0]!.probability_free),
    });
    assert.equal(named[2]!.window_opens, "2026-08-14");
    assert.equal(named[2]!.incidence_percent, "20");
    assert.equal(named[3]!.probability_free, "");
  });

  it("runs nothing in a spreadsheet, and keeps quotes, commas and line ends within their cells", async () => {
    const names = [
      "=cmd|' /C calc'!A0",
      "+1",
      "-1",
      "@SUM(A1)",
      "\t=1",
      "\r=1",
      "\n=1",
      'say "a", b',
      "two\r\nlines",
      "plain",
    ];
    const fields = names.map((name, i) => `  - { id: f${i}, name: ${JSON.stringify(name)}, grower: "=g" }\n`);
    const book = {
      "season.yaml": "season: 2026\nregion: ca-prairies\n",
      "a.fields.yaml": `fields:\n${fields.join("")}`,
    };
    const { out } = await risk(book, "--format", "csv");
    const rows = cellsOf(out).slice(1);
    assert.deepEqual(
      rows.map(([, name]) => name),
      names.map((name) => (/^[=+\-@\s]/.test(name) ? `'${name}` : name)),
    );
    for (const row of rows) for (const cell of row) assert.doesNotMatch(cell, /^[=+@\t\r\n]|^-(?!\d)/);
  });
});

describe("spadework risk with hostile names", () => {
  it("keeps a field to one line, and out of the terminal's hands", async () => {
    const names = [
      "\u001B[2Jwiped",
      "two\nX confirmed  Mill Flat",
      "\u202Eevil",
      "bell\u0007",
      "nul\u0000",
      "##[group]x",
    ];
    const fields = names.map((name, i) => `  - { id: f${i}, name: ${JSON.stringify(name)} }\n`);
    const visits = `visits:\n  - { id: "v\\e[2J", field: f0, arrived: 2026-08-20T09:00, purpose: scouting, digs: [{ id: "d\\n1", place: other, plants: 1, ratings: [0, 1, 0, 0] }] }\n`;
    const book = {
      "season.yaml": "season: 2026\nregion: ca-prairies\n",
      "a.fields.yaml": `fields:\n${fields.join("")}`,
      "a.visits.yaml": visits,
    };
    const { out } = await risk(book);
    // eslint-disable-next-line no-control-regex
    assert.doesNotMatch(out, /[\u0000-\u0009\u000B-\u001F\u202E]/);
    assert.equal(out.match(/^[X?>!o.-] /gm)?.length, names.length);
    assert.doesNotMatch(out, /^X/m);
    // On GitHub Actions `##[` is a command wherever it stands in a line of the log.
    assert.ok(out.includes("# #[group]x") && !out.includes("##["));
  });
});
