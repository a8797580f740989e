// In a season from autumn to harvest a field's crops say to which season a visit belongs: an edit of the rotation moves visits.
import { strict as assert } from "node:assert";
import { RULES } from "../../server/generated/rules.ts";
import { parseDay } from "../../server/src/base/days.ts";
import { openBook } from "../../server/src/book/open-book.ts";
import { runRules } from "../../server/src/rules/engine.ts";
import { LiveBook } from "../../server/src/rules/live-book.ts";
import { publish, type PublishedFinding } from "../../server/src/rules/publish.ts";

const TODAY = parseDay("2026-12-31")!;
const OPTIONS = { asOf: TODAY, today: TODAY, allSeasons: false };

const visits = ["2025-07-24", "2025-07-29", "2025-10-20", "2026-08-05", "2026-08-20", "2026-10-02"]
  .map(
    (day, i) =>
      `  - { id: v${i}, field: oak, arrived: ${day}T09:00, left: ${day}T10:00, purpose: harvest, ground: wet, equipment: [combine-1] }\n` +
      `  - { id: w${i}, field: elm, arrived: ${day}T11:00, purpose: other, footwear: unprotected, equipment: [combine-1] }\n`,
  )
  .join("");
const rotation = (first: string, second: string): string =>
  `rotations:\n  - field: oak\n    crops:\n      - { year: 2025, crop: oats }\n` +
  `      - { year: 2026, crop: winter oilseed rape${first} }\n      - { year: 2027, crop: oats${second} }\n`;

/** The rotation after each edit. */
const EDITS = [
  rotation("", ""),
  rotation(", seeded: 2025-07-28", ""),
  rotation(", seeded: 2025-08-28", ""),
  rotation(", seeded: 2025-08-28, swathed: 2026-07-30", ""),
  rotation(", seeded: 2025-08-28, swathed: 2026-07-30", ", seeded: 2026-08-10"),
  rotation("", ", seeded: 2026-08-10"),
  "rotations: []\n",
  rotation(", seeded: 2025-07-28", ", seeded: 2026-08-10"),
];

describe("a book of a season from autumn to harvest that is being edited", () => {
  for (const season of [2025, 2026, 2027]) {
    it(`has the findings of a fresh check after every edit of the rotation (season ${season})`, () => {
      const files = new Map([
        ["season.yaml", `season: ${season}\nregion: gb\n`],
        ["a.fields.yaml", "fields: [{ id: oak, name: Oak }, { id: elm, name: Elm }]\n"],
        ["a.equipment.yaml", "equipment: [{ id: combine-1, kind: combine }]\n"],
        ["a.visits.yaml", `visits:\n${visits}`],
        // Whether an accept comment is of no use is asked only of the season in sight; here it is, as nothing else in its file.
        [
          "b.visits.yaml",
          ["2025-07-29", "2026-08-05", "2026-08-20"]
            .map(
              (day, i) =>
                `  # accept entry/wet-ground: gravel yard\n  - { id: x${i}, field: oak, arrived: ${day}T14:00, left: ${day}T14:30, purpose: other, ground: dry, footwear: fresh covers }\n`,
            )
            .reduce((text, each) => text + each, "visits:\n"),
        ],
        ["a.rotations.yaml", "rotations: []\n"],
      ]);
      const sources = (): { path: string; text: string }[] => [...files].map(([path, text]) => ({ path, text }));
      const live = new LiveBook(sources(), OPTIONS, RULES);
      const counts = new Set<number>();
      for (const text of EDITS) {
        files.set("a.rotations.yaml", text);
        live.update(new Map([["a.rotations.yaml", { path: "a.rotations.yaml", text }]]));
        const opened = openBook(sources(), OPTIONS);
        const expected = publish(opened, runRules(opened.book, RULES), RULES);
        const found: PublishedFinding[] = [...live.allFindings()].flatMap(([, findings]) => findings);
        assert.deepEqual(found, expected, text);
        counts.add(expected.filter(({ code }) => code === "entry/wet-ground").length);
      }
      assert.ok(counts.size > 1, "no edit moves a visit into another season");
    });
  }
});
