import fc from "fast-check";
import type { ConfirmedField } from "../../server/src/soil/soil-records.ts";
import type { WrittenCleanDown, WrittenStay } from "./written-carriers.ts";

/** A visit as the records hold it, with all that can carry soil. */
export interface SmallVisit {
  field: string;
  arrived: number;
  left: number;
  equipment: string[];
  crew: string[];
  footwear: "disposable" | "disinfected" | "unprotected";
}

export interface SmallBook {
  visits: SmallVisit[];
  cleanings: { at: number; carriers: string[]; full: boolean; soilLeft: number }[];
  confirmed: ConfirmedField[];
  lookBackDays: number;
}

export interface SoilInput {
  stays: WrittenStay[];
  cleanDowns: WrittenCleanDown[];
}

export const FIELDS = ["a", "a/1", "b", "b-2", "c", "d"];
export const CARRIERS = ["kit", "seeder", "boots/mo", "boots/al"];

/** Stays and clean-downs as the record format defines them: boots by the footwear, disinfected ones clean on both ends. */
export function soilInput(book: SmallBook): SoilInput {
  const stays: WrittenStay[] = [];
  const cleanDowns: WrittenCleanDown[] = [];
  book.visits.forEach(({ field, arrived, left, equipment, crew, footwear }, visit) => {
    const boots = footwear === "disposable" ? [] : crew.map((id) => `boots/${id}`);
    for (const carrier of [...equipment, ...boots]) stays.push({ field, carrier, arrived, left, visit });
    if (footwear !== "disinfected") return;
    for (const carrier of boots) {
      for (const at of [arrived, left])
        cleanDowns.push({ carrier, at, full: true, soilLeft: 0, cleaning: 1000 + visit });
    }
  });
  book.cleanings.forEach(({ at, carriers, full, soilLeft }, cleaning) => {
    for (const carrier of carriers) cleanDowns.push({ carrier, at, full, soilLeft, cleaning });
  });
  return { stays, cleanDowns };
}

interface Taken extends Pick<SmallVisit, "field" | "equipment" | "crew" | "footwear"> {
  /** Moves the visit later, in quarters of the book's span. */
  later: number;
}

/** Anything and anyone anywhere. */
function takenAnywhere(fields: readonly string[]): fc.Arbitrary<Taken> {
  return fc.record({
    later: fc.constant(0),
    field: fc.constantFrom(...fields),
    equipment: fc.subarray(["kit", "seeder"]),
    crew: fc.subarray(["mo", "al"]),
    footwear: fc.constantFrom("disposable", "disinfected", "unprotected", "unprotected"),
  });
}

/**
 * One carrier a visit, each on two neighbouring fields only and each somewhat later than the one before: soil needs several
 * carriages to get about.
 */
function takenNearby(fields: readonly string[]): fc.Arbitrary<Taken> {
  return fc
    .record({
      carrier: fc.nat({ max: 3 }),
      further: fc.nat({ max: 1 }),
      disinfected: fc.constantFrom(false, false, false, false, false, true),
    })
    .map(({ carrier, further, disinfected }) => ({
      later: carrier,
      field: fields[(carrier + further) % fields.length],
      equipment: carrier < 2 ? [CARRIERS[carrier]] : [],
      crew: carrier === 2 ? ["mo"] : ["al"],
      footwear: carrier < 2 ? "disposable" : disinfected ? "disinfected" : "unprotected",
    }));
}

/**
 * Books of up to 6 fields, 4 carriers and 20 visits. The unit of time is a minute, half a day or a day, so that some books
 * are full of ties, some have all their times at one minute of the day, and some cross the day a field is infested from.
 */
export const smallBooks: fc.Arbitrary<SmallBook> = fc
  .record({
    unit: fc.constantFrom(1, 720, 1440),
    span: fc.constantFrom(16, 16, 8, 4, 1),
    nearby: fc.boolean(),
    fieldCount: fc.constantFrom(6, 6, 5, 4, 3, 2),
    visitCount: fc.constantFrom(20, 20, 18, 15, 12, 8, 4),
    cleanliness: fc.constantFrom(0, 3, 6, 12),
  })
  .chain(({ unit, span, nearby, fieldCount, visitCount, cleanliness }) => {
    const time = fc.integer({ min: 0, max: span }).map((n) => n * unit);
    const fields = FIELDS.slice(0, fieldCount);
    const visit = fc
      .record({
        taken: nearby ? takenNearby(fields) : takenAnywhere(fields),
        arrived: time,
        // Now and then a visit that ends before it begins: an error in the records, but with a meaning all the same.
        stay: fc.constantFrom(0, 0, 0, 0, 1, 1, 1, 2, -1).map((n) => n * unit),
      })
      .map(({ taken: { later, ...taken }, arrived, stay }): SmallVisit => {
        const moved = arrived + Math.floor((later * span) / 4) * unit;
        return { ...taken, arrived: moved, left: moved + stay };
      });
    const cleaning = fc.record({
      at: time,
      carriers: fc.subarray(CARRIERS),
      full: fc.constantFrom(true, false, false, false),
      soilLeft: fc.constantFrom(1, 0.5, 0.1, 0.1, 0.05, 0.005, 0),
    });
    const confirmed = fc.record({
      field: nearby ? fc.constantFrom(fields[0], fields[0], fields[0], ...fields) : fc.constantFrom(...fields),
      confirmedOn: fc.integer({ min: 0, max: 8 }),
    });
    return fc.record({
      visits: fc.array(visit, { minLength: visitCount, maxLength: visitCount }),
      cleanings: fc.array(cleaning, {
        minLength: nearby ? 0 : cleanliness >> 1,
        maxLength: nearby ? cleanliness >> 1 : cleanliness,
      }),
      confirmed: fc.array(confirmed, { minLength: 1, maxLength: nearby ? 1 : 2 }),
      lookBackDays: fc.constantFrom(100, 100, 100, 3, 0),
    });
  });
