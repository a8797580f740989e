import { strict as assert } from "node:assert";
import fc from "fast-check";
import type { Book } from "../../server/src/book/book.ts";
import {
  incomingCalls,
  outgoingCalls,
  prepareCallHierarchy,
  soilItemData,
  type SoilCall,
  type SoilItem,
  type SoilItemData,
} from "../../server/src/features/call-hierarchy.ts";
import { soilFrom, soilTo } from "../../server/src/soil/soil-trace.ts";
import { makeBook } from "../bench/make-book.mjs";
import { openFixture } from "../support/check.ts";
import { atCursor } from "../support/feature.ts";

// Soil of Long Meadow to Mill Flat on the dig-kit (half cleaned), from there to East Rise on boots; the seeder was cleaned in full.
const BOOK = `#- a.visits.yaml
visits:
  - id: v1
    field: long-meadow
    arrived: 2026-05-01T08:00
    left: 2026-05-01T09:00
    equipment: [dig-kit, seeder-1]
  - id: v2
    field: mill-flat
    arrived: 2026-05-04T08:00
    left: 2026-05-04T09:00
    crew: [mo]
    footwear: unprotected
    equipment: [dig-kit, seeder-1]
#- b.visits.yaml
visits:
  - id: v0
    field: east-rise
    arrived: 2026-04-20T08:00
    crew: [mo]
    footwear: unprotected
  - id: v3
    field: east-rise
    arrived: 2026-05-04T10:00
    left: 2026-05-04T11:00
    crew: [mo]
    footwear: unprotected
#- a.cleanings.yaml
cleanings:
  - id: c1
    at: 2026-05-02T08:00
    equipment: [dig-kit]
    steps: [{ step: remove soil }]
  - id: c2
    at: 2026-05-03T08:00
    equipment: [seeder-1]
    steps:
      - { step: remove soil }
      - { step: wash, with: water }
      - { step: disinfect, product: bleach, strength_percent: 2, contact_minutes: 30 }
`;

function at(before: string, source = BOOK): { book: Book; item: SoilItem | undefined } {
  assert.ok(source.includes(before), before);
  const { context, offset } = atCursor(source.replace(before, `$0${before}`));
  return { book: context.book, item: prepareCallHierarchy(context, offset) };
}

function textOf(book: Book, path: string, span: { start: number; end: number }): string {
  return book.files.find((file) => file.path === path)!.text.slice(span.start, span.end);
}

function shown(book: Book, calls: readonly SoilCall[]): string[] {
  return calls.map(({ item, places }) => {
    const visits = places.map(({ path, span }) => textOf(book, path, span)).join(" > ");
    return `${item.name} (${item.detail}) at ${textOf(book, item.path, item.selection)} via ${visits}`;
  });
}

describe("call hierarchy of soil", () => {
  it("begins at a field, a machine, or a person's boots", () => {
    const shownItem = (before: string): string => {
      const { book, item } = at(before);
      return item ? `${item.kind} ${item.name} ‹${textOf(book, item.path, item.selection)}› in ${item.path}` : "none";
    };
    assert.equal(shownItem("long-meadow\n"), "field Long Meadow ‹long-meadow› in basics.fields.yaml");
    assert.equal(shownItem("dig-kit, seeder"), "equipment dig-kit ‹dig-kit› in basics.equipment.yaml");
    assert.equal(shownItem("mo]"), "boots the boots of mo ‹mo› in season.yaml");
    assert.equal(shownItem("2026-05-01T08:00"), "none");
    const fields = `${BOOK}#- my.fields.yaml\nfields:\n  - id: long-meadow\n    name: Long Meadow\n    area_ha: 60\n`;
    assert.equal(at("60\n", fields).item?.data.id, "long-meadow");
    const unknown = at("mil-flat", BOOK.replace("field: mill-flat", "field: mil-flat"));
    assert.equal(unknown.item?.path, "a.visits.yaml");
  });

  it("goes out one carriage at a time, in the order of time", () => {
    const { book, item } = at("long-meadow\n");
    const first = outgoingCalls(book, item!.data, item!.path);
    assert.deepEqual(shown(book, first), [
      "Mill Flat (dig-kit · left 1 May, arrived 4 May · about 10 % of the soil left) at 2026-05-04T08:00 via 2026-05-01T09:00 > steps > 2026-05-04T08:00",
    ]);
    assert.deepEqual(first[0]!.spans, [], "the field's own file holds none of the visits");
    const { item: mill } = first[0]!;
    assert.equal(mill.path, "a.visits.yaml");
    const second = outgoingCalls(book, mill.data, mill.path);
    assert.deepEqual(shown(book, second), [
      "East Rise (the boots of mo · 4 May · all of the soil left, about 10 % over the whole way) at 2026-05-04T10:00 via 2026-05-04T09:00 > 2026-05-04T10:00",
    ]);
    assert.deepEqual(
      second[0]!.spans.map((span) => textOf(book, mill.path, span)),
      ["2026-05-04T09:00"],
    );
    assert.deepEqual(outgoingCalls(book, second[0]!.item.data, "b.visits.yaml"), []);
  });

  it("comes in the same way back, and not by what came too late", () => {
    const { book, item } = at("east-rise\n");
    const first = incomingCalls(book, item!.data);
    assert.deepEqual(shown(book, first), [
      "Mill Flat (the boots of mo · 4 May · all of the soil left) at 2026-05-04T09:00 via 2026-05-04T09:00 > 2026-05-04T10:00",
    ]);
    assert.deepEqual(
      first[0]!.spans.map((span) => textOf(book, "a.visits.yaml", span)),
      ["2026-05-04T09:00"],
    );
    const second = incomingCalls(book, first[0]!.item.data);
    assert.deepEqual(
      second.map(({ item: { name } }) => name),
      ["Long Meadow", "East Rise"],
    );
    assert.deepEqual(incomingCalls(book, second[1]!.item.data), [], "nothing had come to East Rise by April");
  });

  it("of a carrier: where it was with soil of another field, and what it has on board", () => {
    const { book, item } = at("dig-kit, seeder");
    assert.deepEqual(shown(book, outgoingCalls(book, item!.data, item!.path)), [
      "Mill Flat (with soil of Long Meadow · left 1 May, arrived 4 May · about 10 % of the soil left) at 2026-05-04T08:00 via 2026-05-01T09:00 > steps > 2026-05-04T08:00",
    ]);
    assert.deepEqual(shown(book, incomingCalls(book, item!.data)), [
      "Mill Flat (dig-kit · left 4 May · all of the soil still on board) at 2026-05-04T09:00 via 2026-05-04T09:00",
      "Long Meadow (dig-kit · left 1 May · about 10 % of the soil still on board) at 2026-05-01T09:00 via 2026-05-01T09:00 > steps",
    ]);
    const seeder = at("seeder-1]");
    assert.deepEqual(outgoingCalls(seeder.book, seeder.item!.data, seeder.item!.path), []);
    assert.deepEqual(
      incomingCalls(seeder.book, seeder.item!.data).map((call) => call.item.name),
      ["Mill Flat"],
    );
    const later = BOOK.replace("at: 2026-05-02T08:00", "at: 2026-05-06T08:00").replace(
      "[dig-kit]\n    steps: [{ step: remove soil }]",
      "[dig-kit]\n    steps: [{ step: remove soil }, { step: wash }, { step: disinfect, product: bleach, strength_percent: 2, contact_minutes: 30 }]",
    );
    const cleaned = at("dig-kit, seeder", later);
    assert.deepEqual(shown(cleaned.book, incomingCalls(cleaned.book, cleaned.item!.data)), [
      "Long Meadow (to Mill Flat · left 1 May, arrived 4 May · all of the soil left) at 2026-05-01T09:00 via 2026-05-01T09:00 > 2026-05-04T08:00",
    ]);
  });

  it("tells which fields are confirmed", () => {
    const fields = `${BOOK}#- my.fields.yaml\nfields:\n  - { id: long-meadow, clubroot: { found_on: 2025-09-02 } }\n  - { id: mill-flat }\n`;
    const { book, item } = at("mill-flat\n", fields);
    assert.match(incomingCalls(book, item!.data)[0]!.item.detail, /· confirmed 2 Sep 2025$/);
  });

  it("takes back only what it has given", () => {
    const data: SoilItemData = { place: "field", id: "a", since: 5, soilLeft: 0.1 };
    assert.deepEqual(soilItemData(JSON.parse(JSON.stringify(data))), data);
    assert.deepEqual(soilItemData({ ...data, since: "x", upTo: null, more: 1 }), {
      place: "field",
      id: "a",
      soilLeft: 0.1,
    });
    for (const wrong of [null, 1, "field", [], {}, { place: "barn", id: "a" }, { place: "field", id: 3 }])
      assert.equal(soilItemData(wrong), undefined);
    const { book } = at("long-meadow\n");
    for (const id of ["nowhere", "__proto__", "boots/"]) {
      for (const place of ["field", "carrier"] as const) {
        assert.deepEqual(outgoingCalls(book, { place, id }, ""), []);
        assert.deepEqual(incomingCalls(book, { place, id }), []);
      }
    }
  });
});

/** Every field that walking step by step leads to; of two ways to one field, the one that allows more is walked on. */
function walked(
  start: SoilItemData,
  step: (data: SoilItemData) => SoilCall[],
  isBetter: (a: SoilItemData, b: SoilItemData) => boolean,
): string[] {
  const best = new Map<string, SoilItemData>();
  const open = [start];
  for (let data = open.pop(); data; data = open.pop()) {
    for (const { item } of step(data)) {
      const known = best.get(item.data.id);
      if (known && !isBetter(item.data, known)) continue;
      best.set(item.data.id, item.data);
      open.push(item.data);
    }
  }
  best.delete(start.id);
  return [...best.keys()].sort();
}

describe("walking the call hierarchy to its end", () => {
  it("reaches the fields that following the soil reaches, out and back, from fields and carriers", () => {
    for (const seed of [1, 2, 3]) {
      const files = makeBook({ fields: 12, years: 2, visits: 3, cleaned: 0.7, seed });
      const day = "2026-10-31";
      const { book } = openFixture({ files, asOf: day, today: day, allSeasons: false, marks: [], cursor: undefined });
      const { timeline } = book.soil();
      let steps = 0;
      fc.assert(
        fc.property(fc.constantFrom(...timeline.fieldIds), (id) => {
          const out = walked(
            { place: "field", id },
            (data) => outgoingCalls(book, data, ""),
            (a, b) => a.since! < b.since!,
          );
          assert.deepEqual(
            out,
            soilFrom(timeline, { field: id })
              .map(({ field }) => field)
              .sort(),
          );
          const back = walked(
            { place: "field", id },
            (data) => incomingCalls(book, data),
            (a, b) => a.upTo! > b.upTo!,
          );
          assert.deepEqual(
            back,
            soilTo(timeline, { field: id })
              .map(({ field }) => field)
              .sort(),
          );
          steps += out.length + back.length;
        }),
        { numRuns: 12 },
      );
      assert.ok(steps > 0);
      for (const id of timeline.carrierIds) {
        const { stays } = book.carrierHistory(id);
        const onto = outgoingCalls(book, { place: "carrier", id }, "").map(({ item }) => item.data);
        // By the words of the format: it left another field before, with no full clean-down from then on.
        const expected = stays.filter((to) =>
          stays.some(
            (from) =>
              from.field !== to.field && from.left <= to.arrived && !hasFullCleanDown(book, id, from.left, to.arrived),
          ),
        );
        assert.deepEqual(onto.map((data) => data.id).sort(), [...new Set(expected.map(({ field }) => field))].sort());
        for (const data of onto)
          assert.equal(
            data.since,
            Math.min(...expected.filter(({ field }) => field === data.id).map(({ arrived }) => arrived)),
          );
      }
    }
  });
});

function hasFullCleanDown(book: Book, carrier: string, from: number, to: number): boolean {
  return book.carrierHistory(carrier).cleanings.some(({ at, result }) => result.full && from <= at && at <= to);
}
