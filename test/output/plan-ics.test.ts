import { strict as assert } from "node:assert";
import ICAL from "ical.js";
import { formatMinute, parseDay } from "../../server/src/base/days.ts";
import { openBook } from "../../server/src/book/open-book.ts";
import { planIcs } from "../../server/src/output/plan-ics.ts";
import { seasonPlan, type SeasonPlan } from "../../server/src/planning/season-plan.ts";
import type { Book } from "../../server/src/book/book.ts";

const HOSTILE = "Oak; BEGIN:VEVENT\\nX, \u202Eäö 🌱 ".repeat(4);

function planned(timezone: string | undefined, from: string, place = "17.6, 59.8"): { plan: SeasonPlan; book: Book } {
  const files: Record<string, string> = {
    "season.yaml": `season: 2026\nregion: base\n${timezone ? `timezone: ${timezone}\n` : ""}crew: [{ id: mo, name: "M. Okafor\\r\\nEND:VEVENT" }]\n`,
    "a.fields.yaml": `fields:\n  - { id: oak, name: ${JSON.stringify(HOSTILE)}, area_ha: 20, entrances: [{ id: gate, position: [${place}] }] }\n  - { id: elm, name: Elm, area_ha: 20 }\n`,
    "a.rotations.yaml": `rotations:\n${["oak", "elm"].map((id) => `  - { field: ${id}, crops: [{ year: 2026, crop: canola, seeded: 2026-05-01, swathed: ${from} }] }\n`).join("")}`,
  };
  const asOf = parseDay(from)!;
  const sources = Object.entries(files).map(([path, text]) => ({ path, text }));
  const { book } = openBook(sources, { asOf, today: asOf, allSeasons: false });
  const plan = seasonPlan(book, { from: asOf, days: 4, crew: ["mo"] });
  assert.ok(!("why" in plan));
  return { plan, book };
}

/** What a reader of its own makes of a calendar. */
function readBack(text: string): { events: ICAL.Event[]; zones: ICAL.Component[] } {
  const calendar = new ICAL.Component(ICAL.parse(text) as unknown[]);
  const zones = calendar.getAllSubcomponents("vtimezone");
  ICAL.TimezoneService.reset();
  for (const zone of zones) ICAL.TimezoneService.register(zone);
  return { events: calendar.getAllSubcomponents("vevent").map((one) => new ICAL.Event(one)), zones };
}

describe("the plan as a calendar", () => {
  it("is read back by another reader, each walk at its time in the book's zone, over a change of the clocks", () => {
    // Clocks in Sweden go back on 25 October 2026.
    for (const [zone, from, ahead, place] of [
      ["Europe/Stockholm", "2026-10-23", [120, 120, 60, 60], "17.6, 59.8"],
      ["America/Regina", "2026-08-20", [-360, -360, -360, -360], "-104.4, 51.9"],
      ["America/Edmonton", "2026-03-06", [-420, -420, -360, -360], "-113.5, 53.5"],
    ] as const) {
      const one = planned(zone, from, place);
      // As if a walk were on each of the days.
      const [day] = one.plan.days;
      const days = [0, 1, 2, 3].map((later) => {
        const shift = later * 1440;
        const fields = day!.fields.map((field) => ({
          ...field,
          arrived: field.arrived + shift,
          left: field.left + shift,
        }));
        return { ...day!, day: day!.day + later, fields };
      });
      const { events, zones } = readBack(planIcs([{ ...one, plan: { ...one.plan, days } }]));
      assert.equal(zones.length, 1);
      const walks = days.flatMap((walked, i) => walked.fields.map((field) => ({ field, ahead: ahead[i]! })));
      assert.equal(events.length, walks.length);
      events.forEach((event, i) => {
        const { field } = walks[i]!;
        assert.equal(event.startDate.toString(), `${formatMinute(field.arrived)}:00`);
        assert.equal(event.startDate.zone?.tzid, zone);
        assert.equal(event.startDate.toUnixTime(), (field.arrived - walks[i]!.ahead) * 60);
        assert.equal(event.endDate.toUnixTime() - event.startDate.toUnixTime(), (field.left - field.arrived) * 60);
      });
      assert.equal(new Set(events.map(({ uid }) => uid)).size, events.length);
    }
  });

  it("floats where the book names no zone", () => {
    const { events, zones } = readBack(planIcs([planned(undefined, "2026-08-20")]));
    assert.equal(zones.length, 0);
    assert.ok(events.length > 0);
    for (const { startDate } of events) assert.equal(startDate.zone?.tzid, "floating");
  });

  it("keeps lines to 75 bytes, and a hostile name to its own event", () => {
    const text = planIcs([planned("Europe/Stockholm", "2026-10-23")]);
    for (const line of text.split("\r\n")) assert.ok(Buffer.byteLength(line) <= 75, line);
    assert.ok(!/[^\r]\n/.test(text));
    const { events } = readBack(text);
    assert.equal(events.length, 2);
    const oak = events.find(({ summary }) => summary.includes("Oak"))!;
    assert.ok(oak.summary.includes(HOSTILE.trim().slice(0, 30)));
    assert.ok(oak.summary.includes("🌱"));
  });
});
