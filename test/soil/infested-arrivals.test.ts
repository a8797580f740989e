import { strict as assert } from "node:assert";
import fc from "fast-check";
import { infestedArrivals, type InfestedGround } from "../../server/src/soil/infested-arrivals.ts";
import { WrittenCarriers, type WrittenCleanDown, type WrittenStay } from "./written-carriers.ts";

/** By the definition of a carriage: every earlier departure of the carrier from infested ground, the most soil left. */
function oneByOne(
  stays: readonly WrittenStay[],
  cleanDowns: readonly WrittenCleanDown[],
  ground: ReadonlyMap<string, InfestedGround>,
): string[] {
  return stays
    .flatMap((arriving) => {
      const shares = stays.flatMap((leaving) => {
        const source = ground.get(leaving.field);
        if (!source || leaving.left < source.since || leaving.carrier !== arriving.carrier) return [];
        if (leaving.field === arriving.field || leaving.left > arriving.arrived) return [];
        const between = cleanDowns.filter(
          (one) => one.carrier === leaving.carrier && one.at >= leaving.left && one.at <= arriving.arrived,
        );
        if (between.some((one) => one.full)) return [];
        return [between.reduce((share, one) => share * one.soilLeft, source.share)];
      });
      const most = Math.max(0, ...shares);
      return most > 0 ? [`${arriving.field} ${arriving.carrier} ${arriving.arrived} ${most.toFixed(9)}`] : [];
    })
    .sort();
}

describe("arrivals with infested soil", () => {
  const name = (letters: string) => fc.constantFrom(...letters);
  const minute = fc.integer({ min: 0, max: 12 });
  const share = fc.constantFrom(0.05, 0.1, 0.5, 1);

  it("are those of the definition, each with the most soil left", () => {
    const stay = fc
      .tuple(name("abcd"), name("xy"), minute, fc.integer({ min: 0, max: 3 }))
      .map(([field, carrier, arrived, long]) => ({ field, carrier, arrived, left: arrived + long }));
    const cleanDown = fc
      .tuple(name("xy"), minute, fc.boolean(), share)
      .map(([carrier, at, full, soilLeft]) => ({ carrier, at, full, soilLeft, cleaning: 0 }));
    const ground = fc.dictionary(name("abc"), fc.record({ since: minute, share }));
    fc.assert(
      fc.property(
        fc.array(stay, { maxLength: 12 }),
        fc.array(cleanDown, { maxLength: 5 }),
        ground,
        (stays, cleanings, map) => {
          const infested = new Map(Object.entries(map));
          const numbered = stays.map((one, visit) => ({ ...one, visit }));
          const found = [...infestedArrivals(new WrittenCarriers(numbered, cleanings).timeline, infested)].flatMap(
            ([field, arrivals]) =>
              arrivals.map(
                ({ carriage, soilLeft }) => `${field} ${carriage.carrier} ${carriage.arrived} ${soilLeft.toFixed(9)}`,
              ),
          );
          assert.deepEqual(found.sort(), oneByOne(numbered, cleanings, infested));
        },
      ),
      { numRuns: 2000 },
    );
  });

  it("come in order of time, and none where no ground is infested", () => {
    const stays = [
      { field: "a", carrier: "x", arrived: 0, left: 1, visit: 0 },
      { field: "b", carrier: "x", arrived: 5, left: 6, visit: 1 },
      { field: "b", carrier: "x", arrived: 3, left: 4, visit: 2 },
    ];
    const { timeline } = new WrittenCarriers(stays);
    const arrivals = infestedArrivals(timeline, new Map([["a", { since: 0, share: 1 }]]));
    assert.deepEqual(
      arrivals.get("b")?.map(({ carriage }) => carriage.arrived),
      [3, 5],
    );
    assert.equal(infestedArrivals(timeline, new Map()).size, 0);
  });
});
