import { strict as assert } from "node:assert";
import { readFileSync } from "node:fs";
import { dayNumber, formatDay, parseDay } from "../../server/src/base/days.ts";
import type { Book } from "../../server/src/book/book.ts";
import { openBook, type SourceFile } from "../../server/src/book/open-book.ts";
import { scoutingWindow } from "../../server/src/book/scouting-window.ts";
import { warmthInWords } from "../../server/src/book/weather-words.ts";
import { cropWarmth, nearestStation } from "../../server/src/book/weather.ts";
import { LiveBook } from "../../server/src/rules/live-book.ts";
import { RULES } from "../../server/generated/rules.ts";

// data/seattle-weather.csv of the npm package vega-datasets (BSD), daily 2012 to 2015.
const SEATTLE = readFileSync(
  new URL("../../node_modules/vega-datasets/data/seattle-weather.csv", import.meta.url),
  "utf8",
)
  .trim()
  .split("\n")
  .slice(1)
  .map((line) => {
    const [date, , tmax, tmin] = line.split(",");
    return { date: date!, row: `${date!},${tmin!},${tmax!}` };
  });

const weather = (keep: (date: string) => boolean = () => true): string =>
  ["date,tmin_c,tmax_c", ...SEATTLE.filter(({ date }) => keep(date)).map(({ row }) => row), ""].join("\n");

/** Every day of a year at one temperature. */
function steady(year: number, celsius: number): string {
  const days = Array.from({ length: 365 }, (_, i) => formatDay(dayNumber(year, 1, 1) + i));
  return ["date,tmin_c,tmax_c", ...days.map((day) => `${day},${celsius},${celsius}`), ""].join("\n");
}

function rotation(year: number, dates: string): string {
  return `rotations:\n  - { field: north, crops: [{ year: ${year}, crop: canola, ${dates} }] }\n`;
}

function filesFor(year: number, dates: string, more: Record<string, string>): SourceFile[] {
  const files: Record<string, string> = {
    "season.yaml": `season: ${year}\nregion: ca-prairies\n`,
    "a.fields.yaml": "fields:\n  - { id: north, name: North }\n",
    "a.rotations.yaml": rotation(year, dates),
    ...more,
  };
  return Object.entries(files).map(([path, text]) => ({ path, text }));
}

function bookOf(asOf: string, files: SourceFile[]): Book {
  const day = parseDay(asOf)!;
  return openBook(files, { asOf: day, today: day, allSeasons: false }).book;
}

const cropOf = (book: Book) => book.fieldHistory("north").crops[0]!;

/** The window of the only crop: `2015-07-16 to 2015-08-06 forecast`. */
function windowOf(book: Book): string {
  const window = scoutingWindow(cropOf(book), book);
  return window ? `${formatDay(window.opens)} to ${formatDay(window.closes)} ${window.basis}` : "none";
}

describe("the scouting window by the weather", () => {
  // 1,500 degree days base 0 from 15 May: 14 Aug 2012, 6 Aug 2013, 5 Aug 2014, 30 Jul 2015 (recomputed); the pack opens
  // the window 14 days before swathing and closes it 7 days after.
  for (const [year, opens, closes] of [
    [2012, "2012-07-31", "2012-08-21"],
    [2013, "2013-07-23", "2013-08-13"],
    [2014, "2014-07-22", "2014-08-12"],
    [2015, "2015-07-16", "2015-08-06"],
  ] as const) {
    it(`of Seattle ${year}, by the degree days of the season itself`, () => {
      const files = filesFor(year, `seeded: ${year}-05-15`, {
        "yard.weather.csv": weather((date) => date.startsWith(String(year))),
      });
      assert.equal(windowOf(bookOf(`${year}-10-01`, files)), `${opens} to ${closes} forecast`);
    });
  }

  it("is the recorded one as soon as swathing is recorded", () => {
    const files = filesFor(2015, "seeded: 2015-05-15, swathed: 2015-08-20", { "yard.weather.csv": weather() });
    assert.equal(windowOf(bookOf("2015-10-01", files)), "2015-08-06 to 2015-08-27 recorded");
    // Before the day it is not known yet.
    assert.match(windowOf(bookOf("2015-08-01", files)), /forecast$/);
  });

  it("counts days from seeding without weather, without seeding nothing", () => {
    // 105 days from 15 May is 28 August.
    assert.equal(
      windowOf(bookOf("2015-10-01", filesFor(2015, "seeded: 2015-05-15", {}))),
      "2015-08-14 to 2015-09-04 days",
    );
    assert.equal(
      windowOf(bookOf("2015-10-01", filesFor(2015, "variety: x", { "yard.weather.csv": weather() }))),
      "none",
    );
  });

  it("goes on from the as-of day by the mean of the years recorded, and never looks ahead of it", () => {
    const files = filesFor(2015, "seeded: 2015-05-15", { "yard.weather.csv": weather() });
    const cut = filesFor(2015, "seeded: 2015-05-15", { "yard.weather.csv": weather((date) => date <= "2015-07-01") });
    const [full, known] = [bookOf("2015-07-01", files), bookOf("2015-07-01", cut)];
    assert.match(windowOf(full), /forecast$/);
    assert.equal(windowOf(full), windowOf(known));
    const { forecast, soFar } = cropWarmth(cropOf(full), full)!;
    // 15 May to 1 July: 17 + 30 + 1 days.
    assert.deepEqual([forecast!.daysRecorded, soFar.daysRecorded, soFar.daysMissing], [48, 48, 0]);
    assert.deepEqual(forecast!.range?.years, [2012, 2013, 2014]);
    // Earlier seasons by themselves reached it on 14, 6 and 5 August: this one, warmer so far, lies before the last of them.
    assert.ok(formatDay(forecast!.day) < "2015-08-14" && formatDay(forecast!.day) > "2015-07-25");
  });

  it("falls back on days where fewer than 60 % of the season's days are recorded, and says so", () => {
    const every = (share: number) => (date: string) => date < "2015" || Number(date.slice(8)) % 10 < share * 10;
    const sparse = filesFor(2015, "seeded: 2015-05-15", { "yard.weather.csv": weather(every(0.5)) });
    const fuller = filesFor(2015, "seeded: 2015-05-15", { "yard.weather.csv": weather(every(0.7)) });
    assert.equal(windowOf(bookOf("2015-10-01", sparse)), "2015-08-14 to 2015-09-04 days");
    assert.match(windowOf(bookOf("2015-10-01", fuller)), /forecast$/);
    const book = bookOf("2015-10-01", sparse);
    const { says } = warmthInWords(cropWarmth(cropOf(book), book)!, book);
    assert.match(says.join("; "), /days have no weather: .* so the true sum is higher/);
    assert.match(
      says.join("; "),
      /only \d+(\.\d)? % of the days are recorded, fewer than the 60 % .* 105 days from seeding/,
    );
  });

  it("falls back on days where one cold year does not reach the sum", () => {
    const files = filesFor(2015, "seeded: 2015-05-15", { "yard.weather.csv": steady(2015, 3) });
    const book = bookOf("2015-10-01", files);
    assert.equal(windowOf(book), "2015-08-14 to 2015-09-04 days");
    const { says } = warmthInWords(cropWarmth(cropOf(book), book)!, book);
    assert.match(says[1]!, /does not reach to swathing/);
    assert.equal(says.length, 2);
  });

  it("a hover has the sum so far, the stage, the formulas and the figures they rest on", () => {
    const book = bookOf("2015-07-10", filesFor(2015, "seeded: 2015-05-15", { "yard.weather.csv": weather() }));
    const words = warmthInWords(cropWarmth(cropOf(book), book)!, book);
    assert.match(
      words.says[0]!,
      /^\d+ of 1500 degree days above 0 °C from seeding to 10 Jul, by yard\.weather\.csv; by them at BBCH \d\d/,
    );
    // Seattle from 15 May reached 1,500 on 14, 6 and 5 August in the years before; warmer so far, it is earlier now.
    assert.match(
      words.says[1]!,
      /^swathing, at 1500, is forecast for \d+ (Jul|Aug); .* to .*, were the days to come as in 2012, 2013 and 2014$/,
    );
    assert.match(words.says[2]!, /^to come by them: BBCH \d\d \(.*\) \d+ Jul/);
    assert.equal(words.says.length, 3);
    assert.match(words.formulas[0]!.formula, /over 57 of 57 days, 2015-05-15 to 2015-07-10/);
    assert.match(words.formulas[1]!.formula, /first day with 1500 °C·d above 0 °C since 2015-05-15/);
    for (const path of words.figures) assert.ok(book.region.sources?.[path], path);
  });

  it("takes the region's base, method and sum", () => {
    const pack = [
      "region: warm",
      "title: Warm",
      "extends: base",
      "growth: { base_c: 5, degree_days_to_swath: 1000 }",
      "sources: { growth.base_c: test, growth.degree_days_to_swath: test }",
      "",
    ].join("\n");
    const files = filesFor(2026, "seeded: 2026-05-01", {
      "season.yaml": "season: 2026\nregion: warm.region.yaml\n",
      "warm.region.yaml": pack,
      "yard.weather.csv": steady(2026, 15),
    });
    // 10 degree days a day over base 5: the hundredth day from 1 May is 8 August.
    assert.equal(windowOf(bookOf("2026-10-01", files)), "2026-07-25 to 2026-08-15 forecast");
  });
});

describe("which weather file serves a field", () => {
  const paths = (...list: string[]) => list.map((path) => ({ path }));

  it("the only one, the one beside its file, the nearest above, else the first by path", () => {
    const at = (folder: string, ...list: string[]) => nearestStation(folder, paths(...list))?.path;
    assert.equal(at("farm/", "weather/yard.weather.csv"), "weather/yard.weather.csv");
    assert.equal(at("b/", "a/a.weather.csv", "b/b.weather.csv"), "b/b.weather.csv");
    assert.equal(at("b/south/", "a/a.weather.csv", "b/b.weather.csv", "top.weather.csv"), "b/b.weather.csv");
    assert.equal(at("c/", "a/a.weather.csv", "b/b.weather.csv", "top.weather.csv"), "top.weather.csv");
    assert.equal(at("c/", "a/a.weather.csv", "b/b.weather.csv"), "a/a.weather.csv");
    assert.equal(at("", "a/1.weather.csv", "a/2.weather.csv"), "a/1.weather.csv");
    assert.equal(at("a/"), undefined);
  });

  it("so two farms of one book have a window each", () => {
    const year = (farm: string) => ({
      [`${farm}/f.fields.yaml`]: `fields:\n  - { id: ${farm} }\n`,
      [`${farm}/f.rotations.yaml`]: `rotations:\n  - { field: ${farm}, crops: [{ year: 2026, crop: canola, seeded: 2026-05-01 }] }\n`,
    });
    const book = bookOf("2026-12-01", [
      { path: "season.yaml", text: "season: 2026\nregion: ca-prairies\n" },
      ...Object.entries({
        ...year("hill"),
        ...year("plain"),
        "hill/h.weather.csv": steady(2026, 12),
        "plain/p.weather.csv": steady(2026, 15),
      }).map(([path, text]) => ({ path, text })),
    ]);
    // 1,500 / 12 = 125 days from 1 May: 2 September. 1,500 / 15 = 100: 8 August.
    const swathing = (field: string) => formatDay(cropWarmth(book.fieldHistory(field).crops[0]!, book)!.swathing!);
    assert.deepEqual([swathing("hill"), swathing("plain")], ["2026-09-02", "2026-08-08"]);
  });

  it("a file without a single readable day serves nobody", () => {
    const files = filesFor(2026, "seeded: 2026-05-01", {
      "a.weather.csv": "date,tmin_c,tmax_c\nnever,1,2\n",
      "b/b.weather.csv": steady(2026, 15),
    });
    assert.match(windowOf(bookOf("2026-12-01", files)), /forecast$/);
  });
});

describe("a book whose weather is edited", () => {
  it("has the findings of a fresh book", () => {
    const day = parseDay("2026-08-01")!;
    const options = { asOf: day, today: day, allSeasons: false };
    const withWeather = filesFor(2026, "seeded: 2026-05-01", { "yard.weather.csv": steady(2026, 15) });
    const without = filesFor(2026, "seeded: 2026-05-01", {});
    const live = new LiveBook(without, options, RULES);
    const codes = (book: LiveBook) => book.findings("a.rotations.yaml").map(({ message }) => message);
    assert.ok(!codes(live).some((message) => message.includes("degree days")));
    live.update(new Map([["yard.weather.csv", withWeather.find(({ path }) => path === "yard.weather.csv")!]]));
    assert.ok(codes(live).some((message) => message.includes("by degree days")));
    assert.deepEqual(codes(live), codes(new LiveBook(withWeather, options, RULES)));
    live.update(new Map([["yard.weather.csv", undefined]]));
    assert.deepEqual(codes(live), codes(new LiveBook(without, options, RULES)));
  });

  it("looks at the other station when the fields' file moves", () => {
    const day = parseDay("2026-08-01")!;
    const options = { asOf: day, today: day, allSeasons: false };
    const weathers = { "hill/h.weather.csv": steady(2026, 12), "plain/p.weather.csv": steady(2026, 15) };
    const moved = (folder: string): SourceFile[] =>
      filesFor(2026, "seeded: 2026-05-01", weathers).map((file) =>
        file.path === "a.fields.yaml" ? { ...file, path: `${folder}/a.fields.yaml` } : file,
      );
    const live = new LiveBook(moved("hill"), options, RULES);
    const all = (book: LiveBook) =>
      [...book.allFindings()].flatMap(([path, found]) => found.map((one) => `${path} ${one.message}`));
    live.update(
      new Map([
        ["hill/a.fields.yaml", undefined],
        ["plain/a.fields.yaml", moved("plain").find(({ path }) => path === "plain/a.fields.yaml")!],
      ]),
    );
    assert.deepEqual(all(live), all(new LiveBook(moved("plain"), options, RULES)));
    assert.ok(all(live).some((message) => message.includes("degree days")));
  });
});
