import fc from "fast-check";
import { formatDay, formatMinute, parseDay } from "../../server/src/base/days.ts";
import { openBook } from "../../server/src/book/open-book.ts";
import type { Book } from "../../server/src/book/book.ts";

/** The first day of every plan here, and the day it is made on. */
export const FIRST = parseDay("2026-08-20")!;

export interface BookSpec {
  readonly fields: readonly FieldSpec[];
  readonly crew: readonly string[];
  readonly days: number;
  readonly hours: number;
  /** Millimetres on the day before the first, and on the first. */
  readonly rain: readonly [number, number];
  /** What the first of the crew did on the first day until 08:00: the field by its place in the list. */
  readonly earlier: number | undefined;
}

export interface FieldSpec {
  readonly place: readonly [number, number];
  readonly status: "clean" | "suspected" | "confirmed";
  /** Expected; days from the first one. The base pack counts 105 days from seeding to it. */
  readonly swathed: number;
  /** When a spraying ended, in hours from the first midnight, and its interval. */
  readonly sprayed: { readonly ended: number; readonly hours: number } | undefined;
}

const fieldSpec: fc.Arbitrary<FieldSpec> = fc.record({
  place: fc.tuple(fc.integer({ min: 0, max: 40 }), fc.integer({ min: 0, max: 40 })),
  status: fc.constantFrom("clean", "clean", "suspected", "confirmed"),
  swathed: fc.integer({ min: -9, max: 17 }),
  sprayed: fc.option(fc.record({ ended: fc.integer({ min: -20, max: 0 }), hours: fc.integer({ min: 1, max: 60 }) }), {
    nil: undefined,
    freq: 2,
  }),
});

/** Books so small that every plan of them can be tried, and so tight that most cannot hold all. */
export const bookSpecs: fc.Arbitrary<BookSpec> = fc
  .record({
    fields: fc.array(fieldSpec, { minLength: 1, maxLength: 4 }),
    crew: fc.constantFrom(["mo"], ["mo", "ines"]),
    days: fc.integer({ min: 1, max: 2 }),
    hours: fc.integer({ min: 2, max: 9 }),
    rain: fc.constantFrom<readonly [number, number]>([0, 0], [0, 0], [0, 0], [9, 0], [3, 3], [0, 4]),
    earlier: fc.option(fc.integer({ min: 0, max: 3 }), { nil: undefined, freq: 3 }),
  })
  .map((spec) => ({
    ...spec,
    earlier: spec.earlier !== undefined && spec.earlier < spec.fields.length ? spec.earlier : undefined,
  }));

export function placeOf({ place: [east, north] }: FieldSpec): [number, number] {
  return [-104.4 + east / 100, 51.9 + north / 200];
}

/** The book of a spec, as its keeper would write it. */
export function bookOf(spec: BookSpec): Book {
  const day = (from: number): string => formatDay(FIRST + from);
  const at = (hours: number): string => formatMinute(FIRST * 1440 + hours * 60);
  const visits = spec.fields.flatMap(({ sprayed }, i) =>
    sprayed
      ? [
          `  - { id: spray-${i}, field: f${i}, arrived: ${at(sprayed.ended - 1)}, left: ${at(sprayed.ended)}, purpose: spraying, re_entry_hours: ${sprayed.hours}, equipment: [sprayer-${i}] }`,
        ]
      : [],
  );
  if (spec.earlier !== undefined)
    visits.push(
      `  - { id: early, field: f${spec.earlier}, arrived: ${at(7)}, left: ${at(8)}, purpose: other, crew: [mo] }`,
    );
  const files: Record<string, string> = {
    "season.yaml": `season: 2026\nregion: ours.region.yaml\ntimezone: America/Regina\ncrew: [{ id: mo, name: M. Okafor }, { id: ines, name: I. Vale }]\n`,
    "ours.region.yaml": `region: ours\nextends: base\nplan: { hours_per_day: ${spec.hours}, plants_per_hour: 400 }\nsources: { plan.hours_per_day: ours, plan.plants_per_hour: ours }\n`,
    "all.fields.yaml": `fields:\n${spec.fields
      .map((field, i) => {
        const found = field.status === "confirmed" ? ", clubroot: { found_on: 2024-08-01 }" : "";
        return `  - { id: f${i}, name: Field ${i}, area_ha: 16, entrances: [{ id: gate, position: [${placeOf(field).join(", ")}] }]${found} }\n`;
      })
      .join("")}`,
    "all.rotations.yaml": `rotations:\n${spec.fields
      .map(
        ({ swathed }, i) =>
          `  - { field: f${i}, crops: [{ year: 2026, crop: canola, seeded: ${day(swathed - 105)} }] }\n`,
      )
      .join("")}`,
    "home.weather.csv": `date,tmin_c,tmax_c,rain_mm\n${day(-1)},8,20,${spec.rain[0]}\n${day(0)},8,20,${spec.rain[1]}\n`,
    "all.samples.yaml": `samples:\n${spec.fields
      .map(({ status }, i) =>
        status === "suspected"
          ? `  - { id: s${i}, field: f${i}, material: roots, taken: ${day(-5)}, sent: ${day(-4)} }\n`
          : "",
      )
      .join("")}`,
  };
  if (visits.length > 0) files["all.visits.yaml"] = `visits:\n${visits.join("\n")}\n`;
  const sources = Object.entries(files).map(([path, text]) => ({ path, text }));
  return openBook(sources, { asOf: FIRST, today: FIRST, allSeasons: false }).book;
}
