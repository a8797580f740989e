import { strict as assert } from "node:assert";
import fc from "fast-check";
import { carriagesFrom, carriagesTo } from "../../server/src/soil/carriages.ts";
import { exposures } from "../../server/src/soil/exposure.ts";
import type { Carriage } from "../../server/src/soil/soil-records.ts";
import { soilFrom, soilTo, type CarrierLeg, type SoilPlace } from "../../server/src/soil/soil-trace.ts";
import * as naive from "./brute-force.ts";
import { WrittenCarriers } from "./written-carriers.ts";
import { CARRIERS, FIELDS, smallBooks, soilInput } from "./small-books.ts";

const RUNS = { numRuns: 4000 };
const MINUTES_PER_DAY = 1440;

/** A reported chain with the shape of a naive one; the shares of soil are compared apart. */
function legs(chain: readonly Carriage[], written: WrittenCarriers): object[] {
  return chain
    .map((carriage) => written.numbered(carriage))
    .map(({ cleanings, soilLeft, ...leg }) => ({
      ...leg,
      partial: cleanings.map((each) => each.cleaning),
      soilLeft,
    }));
}

function naiveLegs(chain: naive.NaiveLeg[]): object[] {
  return chain.map((leg) => ({
    ...leg,
    partial: leg.partial.map((each) => each.cleaning),
    soilLeft: naive.shareLeft([leg]),
  }));
}

function near(actual: number, expected: number): void {
  assert.ok(Math.abs(actual - expected) <= 1e-9 * Math.max(actual, expected), `${actual} is not ${expected}`);
}

function smallest(
  chains: naive.NaiveLeg[][],
  compare: (a: naive.NaiveLeg[], b: naive.NaiveLeg[]) => number,
): naive.NaiveLeg[] {
  return chains.reduce((best, chain) => (compare(chain, best) < 0 ? chain : best));
}

/** The naive leg of a carrier's own load, as the trace reports it. */
function carrierLegOf(leg: naive.NaiveLeg, forward: boolean): CarrierLeg {
  const cleanings = leg.partial.map(({ cleaning, at, soilLeft }) => ({ cleaning, at, soilLeft }));
  const end = forward
    ? { field: leg.to!, at: leg.arrived, visit: leg.visitArrived }
    : { field: leg.from!, at: leg.left, visit: leg.visitLeft };
  return { carrier: leg.carrier, ...end, soilLeft: naive.shareLeft([leg]), cleanings };
}

/** A book with too many chains to try them all does not count as a case. */
function whereAllCanBeTried(compare: () => void): void {
  try {
    compare();
  } catch (error) {
    fc.pre(!(error instanceof naive.TooManyChains));
    throw error;
  }
}

describe("soil in small books, against every chain tried one by one", () => {
  it("exposes the same fields, by the same chains", () => {
    let exposedSomewhere = 0;
    const byCarriages: number[] = [];
    fc.assert(
      fc.property(smallBooks, (book) =>
        whereAllCanBeTried(() => {
          const { stays, cleanDowns } = soilInput(book);
          const written = new WrittenCarriers(stays, cleanDowns);
          const { exposed } = exposures(written.timeline, book.confirmed, book.lookBackDays);

          const mayStart = (leg: naive.NaiveLeg): boolean =>
            book.confirmed.some(
              (c) => c.field === leg.from && leg.left >= (c.confirmedOn - book.lookBackDays) * MINUTES_PER_DAY,
            );
          const carriages = naive.allCarriages(stays, cleanDowns);
          const earliest = naive.earliestArrivals(carriages, mayStart);
          const chains = naive.allChains(carriages, mayStart);
          const expected = [...earliest.keys()]
            .filter((field) => !book.confirmed.some((c) => c.field === field))
            .sort();

          assert.deepEqual(
            exposed.map((each) => each.field),
            expected,
          );
          for (const exposure of exposed) {
            const best = smallest(chains.get(exposure.field)!, naive.compareForward);
            assert.equal(exposure.arrived, earliest.get(exposure.field));
            assert.equal(exposure.carriages, Math.min(...chains.get(exposure.field)!.map((chain) => chain.length)));
            assert.deepEqual(legs(exposure.chain, written), naiveLegs(best));
            near(exposure.soilLeft, naive.shareLeft(best));
            byCarriages[exposure.carriages] = (byCarriages[exposure.carriages] ?? 0) + 1;
          }
          if (exposed.length > 0) exposedSomewhere++;
        }),
      ),
      RUNS,
    );
    // The books must be worth the comparison.
    const [, one = 0, two = 0, three = 0] = byCarriages;
    assert.ok(exposedSomewhere > RUNS.numRuns / 3, `only ${exposedSomewhere} books with an exposure`);
    assert.ok(one > 1000 && two > 100 && three > 5, `fields exposed by number of carriages: ${byCarriages.join(", ")}`);
  });

  it("traces the same chains forward from a field or a carrier, and backward to one", () => {
    const places = fc.oneof(
      fc.constantFrom(...FIELDS).map((field): SoilPlace => ({ field })),
      fc.constantFrom(...CARRIERS).map((carrier): SoilPlace => ({ carrier })),
    );
    const moments = fc.oneof(
      fc.constant(undefined),
      fc.nat({ max: 16 }),
      fc.nat({ max: 16 }).map((n) => n * 720),
    );
    fc.assert(
      fc.property(smallBooks, places, moments, (book, place, moment) =>
        whereAllCanBeTried(() => {
          const { stays, cleanDowns } = soilInput(book);
          const written = new WrittenCarriers(stays, cleanDowns);
          const carriages: naive.NaiveLeg[] = naive.allCarriages(stays, cleanDowns);
          checkForward(written, stays, cleanDowns, carriages, place, moment ?? -Infinity);
          checkBackward(written, stays, cleanDowns, carriages, place, moment ?? Infinity);
        }),
      ),
      RUNS,
    );
  });

  it("lists the same single carriages out of and into a field", () => {
    fc.assert(
      fc.property(smallBooks, fc.constantFrom(...FIELDS), fc.nat({ max: 16 }), (book, field, moment) => {
        const { stays, cleanDowns } = soilInput(book);
        const written = new WrittenCarriers(stays, cleanDowns);
        const { timeline } = written;
        const carriages = naive.allCarriages(stays, cleanDowns);
        const out = carriages.filter((each) => each.from === field && each.left >= moment);
        const first = onePerNeighbour(
          out,
          (each) => each.to,
          (a, b) =>
            a.arrived - b.arrived || b.left - a.left || a.visitLeft - b.visitLeft || a.visitArrived - b.visitArrived,
        );
        first.sort((a, b) => a.arrived - b.arrived || order(a.to, b.to) || order(a.carrier, b.carrier));
        assert.deepEqual(legs(carriagesFrom(timeline, field, moment), written), naiveLegs(first));

        const into = carriages.filter((each) => each.to === field && each.arrived <= moment);
        const last = onePerNeighbour(
          into,
          (each) => each.from,
          (a, b) =>
            b.left - a.left || a.arrived - b.arrived || a.visitArrived - b.visitArrived || a.visitLeft - b.visitLeft,
        );
        last.sort((a, b) => b.left - a.left || order(a.from, b.from) || order(a.carrier, b.carrier));
        assert.deepEqual(legs(carriagesTo(timeline, field, moment), written), naiveLegs(last));
      }),
      RUNS,
    );
  });
});

function checkForward(
  written: WrittenCarriers,
  stays: naive.NaiveStay[],
  cleanDowns: naive.NaiveCleanDown[],
  carriages: naive.NaiveLeg[],
  place: SoilPlace,
  from: number,
): void {
  const own = "carrier" in place ? stays.filter((stay) => stay.carrier === place.carrier && stay.arrived >= from) : [];
  const loads = own.map((stay): naive.NaiveLeg => {
    const partial = naive.cleaningsBetween(cleanDowns, stay.carrier, from, stay.arrived);
    const visits = { visitLeft: -1, visitArrived: stay.visit };
    return { from: null, to: stay.field, carrier: stay.carrier, left: from, arrived: stay.arrived, ...visits, partial };
  });
  const legal = [...carriages, ...loads.filter((leg) => leg.partial.every((cleaning) => !cleaning.full))];
  const mayStart = (leg: naive.NaiveLeg): boolean =>
    "field" in place ? leg.from === place.field && leg.left >= from : leg.from === null;
  const earliest = naive.earliestArrivals(legal, mayStart);
  const chains = naive.allChains(legal, mayStart);
  const expected = [...earliest.keys()].filter((field) => !("field" in place) || field !== place.field).sort();

  const found = soilFrom(written.timeline, place, from);
  assert.deepEqual(
    found.map((each) => each.field),
    expected,
  );
  for (const each of found) {
    const best = smallest(chains.get(each.field)!, naive.compareForward);
    const ofCarrier = best[0].from === null;
    assert.equal(each.arrived, earliest.get(each.field));
    assert.equal(each.carriages, best.length);
    assert.deepEqual(legs(each.chain, written), naiveLegs(ofCarrier ? best.slice(1) : best));
    const leg = each.carrierLeg && written.numberedLeg(each.carrierLeg);
    assert.deepEqual(leg, ofCarrier ? carrierLegOf(best[0], true) : undefined);
    near(each.soilLeft, naive.shareLeft(best));
  }
}

function checkBackward(
  written: WrittenCarriers,
  stays: naive.NaiveStay[],
  cleanDowns: naive.NaiveCleanDown[],
  carriages: naive.NaiveLeg[],
  place: SoilPlace,
  upTo: number,
): void {
  const own = "carrier" in place ? stays.filter((stay) => stay.carrier === place.carrier && stay.left <= upTo) : [];
  const loads = own.map((stay): naive.NaiveLeg => {
    const partial = naive.cleaningsBetween(cleanDowns, stay.carrier, stay.left, upTo);
    const visits = { visitLeft: stay.visit, visitArrived: -1 };
    return { from: stay.field, to: null, carrier: stay.carrier, left: stay.left, arrived: upTo, ...visits, partial };
  });
  const legal = [...carriages, ...loads.filter((leg) => leg.partial.every((cleaning) => !cleaning.full))];
  const isLast = (leg: naive.NaiveLeg): boolean =>
    "field" in place ? leg.to === place.field && leg.arrived <= upTo : leg.to === null;
  const found = soilTo(written.timeline, place, upTo);
  for (const origin of FIELDS) {
    // Backward by going forward: start at each field in turn and see which chains end here in time.
    const ending = chainsEnding(legal, origin, isLast);
    const each = found.find((one) => one.field === origin);
    if (ending.length === 0 || ("field" in place && place.field === origin)) {
      assert.equal(each, undefined);
      continue;
    }
    const fewest = Math.min(...ending.map((chain) => chain.length));
    const best = smallest(
      ending.filter((chain) => chain.length === fewest),
      naive.compareBackward,
    );
    const ofCarrier = best[best.length - 1].to === null;
    assert.ok(each, `${origin} is not among the origins`);
    assert.equal(each.carriages, fewest);
    assert.equal(each.left, latestDeparture(legal, origin, isLast));
    assert.deepEqual(legs(each.chain, written), naiveLegs(ofCarrier ? best.slice(0, -1) : best));
    const leg = each.carrierLeg && written.numberedLeg(each.carrierLeg);
    assert.deepEqual(leg, ofCarrier ? carrierLegOf(best[best.length - 1], false) : undefined);
    near(each.soilLeft, naive.shareLeft(best));
  }
  assert.deepEqual(
    found.map((each) => each.field),
    found.map((each) => each.field).sort(),
  );
}

/** All chains from a field whose last leg fits, up to the length at which the first such chain is found. */
function chainsEnding(
  all: naive.NaiveLeg[],
  origin: string,
  isLast: (leg: naive.NaiveLeg) => boolean,
): naive.NaiveLeg[][] {
  let chains = all.filter((leg) => leg.from === origin).map((leg) => [leg]);
  while (chains.length > 0) {
    const ending = chains.filter((chain) => isLast(chain[chain.length - 1]));
    if (ending.length > 0) return ending;
    chains = naive.longerByOne(chains, all);
  }
  return [];
}

/** The latest minute at which soil may leave a field and still get there. */
function latestDeparture(all: naive.NaiveLeg[], origin: string, isLast: (leg: naive.NaiveLeg) => boolean): number {
  const times = all.filter((leg) => leg.from === origin).map((leg) => leg.left);
  return Math.max(
    ...times.filter((time) => {
      const mayStart = (leg: naive.NaiveLeg): boolean => leg.from === origin && leg.left >= time;
      const reached = naive.earliestArrivals(
        all.filter((leg) => leg.to !== null),
        mayStart,
      );
      return all.some((leg) => isLast(leg) && (mayStart(leg) || (reached.get(leg.from!) ?? Infinity) <= leg.left));
    }),
  );
}

function onePerNeighbour(
  all: naive.NaiveCarriage[],
  neighbour: (each: naive.NaiveCarriage) => string,
  compare: (a: naive.NaiveCarriage, b: naive.NaiveCarriage) => number,
): naive.NaiveCarriage[] {
  const best = new Map<string, naive.NaiveCarriage>();
  for (const each of [...all].sort(compare)) {
    const key = `${neighbour(each)} ${each.carrier}`;
    if (!best.has(key)) best.set(key, each);
  }
  return [...best.values()];
}

function order(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
