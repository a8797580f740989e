import { formatDay, parseDay } from "../../server/src/base/days.ts";
import type { Book } from "../../server/src/book/book.ts";
import { openBook } from "../../server/src/book/open-book.ts";
import { random } from "../../server/src/planning/pseudo-random.ts";

export const FROM = parseDay("2026-08-16")!;

/** So many fields over 60 km, most of them with their windows open at once. */
export function largeBook(fields: number): Book {
  const next = random(11);
  const ids = Array.from({ length: fields }, (_, i) => `f${i}`);
  const files = {
    "season.yaml": `season: 2026\nregion: ca-prairies\ntimezone: America/Regina\ncrew: [${["a", "b", "c", "d", "e"].map((id) => `{ id: ${id} }`).join(", ")}]\n`,
    "a.fields.yaml": `fields:\n${ids
      .map((id) => {
        const found = next(10) === 0 ? ", clubroot: { found_on: 2023-08-01 }" : "";
        return `  - { id: ${id}, area_ha: ${20 + next(45)}, entrances: [{ id: gate, position: [${-104.4 + next(900) / 1000}, ${51.5 + next(500) / 1000}] }]${found} }\n`;
      })
      .join("")}`,
    "a.rotations.yaml": `rotations:\n${ids
      .map(
        (id) =>
          `  - { field: ${id}, crops: [{ year: 2026, crop: canola, seeded: ${formatDay(FROM - 105 + next(18) - 2)} }] }\n`,
      )
      .join("")}`,
  };
  const sources = Object.entries(files).map(([path, text]) => ({ path, text }));
  return openBook(sources, { asOf: FROM, today: FROM, allSeasons: false }).book;
}
