import { strict as assert } from "node:assert";
import fc from "fast-check";
import { XMLParser, XMLValidator } from "fast-xml-parser";
import { escaped, element } from "../../server/src/output/markup.ts";
import { fieldMap } from "../../server/src/output/picture/field-map.ts";
import { seasonCalendar } from "../../server/src/output/picture/calendar.ts";
import type { MapFacts, MapField } from "../../server/src/output/picture/map-facts.ts";
import { isInside, labelPlace, roundLength } from "../../server/src/output/picture/measures.ts";
import { groundPlan } from "../../server/src/output/picture/projection.ts";
import { seasonMap } from "../../server/src/output/picture/season-map.ts";
import { parseDay } from "../../server/src/base/days.ts";
import type { LonLat } from "../../server/src/schema/facts.ts";

const STILL = { width: 800, prefix: "p", interactive: false } as const;

const SQUARE: readonly LonLat[] = [
  [10, 50],
  [10.02, 50],
  [10.02, 50.01],
  [10, 50.01],
  [10, 50],
];

function field(changes: Partial<MapField> = {}): MapField {
  const outline = [[SQUARE]];
  return { label: "North: confirmed", name: "North", status: "confirmed", outline, entrances: [], ...changes };
}

function facts(changes: Partial<MapFacts> = {}): MapFacts {
  return { title: "Fields", description: "One.", fields: [field()], digs: [], patches: [], moves: [], ...changes };
}

describe("the map's projection", () => {
  // By hand: Mercator's x is the longitude in radians, and y is ln tan(45° + latitude / 2). For 50° and 50.01°:
  // ln tan 70° = 1.0106831947, ln tan 70.005° = 1.0109547548 (difference 0.00027155996); 0.02° are 0.00034906585.
  // The frame is 100 wide, so one radian is 100 / 0.00034906585 = 286478.9 units, and the height is 77.796 units.
  it("sets places where Mercator's formula sets them", () => {
    const plan = groundPlan(SQUARE, { x: 0, y: 0, width: 100, height: 100 })!;
    close(plan.project([10, 50]), { x: 0, y: 50 + 38.898 });
    close(plan.project([10.02, 50.01]), { x: 100, y: 50 - 38.898 });
    close(plan.project([10.01, 50.005]), { x: 50, y: 50 }, 0.01);
    // 0.02° at 50.005° are 0.00034906585 · 6371008.8 m · cos 50.005° = 1429.35 m, so 14.2935 m a unit.
    assert.ok(Math.abs(plan.metresPerUnit - 14.2935) < 0.001, String(plan.metresPerUnit));
  });

  it("keeps fields on both sides of the 180th meridian together", () => {
    const plan = groundPlan(
      [
        [179.99, -17],
        [-179.99, -17.01],
      ],
      { x: 0, y: 0, width: 100, height: 100 },
    )!;
    close(plan.project([179.99, -17]), { x: 0, y: plan.project([179.99, -17]).y });
    assert.ok(plan.project([-179.99, -17.01]).x > 99);
  });

  it("draws a single place not infinitely large, and none not at all", () => {
    const plan = groundPlan([[10, 50]], { x: 0, y: 0, width: 100, height: 50 })!;
    close(plan.project([10, 50]), { x: 50, y: 25 });
    assert.ok(Math.abs(plan.metresPerUnit - 4) < 0.01, String(plan.metresPerUnit));
    assert.equal(groundPlan([], { x: 0, y: 0, width: 100, height: 50 }), undefined);
  });

  it("gives finite points within the frame for all places there are", () => {
    const place = fc.tuple(
      fc.double({ min: -180, max: 180, noNaN: true }),
      fc.double({ min: -90, max: 90, noNaN: true }),
    );
    fc.assert(
      fc.property(fc.array(place, { minLength: 1, maxLength: 8 }), (places) => {
        const plan = groundPlan(places, { x: 0, y: 0, width: 100, height: 80 })!;
        for (const one of places) {
          const { x, y } = plan.project(one);
          assert.ok(Number.isFinite(x) && Number.isFinite(y), `${x} ${y}`);
          assert.ok(x > -1e-6 && x < 100 + 1e-6 && y > -1e-6 && y < 80 + 1e-6, `${x} ${y}`);
        }
      }),
    );
  });
});

describe("places to set a name", () => {
  it("are the centroid: of an L of three unit squares 5/6 from its corner", () => {
    const ell: LonLat[] = [
      [0, 0],
      [2, 0],
      [2, 1],
      [1, 1],
      [1, 2],
      [0, 2],
      [0, 0],
    ];
    const [x, y] = labelPlace([[ell]])!;
    assert.ok(Math.abs(x - 5 / 6) < 1e-12 && Math.abs(y - 5 / 6) < 1e-12, `${x} ${y}`);
  });

  it("lie inside a field that bends around its centroid", () => {
    const horseshoe: LonLat[] = [
      [0, 0],
      [3, 0],
      [3, 3],
      [2.8, 3],
      [2.8, 0.2],
      [0.2, 0.2],
      [0.2, 3],
      [0, 3],
      [0, 0],
    ];
    assert.ok(isInside(labelPlace([[horseshoe]])!, horseshoe));
  });
});

describe("a scale bar", () => {
  it("is as long as the longest round length that fits", () => {
    const lengths = [999, 1000, 4999, 5000, 230, 0.7, NaN, 0].map(roundLength);
    assert.deepEqual(lengths, [500, 1000, 2000, 5000, 200, 0.5, 1, 1]);
  });
});

describe("the map of a season", () => {
  it("is well-formed, with a title, a description and a role", () => {
    const svg = read(seasonMap(facts(), STILL)!);
    assert.equal(svg["@_role"], "img");
    assert.equal(svg.title["#text"], "Fields");
    assert.equal(svg.desc["#text"], "One.");
    assert.equal(svg["@_aria-labelledby"], svg.title["@_id"]);
  });

  it("draws a field without an outline at its usual entrance, and one without any place not at all", () => {
    const entrances = [
      { label: "back", position: [10.5, 50] as const, usual: false },
      { label: "gate", position: [10.01, 50.02] as const, usual: true },
    ];
    const source = String(seasonMap(facts({ fields: [field({ outline: undefined, entrances })] }), STILL));
    const circle = /<circle class="no-outline" cx="([\d.]+)" cy="([\d.]+)"/.exec(source)!;
    const gate = /<rect class="entrance" x="([\d.]+)" y="([\d.]+)"/.exec(source)!;
    assert.ok(Math.abs(Number(circle[1]) - Number(gate[1]) - 4) < 0.02);
    assert.ok(Math.abs(Number(circle[2]) - Number(gate[2]) - 4) < 0.02);
    assert.equal(seasonMap(facts({ fields: [field({ outline: undefined })] }), STILL), undefined);
  });

  it("makes the area of a dig's circle go with its severity", () => {
    const at = (dsiPercent: number | undefined) => ({ label: "dig", position: [10.01, 50.005] as const, dsiPercent });
    const digs = [0, 25, 100, undefined].map(at);
    const source = String(seasonMap(facts({ digs }), STILL));
    const circles = [...source.matchAll(/<g class="dig-mark">.*?class="(dig[^"]*)".*?r="([\d.]+)"/g)];
    assert.deepEqual(
      circles.map(([, kind, r]) => [kind, Number(r)]),
      [
        ["dig", 4],
        ["dig galls", 11],
        ["dig galls", 18],
        ["dig unrated", 4],
      ],
    );
  });

  it("numbers the soil's ways, breaks the line of one that a clean-down fell short on, and shows no direction to a field that is not shown", () => {
    const move = { label: "soil", number: 7, start: [10, 50] as const, end: [10.02, 50.01] as const, soilLeft: 0.01 };
    const broken = String(seasonMap(facts({ moves: [move] }), STILL));
    assert.match(broken, /class="move"[^>]*stroke-dasharray="8 4"/);
    assert.match(broken, />7<\/text>/);
    const whole = String(seasonMap(facts({ moves: [{ ...move, soilLeft: 1 }] }), STILL));
    assert.doesNotMatch(whole.replace(/<g class="legend">.*/, ""), /stroke-dasharray="8 4"/);
    const from = (end: LonLat): number[] => {
      const source = String(seasonMap(facts({ moves: [{ ...move, start: undefined, end }] }), STILL));
      const [, x1, y1, x2, y2] = /class="move" d="M([\d.]+) ([\d.]+)Q[\d. ]+ ([\d.]+) ([\d.]+)"/.exec(source)!;
      return [Number(x2) - Number(x1), Number(y2) - Number(y1)].map(Math.round);
    };
    assert.deepEqual(from([10, 50]), from([10.02, 50.01]));
  });

  it("escapes every text, and lets none forge a line", () => {
    const evil = `</svg><script>alert("1")</script>&'\u202E\u0000\uD800`;
    const position = [10.01, 50.005] as const;
    const all = facts({
      title: evil,
      description: evil,
      fields: [field({ name: evil, label: evil, open: evil, entrances: [{ label: evil, position, usual: true }] })],
      digs: [{ label: evil, position, dsiPercent: 3, open: evil }],
      patches: [{ label: evil, position, areaM2: 100 }],
      moves: [{ label: evil, number: 1, start: position, end: [10, 50], soilLeft: 1, open: evil }],
    });
    for (const interactive of [false, true]) {
      const options = { ...STILL, interactive };
      const source = String(seasonMap(all, options));
      for (const part of ["<script", "\u202E", "\u0000", "\uD800"]) assert.ok(!source.includes(part), part);
      assert.equal(XMLValidator.validate(source), true);
      const stops = [{ label: evil, number: 1, position }];
      const one = String(fieldMap({ ...all, field: all.fields[0]!, stops }, options));
      assert.doesNotMatch(one, /<script|\u202E/);
      assert.equal(XMLValidator.validate(one), true);
    }
  });

  it("has a pattern and a mark of its own for each status, so that no colour is needed", () => {
    const statuses = [
      "confirmed",
      "suspected",
      "exposed",
      "unscouted",
      "not found",
      "no host this season",
      "waiting",
    ] as const;
    const fields = statuses.map((status) => field({ status }));
    const source = String(seasonMap(facts({ fields }), STILL));
    const patterns = [...source.matchAll(/<pattern id="p-([\w-]+)".*?<\/pattern>/g)].map(([, ,], i) => i);
    assert.equal(patterns.length, 7);
    const lines = [...source.matchAll(/<pattern .*?<\/pattern>/g)].map(
      ([all]) => / d="([^"]*)"/.exec(all)?.[1] ?? "plain",
    );
    assert.equal(new Set(lines).size, 7);
    const marks = [...source.matchAll(/class="badge-mark"[^>]*>([^<]+)</g)].map(([, mark]) => mark);
    assert.equal(new Set(marks).size, 7);
  });
});

describe("the map of a field", () => {
  it("numbers the stops in the order of the walk, and joins them", () => {
    const stops = [1, 2, 3].map((number) => ({
      label: `stop ${number}`,
      number,
      position: [10 + number * 0.004, 50.003] as const,
    }));
    const source = String(fieldMap({ ...facts(), field: field(), stops }, STILL));
    const numbers = [...source.matchAll(/class="stop-number"[^>]*>(\d)</g)].map(([, n]) => n);
    assert.deepEqual(numbers.slice(0, 3), ["1", "2", "3"]);
    assert.match(source, /class="walk" d="M[\d. ]+L[\d. ]+L[\d. ]+"/);
  });
});

describe("the calendar", () => {
  const [first, last] = [parseDay("2026-05-01")!, parseDay("2026-05-31")!];
  const minute = (day: number): number => day * 1440;

  it("sets days by the width of the plot", () => {
    const rows = [
      {
        name: "spade",
        stays: [first, first + 31 / 2, last + 1].map((day) => ({
          label: "visit",
          arrived: minute(day),
          isScouting: true,
          isRisky: false,
        })),
        cleanings: [],
        gaps: [],
      },
    ];
    const source = String(seasonCalendar({ title: "t", description: "d", first, last, rows }, STILL));
    const xs = [...source.matchAll(/class="stay-mark">.*?cx="([\d.]+)"/g)].map(([, x]) => Number(x));
    // "spade" takes 5 · 13 · 0.56 + 12 = 48.4 units, and 12 are the margin; on the right 20 are left free.
    assert.deepEqual(xs, [60.4, (60.4 + 780) / 2, 780]);
  });

  it("tells a full clean-down from a partial one by its shape, and is nothing without carriers", () => {
    const cleanings = [true, false].map((isFull) => ({ label: "cleaned", at: minute(first + 3), isFull }));
    const rows = [{ name: "spade", stays: [], cleanings, gaps: [] }];
    const source = String(seasonCalendar({ title: "t", description: "d", first, last, rows }, STILL));
    const shapes = [...source.matchAll(/class="cleaning-mark">.*? d="([^"]+)"/g)].map(([, d]) => d);
    assert.notEqual(shapes[0], shapes[1]);
    assert.equal(XMLValidator.validate(source), true);
    assert.equal(seasonCalendar({ title: "t", description: "d", first, last, rows: [] }, STILL), undefined);
  });
});

describe("markup", () => {
  it("reads back as what went in", () => {
    fc.assert(
      fc.property(fc.string({ unit: "grapheme", maxLength: 60 }), (text) => {
        const source = String(element("p", { title: text }, text));
        const parser = new XMLParser({ ignoreAttributes: false, trimValues: false, parseTagValue: false });
        if (/[\p{Cc}\p{Cf}\u2028\u2029]/u.test(text)) return;
        const { p } = parser.parse(source) as { p: string | Record<string, string> };
        const found = typeof p === "string" ? [p, p] : [p["@_title"] ?? "", p["#text"] ?? ""];
        const entity = (read: string): string => read.replaceAll("&#39;", "'");
        if (text !== "") assert.deepEqual(found.map(entity), [text, text]);
      }),
    );
  });

  it("shortens what no one would read", () => {
    assert.equal(escaped("x".repeat(5000)).length, 2001);
  });
});

function close(found: { x: number; y: number }, wanted: { x: number; y: number }, by = 0.005): void {
  assert.ok(Math.abs(found.x - wanted.x) < by && Math.abs(found.y - wanted.y) < by, JSON.stringify(found));
}

function read(markup: unknown) {
  const source = String(markup);
  assert.equal(XMLValidator.validate(source), true);
  const parser = new XMLParser({ ignoreAttributes: false });
  return (
    parser.parse(source) as {
      svg: Record<string, string> & { title: Record<string, string>; desc: Record<string, string> };
    }
  ).svg;
}
