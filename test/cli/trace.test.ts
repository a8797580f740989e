import { strict as assert } from "node:assert";
import { Graphviz } from "@hpcc-js/wasm-graphviz";
import { inFolder, spadework, type CommandResult } from "../support/command-line.ts";

/**
 * Soil of Mill Flat, found on 2 April, went to Long Meadow on seeder-1 (loose soil removed in between, which leaves a tenth by
 * the region's figures), from there to East Rise on Mo's boots, and to East Rise again on seeder-1 itself. Far Corner had
 * only a clean sprayer.
 */
const BOOK: Readonly<Record<string, string>> = {
  "season.yaml": "season: 2026\nregion: ca-prairies\ncrew:\n  - { id: mo, name: M. Okafor }\n",
  "all.fields.yaml": `fields:
  - { id: mill-flat, name: Mill Flat, clubroot: { found_on: 2026-04-02 } }
  - { id: long-meadow, name: Long Meadow, entrances: [{ id: gate, usual: true }, { id: lane }] }
  - { id: east-rise, name: East Rise }
  - { id: far-corner, name: Far Corner }
`,
  "all.equipment.yaml": `equipment:
  - { id: seeder-1, kind: seeder }
  - { id: sprayer-1, kind: sprayer }
`,
  "all.rotations.yaml": `rotations:
  - field: long-meadow
    crops: [{ year: 2026, crop: canola, swathed: 2026-08-28 }, { year: 2029, crop: canola }]
`,
  "all.visits.yaml": `visits:
  - { id: v1, field: mill-flat, arrived: 2026-05-08T08:00, left: 2026-05-08T18:00, purpose: seeding, equipment: [seeder-1] }
  - { id: v2, field: long-meadow, entrance: lane, arrived: 2026-05-09T08:00, left: 2026-05-09T18:00, purpose: seeding, equipment: [seeder-1] }
  - { id: v3, field: long-meadow, arrived: 2026-06-01T09:00, left: 2026-06-01T10:00, purpose: other, crew: [mo], footwear: unprotected }
  - { id: v4, field: east-rise, arrived: 2026-06-02T09:00, purpose: other, crew: [mo], footwear: unprotected }
  - { id: v5, field: east-rise, arrived: 2026-06-20T07:30, purpose: seeding, equipment: [seeder-1] }
  - { id: v6, field: far-corner, arrived: 2026-06-21T07:30, purpose: spraying, equipment: [sprayer-1] }
`,
  "all.cleanings.yaml": `cleanings:
  - { id: c1, at: 2026-05-08T18:30, equipment: [seeder-1], steps: [{ step: remove soil }] }
`,
};

const TO_LONG_MEADOW = {
  from: "mill-flat",
  to: "long-meadow",
  carrier: "seeder-1",
  left: "2026-05-08T18:00",
  arrived: "2026-05-09T08:00",
  soil_left: 0.1,
};
const LONG_MEADOW = {
  field: "long-meadow",
  arrived: "2026-05-09T08:00",
  carriages: 1,
  soil_left: 0.1,
  chain: [TO_LONG_MEADOW],
};
/** The fewest carriages are one, on 20 June; the earliest arrival is by two, on 2 June. */
const EAST_RISE = {
  field: "east-rise",
  arrived: "2026-06-02T09:00",
  carriages: 1,
  soil_left: 0.1,
  chain: [{ ...TO_LONG_MEADOW, to: "east-rise", arrived: "2026-06-20T07:30" }],
};
const BY_BOOTS = {
  from: "long-meadow",
  to: "east-rise",
  carrier: "boots/mo",
  left: "2026-06-01T10:00",
  arrived: "2026-06-02T09:00",
  soil_left: 1,
};

async function trace(...args: string[]): Promise<CommandResult> {
  return inFolder(BOOK, (folder) => spadework(["trace", folder, ...args]));
}

async function traceJson(...args: string[]): Promise<{ confirmed: unknown[]; exposed: { field: string }[] }> {
  const { out, code } = await trace("--format", "json", ...args);
  assert.equal(code, 0);
  return JSON.parse(out) as { confirmed: unknown[]; exposed: { field: string }[] };
}

describe("spadework trace", () => {
  it("gives the JSON of the format, key by key", async () => {
    const { out, error, code } = await trace("--format", "json", "--as-of", "2026-07-01");
    const expected = {
      as_of: "2026-07-01",
      confirmed: [{ field: "mill-flat", since: "2026-04-02" }],
      exposed: [EAST_RISE, LONG_MEADOW],
    };
    assert.equal(out, `${JSON.stringify(expected, null, 2)}\n`);
    assert.equal(error, "");
    assert.equal(code, 0);
  });

  it("knows on each day what had happened by then", async () => {
    const on = (day: string) => traceJson("--as-of", day);
    assert.deepEqual(await on("2026-04-01"), { as_of: "2026-04-01", confirmed: [], exposed: [] });
    assert.deepEqual((await on("2026-05-08")).exposed, []);
    assert.deepEqual((await on("2026-05-09")).exposed, [LONG_MEADOW]);
    // Until the seeder gets there itself, two carriages are the fewest.
    assert.deepEqual((await on("2026-06-19")).exposed[0], {
      ...EAST_RISE,
      carriages: 2,
      chain: [TO_LONG_MEADOW, BY_BOOTS],
    });
  });

  it("takes a field for confirmed without touching a record", async () => {
    const { confirmed, exposed } = await traceJson("--assume", "long-meadow=2026-06-30");
    assert.deepEqual(confirmed, [
      { field: "long-meadow", since: "2026-06-30" },
      { field: "mill-flat", since: "2026-04-02" },
    ]);
    assert.deepEqual(exposed, [{ ...EAST_RISE, soil_left: 1, chain: [BY_BOOTS] }]);
    const { out } = await trace("--assume", "long-meadow=2026-06-30");
    assert.match(out, /^X Long Meadow is taken for confirmed from 30 Jun 2026 on; /m);
    // A day before that of the records moves what counts as infested.
    assert.deepEqual((await traceJson("--assume", "mill-flat=2026-03-30")).confirmed, [
      { field: "mill-flat", since: "2026-03-30" },
    ]);
    // Three years back from the day that is assumed, the seeder had not yet been there.
    assert.deepEqual((await traceJson("--as-of", "2026-04-01", "--assume", "far-corner=2026-03-01")).exposed, []);
  });

  it("tells a story with dates, and what to do", async () => {
    const { out } = await trace("--as-of", "2026-07-01");
    assert.equal(
      out,
      `X Mill Flat has been confirmed since 2 Apr 2026; its soil is taken to have been infested since 3 Apr 2023.
Who must be told, and when, is for the authority to say: the municipality or county, or the province's crop protection office, as local rules say.

> East Rise is exposed: soil of Mill Flat may have come to it, about 10 % of it left.
  2026-05-08 18:00  seeder-1 leaves Mill Flat
  2026-05-08 18:30  seeder-1 is cleaned, but not in full (not washed, not disinfected): about 10 % left
  2026-06-20 07:30  seeder-1 arrives on East Rise
  By more carriages, soil may have come as early as 2026-06-02 09:00.
  What to do: walk it in the next year it grows a host crop (none is planned yet), from about 14 days before swathing, after the clean fields; dig first near the entrance.

> Long Meadow is exposed: soil of Mill Flat may have come to it, about 10 % of it left.
  2026-05-08 18:00  seeder-1 leaves Mill Flat
  2026-05-08 18:30  seeder-1 is cleaned, but not in full (not washed, not disinfected): about 10 % left
  2026-05-09 08:00  seeder-1 arrives on Long Meadow
  What to do: walk it in 2029, from about 14 days before swathing of its canola, after the clean fields; dig first near the lane entrance, where seeder-1 came in.

2 fields exposed: East Rise and Long Meadow.
`,
    );
  });

  it("says when to walk: before the window opens, while it is open, and after it", async () => {
    const advice = async (day: string) =>
      /Long Meadow is exposed[\s\S]*?What to do: walk it (.*?), after/.exec((await trace("--as-of", day)).out)?.[1];
    // Not swathed as of August: the window is then unknown, for want of a seeding day.
    assert.equal(await advice("2026-08-20"), "in 2029, from about 14 days before swathing of its canola");
    assert.equal(await advice("2026-08-28"), "by 4 Sep");
    assert.equal(await advice("2026-09-04"), "by 4 Sep");
    assert.equal(await advice("2026-09-05"), "in 2029, from about 14 days before swathing of its canola");
  });

  it("says so where nothing is confirmed, and where nothing has gone anywhere", async () => {
    assert.match((await trace("--as-of", "2026-04-01")).out, /^No field is confirmed as of 2026-04-01, /);
    assert.match((await trace("--as-of", "2026-05-08")).out, /^No chain of carriages leads from them/m);
  });

  it("follows a field's soil back, forward or both ways, from a day on", async () => {
    const both = (await trace("--field", "long-meadow")).out;
    assert.match(both, /^Soil may have come to Long Meadow from 1 field:$/m);
    assert.match(both, /^Mill Flat: about 10 % of the soil may be left\.$/m);
    assert.match(both, /^Soil of Long Meadow may have gone to 1 field:$/m);
    assert.match(
      both,
      /^East Rise: all of the soil may be left\.\n {2}2026-06-01 10:00 {2}the boots of mo leave Long/m,
    );
    const back = (await trace("--field", "long-meadow", "--direction", "back")).out;
    assert.ok(both.startsWith(back.trimEnd()) && !back.includes("may have gone"));
    const forward = (await trace("--field", "long-meadow", "--direction", "forward")).out;
    assert.ok(both.endsWith(forward) && !forward.includes("may have come"));
    const later = async (day: string) =>
      (await trace("--field", "long-meadow", "--direction", "forward", "--from", day)).out;
    assert.equal(await later("2026-06-01"), forward);
    assert.equal(await later("2026-06-02"), "Soil of Long Meadow is not known to have gone anywhere.\n");
  });

  it("follows what a carrier has on it", async () => {
    const { out } = await trace("--carrier", "seeder-1", "--from", "2026-05-08", "--as-of", "2026-07-01");
    assert.match(out, /^As of 2026-07-01, seeder-1 may have soil of 3 fields on it:$/m);
    assert.match(out, /^What was on seeder-1 on 8 May 2026 may have come to 3 fields:$/m);
    assert.match(
      out,
      /^Long Meadow: about 10 % of the soil may be left\.\n {2}2026-05-08 18:30 {2}seeder-1 is cleaned, but not in full .*\n {2}2026-05-09 08:00 {2}seeder-1 arrives on Long Meadow$/m,
    );
    const clean = (await trace("--carrier", "sprayer-1", "--direction", "back", "--as-of", "2026-06-20")).out;
    assert.equal(clean, "No field's soil is known to be on sprayer-1, as of 2026-06-20.\n");
  });

  it("limits the JSON to the exposures whose chains touch the field or the carrier", async () => {
    assert.deepEqual(
      (await traceJson("--field", "long-meadow")).exposed.map(({ field }) => field),
      ["long-meadow"],
    );
    assert.deepEqual(
      (await traceJson("--carrier", "seeder-1")).exposed.map(({ field }) => field),
      ["east-rise", "long-meadow"],
    );
    assert.deepEqual((await traceJson("--carrier", "boots/mo")).exposed, []);
  });

  it("says in one line what is wrong with the question", async () => {
    for (const [args, said] of [
      [["--field", "long-medow"], /no field "long-medow"; did you mean "long-meadow"\?/],
      [["--field", "seeder-1"], /no field "seeder-1"/],
      [["--carrier", "seeder-2"], /no carrier "seeder-2"; did you mean "seeder-1"\?/],
      [["--field", "long-meadow", "--carrier", "seeder-1"], /either a --field or a --carrier/],
      [["--assume", "long-meadow"], /takes a field and a day, such as/],
      [["--assume", "long-meadow=soon"], /"long-meadow=soon" is not of that form/],
      [["--assume", "=2026-06-30"], /is not of that form/],
      [["--assume", "long-medow=2026-06-30"], /no field "long-medow"; did you mean/],
      [["--assume", "mill-flat=2026-06-30"], /mill-flat is confirmed by the records since 2026-04-02 already/],
      [["--assume", "mill-flat=2026-04-02"], /would change nothing/],
      [["--assume", "east-rise=2026-11-26"], /lies after 2026-11-25, the day that is judged by/],
      [["--as-of", "2026-03-01", "--assume", "east-rise=2026-03-02"], /lies after 2026-03-01/],
      [["--direction", "back"], /--direction says how to follow the soil of one place: name it with --field/],
      [["--from", "2026-05-01"], /--from says how to follow the soil of one place/],
      [["--field", "mill-flat", "--direction", "back", "--from", "2026-05-01"], /--from counts going forward/],
      [["--field", "mill-flat", "--from", "2026-02-30"], /--from takes a day of the calendar; "2026-02-30" is none/],
      [["--direction", "sideways"], /--direction is one of back, forward, both/],
      [["--format", "svg"], /--format is one of text, json, dot/],
      [["other-folder"], /trace looks at one folder at a time/],
      [["--field", "a\u001B[2J\nb"], /no field "a.\[2J.b"/],
    ] as const) {
      const { code, error, out } = await trace(...args);
      assert.equal(code, 2, args.join(" "));
      assert.match(error, said);
      assert.equal(error.trim().split("\n").length, 1);
      assert.ok(!error.includes("\u001B"));
      assert.equal(out, "");
    }
  });

  it("looks in each book of a folder by itself, and for a field only in those that have it", async () => {
    const two = Object.fromEntries(
      Object.entries(BOOK).flatMap(([path, text]) => [
        [`east/${path}`, text],
        [`west/${path}`, text.replaceAll("long-meadow", "north-meadow")],
      ]),
    );
    await inFolder(two, async (folder) => {
      const { out } = await spadework(["trace", folder, "--format", "json"]);
      const { exposed } = JSON.parse(out) as { exposed: { field: string }[] };
      assert.deepEqual(
        exposed.map(({ field }) => field),
        ["east-rise", "east-rise", "long-meadow", "north-meadow"],
      );
      const one = (await spadework(["trace", folder, "--field", "north-meadow"])).out;
      assert.equal(one.match(/^Soil may have come/gm)?.length, 1);
    });
  });
});

const HOSTILE_NAMES = [
  "=cmd|' /C calc'!A0",
  'say "hello", \\N \\G',
  "ends in a backslash \\",
  "two\nlines\r\nand a tab\t.",
  '"]; evil [label="',
  "<b>bold</b> & &lt;i&gt;",
  "\u001B[2Jwiped\u0007",
  "\u202Eevil",
  "\u0000\u0085nothing",
  "x".repeat(20_000),
];

/** Every field of hostile name was reached from the one before it by a seeder of its own. */
function hostileBook(names: readonly string[]): Record<string, string> {
  const found = (i: number): string => (i === 0 ? ", clubroot: { found_on: 2026-04-02 }" : "");
  const fields = names.map((name, i) => `  - { id: f${i}, name: ${JSON.stringify(name)}${found(i)} }\n`);
  const at = (day: number, hour: string): string => `2026-05-${String(day).padStart(2, "0")}T${hour}`;
  const visits = names
    .slice(1)
    .flatMap((_, i) => [
      `  - { id: a${i}, field: f${i}, arrived: ${at(i + 1, "12:00")}, purpose: other, equipment: [s${i}] }\n`,
      `  - { id: b${i}, field: f${i + 1}, arrived: ${at(i + 1, "13:00")}, purpose: other, equipment: [s${i}] }\n`,
    ]);
  const equipment = names.map((_, i) => `  - { id: s${i}, kind: seeder }\n`);
  return {
    "season.yaml": "season: 2026\nregion: ca-prairies\n",
    "all.fields.yaml": `fields:\n${fields.join("")}`,
    "all.equipment.yaml": `equipment:\n${equipment.join("")}`,
    "all.visits.yaml": `visits:\n${visits.join("")}`,
  };
}

describe("spadework trace with hostile names", () => {
  it("keeps each to one line of text and out of the terminal's hands", async () => {
    await inFolder(hostileBook(HOSTILE_NAMES), async (folder) => {
      const { out } = await spadework(["trace", folder]);
      // eslint-disable-next-line no-control-regex
      assert.doesNotMatch(out, /[\u0000-\u0009\u000B-\u001F\u007F-\u009F\u202E]/);
      assert.equal(out.match(/^> .* is exposed: /gm)?.length, HOSTILE_NAMES.length - 1);
      for (const line of out.split("\n"))
        assert.match(line, /^$|^[X>] | {2}\d{4}-| {20}no clean-down| {2}What to do|^Who|^9 fields/);
    });
  });

  it("gives no command to a service that reads its log for them", async () => {
    const names = ["::error::owned", "##[add-path]owned", "::add-mask::x"];
    await inFolder(hostileBook(names), async (folder) => {
      const { out } = await spadework(["trace", folder, "--field", "f1"]);
      assert.match(out, /^: :error::owned: /m);
      assert.match(out, /# #\[add-path\]owned/);
      assert.doesNotMatch(out, /^\s*::|##\[/m);
    });
  });

  it("writes them as they are in JSON, which names fields by id alone", async () => {
    await inFolder(hostileBook(HOSTILE_NAMES), async (folder) => {
      const { out } = await spadework(["trace", folder, "--format", "json"]);
      assert.equal((JSON.parse(out) as { exposed: unknown[] }).exposed.length, HOSTILE_NAMES.length - 1);
    });
  });

  it("takes ids that no file defines for fields and carriers of no name, and keeps them as harmless", async () => {
    const book = hostileBook(["Mill Flat", "Long Meadow"]);
    const graphviz = await Graphviz.load();
    for (const id of ["=cmd|calc", 'f1", x="', "f1\nf2", "\u001B[2J", "__proto__", "constructor", "carrier: s0"]) {
      const visits = book["all.visits.yaml"]!.replaceAll("field: f1", `field: ${JSON.stringify(id)}`).replaceAll(
        "[s0]",
        `[${JSON.stringify(id)}]`,
      );
      await inFolder({ ...book, "all.visits.yaml": visits }, async (folder) => {
        const as = async (format: string) => (await spadework(["trace", folder, "--format", format])).out;
        const { exposed } = JSON.parse(await as("json")) as {
          exposed: { field: string; chain: { carrier: string }[] }[];
        };
        assert.deepEqual([exposed[0]?.field, exposed[0]?.chain[0]?.carrier], [id, id]);
        const text = await as("text");
        // eslint-disable-next-line no-control-regex
        assert.doesNotMatch(text, /[\u0000-\u0009\u000B-\u001F]/);
        assert.equal(text.match(/^> .* is exposed: /gm)?.length, 1);
        const drawing = graphviz.layout(await as("dot"), "svg", "dot");
        assert.equal(drawing.match(/class="node"/g)?.length, 2);
      });
    }
  });
});

describe("spadework trace --format dot", () => {
  let graphviz: Graphviz;
  before(async () => {
    graphviz = await Graphviz.load();
  });

  interface Drawing {
    readonly titles: readonly string[];
    readonly labels: readonly string[];
  }

  /** What Graphviz itself makes of it: the titles of nodes and edges, and the lines of their labels, in the order drawn. */
  async function drawn(book: Readonly<Record<string, string>>, ...args: string[]): Promise<Drawing> {
    const { out } = await inFolder(book, (folder) => spadework(["trace", folder, "--format", "dot", ...args]));
    const svg = graphviz.layout(out, "svg", "dot");
    const texts = (tag: string): string[] =>
      [...svg.matchAll(new RegExp(`<${tag}\\b[^>]*>([^<]*)</${tag}>`, "g"))].map(([, text]) => unescaped(text!));
    return { titles: texts("title").slice(1), labels: texts("text") };
  }

  function unescaped(text: string): string {
    const named: Readonly<Record<string, string>> = { amp: "&", lt: "<", gt: ">", quot: '"', apos: "'" };
    return text.replace(/&(?:#(\d+)|([a-z]+));/g, (_, number?: string, name?: string) =>
      number ? String.fromCodePoint(Number(number)) : named[name!]!,
    );
  }

  it("is drawn by Graphviz: a node a field, an edge a carriage, each with its words", async () => {
    const { titles, labels } = await drawn(BOOK, "--as-of", "2026-06-19");
    assert.deepEqual([...titles].sort(), [
      "east-rise",
      "long-meadow",
      "long-meadow->east-rise",
      "mill-flat",
      "mill-flat->long-meadow",
    ]);
    assert.deepEqual([...labels].sort(), [
      "2026-05-08 to 2026-05-09",
      "2026-06-01 to 2026-06-02",
      "East Rise",
      "Long Meadow",
      "Mill Flat",
      "about 10 % left",
      "all left",
      "confirmed",
      "exposed",
      "exposed",
      "seeder-1",
      "the boots of mo",
    ]);
  });

  it("draws what a carrier had on it from the carrier on, and nothing where there is nothing", async () => {
    const { titles, labels } = await drawn(
      BOOK,
      "--carrier",
      "boots/mo",
      "--direction",
      "forward",
      "--as-of",
      "2026-06-19",
    );
    assert.ok(titles.includes("carrier: boots/mo->long-meadow"));
    // Exposed it is, though by a chain that these boots had no part in.
    assert.equal(labels.filter((label) => label === "exposed").length, 2);
    assert.deepEqual(await drawn(BOOK, "--as-of", "2026-04-01"), { titles: [], labels: [] });
  });

  it("draws hostile names as they are, control characters apart, and cut to a length Graphviz can read", async () => {
    const { titles, labels } = await drawn(hostileBook(HOSTILE_NAMES));
    assert.equal(titles.length, 2 * HOSTILE_NAMES.length - 1);
    for (const name of HOSTILE_NAMES.slice(0, -1)) {
      // eslint-disable-next-line no-control-regex
      const shown = name.replace(/\t/g, " ").replace(/[\u0000-\u001F\u0085\u202E]/g, "\uFFFD");
      assert.ok(labels.includes(shown), `${JSON.stringify(shown)} is not among ${JSON.stringify(labels)}`);
    }
    assert.ok(labels.includes(`${"x".repeat(80)}\u2026`));
  });

  it("draws ids of any length, each apart", async () => {
    const long = (text: string): string => text.replaceAll(/\bf(\d)\b/g, `f${"o".repeat(17_000)}$1`);
    const book = Object.fromEntries(
      Object.entries(hostileBook(["Mill Flat", "Long Meadow", "East Rise"])).map(([path, text]) => [path, long(text)]),
    );
    const { titles, labels } = await drawn(book);
    assert.equal(titles.length, 5);
    assert.ok(labels.includes("East Rise"));
  });
});
