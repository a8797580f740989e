import { strict as assert } from "node:assert";
import fc from "fast-check";
import { carriagesFrom, carriagesTo } from "../../server/src/soil/carriages.ts";
import { exposures, type Exposure } from "../../server/src/soil/exposure.ts";
import type { SoilTimeline } from "../../server/src/soil/soil-timeline.ts";
import { soilFrom, soilTo } from "../../server/src/soil/soil-trace.ts";
import { WrittenCarriers } from "./written-carriers.ts";
import { CARRIERS, FIELDS, smallBooks, soilInput, type SmallBook } from "./small-books.ts";
import { writtenOut } from "./written-out.ts";

const RUNS = { numRuns: 2000 };
const WEEK_MINUTES = 7 * 1440;

function exposedIn(book: SmallBook): readonly Exposure[] {
  return exposures(timelineOf(book), book.confirmed, book.lookBackDays).exposed;
}

function timelineOf(book: SmallBook): SoilTimeline {
  const { stays, cleanDowns } = soilInput(book);
  return new WrittenCarriers(stays, cleanDowns).timeline;
}

/** Every field exposed in `less` is exposed in `more`, no later and by no more carriages. */
function assertNoMore(less: readonly Exposure[], more: readonly Exposure[]): void {
  for (const exposure of less) {
    const same = more.find((each) => each.field === exposure.field);
    assert.ok(same, `${exposure.field} is newly exposed`);
    assert.ok(same.arrived <= exposure.arrived, `${exposure.field} is exposed earlier`);
    assert.ok(same.carriages <= exposure.carriages, `${exposure.field} is exposed by fewer carriages`);
  }
}

function without<T>(list: readonly T[], index: number): T[] {
  return list.filter((_, i) => i !== index);
}

describe("soil in any book", () => {
  it("is carried no further when a full clean-down is added", () => {
    fc.assert(
      fc.property(
        smallBooks,
        fc.constantFrom(...CARRIERS),
        fc.nat({ max: 16 }),
        fc.constantFrom(1, 720),
        (book, carrier, n, unit) => {
          const cleaning = { at: n * unit, carriers: [carrier], full: true, soilLeft: 0 };
          assertNoMore(exposedIn({ ...book, cleanings: [...book.cleanings, cleaning] }), exposedIn(book));
        },
      ),
      RUNS,
    );
  });

  it("exposes the same fields, as early and by as few carriages, however well a partial cleaning is done", () => {
    fc.assert(
      fc.property(smallBooks, (book) => {
        const worse = book.cleanings.map((cleaning) => ({ ...cleaning, soilLeft: 1 }));
        const facts = (exposed: readonly Exposure[]): object[] =>
          exposed.map(({ field, arrived, carriages }) => ({ field, arrived, carriages }));
        assert.deepEqual(facts(exposedIn({ ...book, cleanings: worse })), facts(exposedIn(book)));
      }),
      RUNS,
    );
  });

  it("is carried no further when a visit is removed that cleaned nobody's boots, or a find that was one", () => {
    fc.assert(
      fc.property(smallBooks, fc.nat(), (book, n) => {
        const visit = n % book.visits.length;
        const disinfected = book.visits[visit].footwear === "disinfected";
        if (!disinfected) assertNoMore(exposedIn({ ...book, visits: without(book.visits, visit) }), exposedIn(book));
        const confirmed = without(book.confirmed, n % book.confirmed.length);
        const withdrawn = book.confirmed[n % book.confirmed.length].field;
        assertNoMore(
          exposedIn({ ...book, confirmed }).filter((each) => each.field !== withdrawn),
          exposedIn(book),
        );
      }),
      RUNS,
    );
  });

  it("exposes a field newly, when a cleaning is removed, only by a carriage of its own carriers over its own time", () => {
    let newly = 0;
    fc.assert(
      fc.property(smallBooks, fc.nat(), (book, n) => {
        fc.pre(book.cleanings.length > 0);
        const removed = book.cleanings[n % book.cleanings.length];
        const before = exposedIn(book).map((each) => each.field);
        const after = exposedIn({ ...book, cleanings: without(book.cleanings, n % book.cleanings.length) });
        for (const { field, chain } of after) {
          if (before.includes(field)) continue;
          newly++;
          assert.ok(removed.full);
          assert.ok(
            chain.some(
              (each) =>
                removed.carriers.includes(each.carrier) && each.left <= removed.at && removed.at <= each.arrived,
            ),
          );
        }
      }),
      RUNS,
    );
    assert.ok(newly > 5, `only ${newly} fields newly exposed: the books say nothing of this`);
  });

  it("never loses an exposure to records of a later day", () => {
    const upTo = (book: SmallBook, day: number): SmallBook => ({
      ...book,
      // A visit is dated by its arrival. One that ends before it begins could undo what was known the day before.
      visits: book.visits
        .filter((visit) => visit.arrived < (day + 1) * 1440)
        .map((visit) => ({ ...visit, left: Math.max(visit.arrived, visit.left) })),
      cleanings: book.cleanings.filter((cleaning) => cleaning.at < (day + 1) * 1440),
      confirmed: book.confirmed.filter((find) => find.confirmedOn <= day),
    });
    fc.assert(
      fc.property(smallBooks, fc.nat({ max: 12 }), fc.nat({ max: 6 }), (book, day, later) => {
        const confirmedBy = upTo(book, day + later).confirmed.map((find) => find.field);
        const earlier = exposedIn(upTo(book, day)).filter((each) => !confirmedBy.includes(each.field));
        assertNoMore(earlier, exposedIn(upTo(book, day + later)));
      }),
      RUNS,
    );
  });

  it("changes nothing but the dates when all records are a week later", () => {
    const later = (book: SmallBook): SmallBook => ({
      ...book,
      visits: book.visits.map((each) => ({
        ...each,
        arrived: each.arrived + WEEK_MINUTES,
        left: each.left + WEEK_MINUTES,
      })),
      cleanings: book.cleanings.map((each) => ({ ...each, at: each.at + WEEK_MINUTES })),
      confirmed: book.confirmed.map((each) => ({ ...each, confirmedOn: each.confirmedOn + 7 })),
    });
    const moved = (exposed: readonly Exposure[]): object[] =>
      exposed.map((each) => ({
        ...each,
        arrived: each.arrived + WEEK_MINUTES,
        chain: each.chain.map((carriage) => ({
          ...carriage,
          left: carriage.left + WEEK_MINUTES,
          arrived: carriage.arrived + WEEK_MINUTES,
          cleanings: carriage.cleanings.map((cleaning) => ({ ...cleaning, at: cleaning.at + WEEK_MINUTES })),
        })),
      }));
    fc.assert(
      fc.property(smallBooks, (book) => {
        assert.deepEqual(writtenOut(exposedIn(later(book))), moved(exposedIn(book)));
      }),
      RUNS,
    );
  });

  it("does not depend on the order in which the records are written", () => {
    const shuffled = smallBooks.chain((book) => {
      const { stays, cleanDowns } = soilInput(book);
      const all = <T>(list: T[]): fc.Arbitrary<T[]> => fc.shuffledSubarray(list, { minLength: list.length });
      return fc.record({
        book: fc.constant(book),
        stays: all(stays),
        cleanDowns: all(cleanDowns),
        confirmed: all(book.confirmed),
      });
    });
    fc.assert(
      fc.property(
        shuffled,
        fc.constantFrom(...FIELDS),
        fc.constantFrom(...CARRIERS),
        ({ book, ...other }, field, carrier) => {
          const one = timelineOf(book);
          const two = new WrittenCarriers(other.stays, other.cleanDowns).timeline;
          assert.deepEqual(
            withoutPlaces(exposures(two, other.confirmed, book.lookBackDays)),
            withoutPlaces(exposures(one, book.confirmed, book.lookBackDays)),
          );
          assert.deepEqual(withoutPlaces(carriagesFrom(two, field)), withoutPlaces(carriagesFrom(one, field)));
          assert.deepEqual(withoutPlaces(carriagesTo(two, field)), withoutPlaces(carriagesTo(one, field)));
          for (const place of [{ field }, { carrier }]) {
            assert.deepEqual(withoutPlaces(soilFrom(two, place)), withoutPlaces(soilFrom(one, place)));
            assert.deepEqual(withoutPlaces(soilTo(two, place)), withoutPlaces(soilTo(one, place)));
          }
        },
      ),
      RUNS,
    );
  });

  it("goes forward to a field exactly when that field gets it looking backward", () => {
    fc.assert(
      fc.property(smallBooks, (book) => {
        const timeline = timelineOf(book);
        for (const from of FIELDS) {
          const reached = soilFrom(timeline, { field: from });
          for (const to of FIELDS) {
            const there = reached.find((each) => each.field === to);
            const back = soilTo(timeline, { field: to }).find((each) => each.field === from);
            assert.equal(there?.carriages, back?.carriages, `${from} to ${to}`);
          }
        }
      }),
      { numRuns: 500 },
    );
  });
});

/** Which of two stays or clean-downs alike in all is named goes by the order of the lists. */
function withoutPlaces(value: unknown): unknown {
  return writtenOut(value, ["visitLeft", "visitArrived", "visit", "cleaning"]);
}
