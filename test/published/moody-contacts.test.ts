/**
 * Without cleanings, exposure is reachability in a temporal graph: fields are the vertices, and soil follows journeys whose
 * contacts come in order of time.
 *
 * Definitions: B. Bui-Xuan, A. Ferreira & A. Jarry, "Computing shortest, fastest, and foremost journeys in dynamic networks",
 * Int. J. Found. Comput. Sci. 14 (2003), INRIA report RR-4589 (foremost: earliest arrival; shortest: fewest hops), and
 * P. Holme & J. Saramaki, "Temporal networks", Physics Reports 519 (2012). Both from memory; the first is named as background
 * by the package below.
 *
 * Worked example, read: J. Moody, "Static representations of dynamic networks", Duke Population Research Institute working
 * paper (2008), figure 5, a simulated contact network of 16 vertices and 18 undirected contacts, each from an onset up to but
 * not including a terminus; contacts as given on the help page `moodyContactSim` of the R package tsna (statnet), and the
 * earliest arrivals from vertex 10 as in that package's own test of `tPath` (tests/path_tests.R, read at commit 9e4f47c).
 */
import { strict as assert } from "node:assert";
import { exposures } from "../../server/src/soil/exposure.ts";
import { WrittenCarriers, type WrittenStay } from "../soil/written-carriers.ts";
import type { SoilTimeline } from "../../server/src/soil/soil-timeline.ts";
import { soilFrom, soilTo } from "../../server/src/soil/soil-trace.ts";

// Onset, terminus, and the two vertices.
const CONTACTS = [
  [674, 701, 1, 9],
  [214, 247, 1, 11],
  [621, 651, 1, 12],
  [583, 615, 1, 16],
  [749, 793, 11, 8],
  [719, 745, 8, 13],
  [712, 739, 13, 5],
  [634, 660, 13, 3],
  [769, 795, 13, 7],
  [453, 479, 13, 4],
  [494, 524, 13, 2],
  [224, 256, 7, 10],
  [40, 72, 10, 4],
  [665, 692, 4, 14],
  [709, 740, 2, 15],
  [575, 599, 2, 16],
  [748, 782, 4, 16],
  [701, 733, 16, 6],
] as const;
const START = 40;

// tPath(moodyContactSim, v = 10): time from the start at 40 to each of the vertices 1 to 16, the vertex before it on the
// path, and the number of steps on that path.
const EARLIEST = [543, 454, 594, 0, 672, 661, 184, 679, 634, 0, 709, 581, 413, 625, 669, 535];
const BEFORE = [16, 13, 13, 10, 13, 16, 10, 13, 1, 0, 8, 1, 4, 4, 2, 2];

/** A contact lets soil over in both directions at any of its minutes: a carrier that is on both at each of them. */
function staysOf(contacts: readonly (readonly [number, number, number, number])[]): WrittenStay[] {
  const stays: WrittenStay[] = [];
  contacts.forEach(([onset, terminus, one, other], contact) => {
    for (let minute = onset; minute < terminus; minute++) {
      for (const field of [one, other]) {
        const stay = { field: `v${field}`, carrier: `contact-${contact} at ${minute}`, arrived: minute, left: minute };
        stays.push({ ...stay, visit: stays.length });
      }
    }
  });
  return stays;
}

describe("exposure without cleanings, as reachability in a temporal graph", () => {
  const { timeline } = new WrittenCarriers(staysOf(CONTACTS));

  it("arrives as early as the published example", () => {
    const reached = new Map(soilFrom(timeline, { field: "v10" }, START).map((each) => [each.field, each]));
    for (let vertex = 1; vertex <= 16; vertex++) {
      if (vertex === 10) continue;
      assert.equal(reached.get(`v${vertex}`)?.arrived, EARLIEST[vertex - 1] + START, `vertex ${vertex}`);
    }
  });

  it("comes by the same last vertex wherever its chain is as early, and never by more steps", () => {
    const stepsTo = (vertex: number): number => (vertex === 10 ? 0 : 1 + stepsTo(BEFORE[vertex - 1]));
    const later: string[] = [];
    for (const { field, carriages, chain, arrived } of soilFrom(timeline, { field: "v10" }, START)) {
      const vertex = Number(field.slice(1));
      const last = chain[chain.length - 1];
      assert.ok(carriages <= stepsTo(vertex), field);
      if (last.arrived > arrived) later.push(field);
      else assert.equal(last.from, `v${BEFORE[vertex - 1]}`);
    }
    // Vertex 16 is reached through 4 in two steps, but later than through 13 and 2.
    assert.deepEqual(later, ["v16"]);
  });

  it("is what exposure is: from one confirmed field, infested from the start of the records", () => {
    const { exposed } = exposures(timeline, [{ field: "v10", confirmedOn: 0 }], 0);
    const byTrace = soilFrom(timeline, { field: "v10" }, 0);
    assert.deepEqual(
      exposed.map(({ field, arrived, carriages }) => [field, arrived, carriages]),
      byTrace.map(({ field, arrived, carriages }) => [field, arrived, carriages]),
    );
    assert.equal(exposed.length, 15);
  });

  // The line graphs of the same test file: contacts 1-2, 2-3, 3-4, directed.
  const line = (...onsets: number[]): SoilTimeline =>
    new WrittenCarriers(
      onsets.flatMap((onset, i) => [
        { field: `v${i + 1}`, carrier: `c${i}`, arrived: onset - 1, left: onset, visit: 2 * i },
        { field: `v${i + 2}`, carrier: `c${i}`, arrived: onset, left: onset + 1, visit: 2 * i + 1 },
      ]),
    ).timeline;

  it("agrees with the published line graphs", () => {
    const arrivals = (timeline: SoilTimeline, field: string, from: number): [string, number][] =>
      soilFrom(timeline, { field }, from).map((each) => [each.field, each.arrived]);
    // tPath(line, v = 1)$tdist is 0, 0, 1, 2, and from vertex 2 it is Inf, 0, 1, 2.
    assert.deepEqual(arrivals(line(0, 1, 2), "v1", 0), [
      ["v2", 0],
      ["v3", 1],
      ["v4", 2],
    ]);
    assert.deepEqual(arrivals(line(0, 1, 2), "v2", 0), [
      ["v3", 1],
      ["v4", 2],
    ]);
    // With onsets 2, 1, 3 and a start at 1: 0, 1, Inf, Inf.
    assert.deepEqual(arrivals(line(2, 1, 3), "v1", 1), [["v2", 2]]);
    // Not in the test file, by hand: backward to vertex 4 on the ordered line every earlier vertex counts; on the disordered one only those in time.
    assert.deepEqual(
      soilTo(line(0, 1, 2), { field: "v4" }).map((each) => [each.field, each.left]),
      [
        ["v1", 0],
        ["v2", 1],
        ["v3", 2],
      ],
    );
    assert.deepEqual(
      soilTo(line(2, 1, 3), { field: "v4" }).map((each) => [each.field, each.left]),
      [
        ["v2", 1],
        ["v3", 3],
      ],
    );
  });
});
