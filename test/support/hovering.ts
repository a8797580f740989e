import { strict as assert } from "node:assert";
import { hover } from "../../server/src/features/hover.ts";
import { atCursor } from "./feature.ts";

/** What a hover shows. */
export interface Shown {
  readonly markdown: string;
  /** The text it speaks of. */
  readonly over: string;
}

export function hoverAt(source: string): Shown | undefined {
  const { context, offset } = atCursor(source);
  const found = hover(context, offset);
  return found && { markdown: found.markdown, over: context.file.text.slice(found.span.start, found.span.end) };
}

/** The first paragraph. */
export function firstPart(shown: Shown | undefined): string | undefined {
  return shown?.markdown.split("\n\n")[0];
}

export function shows(shown: Shown | undefined, ...parts: string[]): void {
  for (const part of parts)
    assert.ok(shown?.markdown.includes(part), `"${part}" is not in:\n${shown?.markdown ?? "(nothing)"}`);
}

export const HOVER_BOOK = `
#- book.fields.yaml
fields:
  - id: long-meadow
    name: Long Meadow
    grower: alder-bench
    area_ha: 62.4
    soil: { ph: 6.4, texture: clay loam }
    entrances: [{ id: north-gate, position: [-104.612, 50.447], usual: true }]
#- book.equipment.yaml
equipment: [{ id: seeder-1, name: Big seeder, kind: seeder, owner: alder-bench }]
#- book.rotations.yaml
rotations:
  - field: long-meadow
    crops: [{ year: 2023, crop: canola }, { year: 2026, crop: canola, variety: demo 41 R, resistance: { rating: R }, seeded: 2026-05-15 }]
#- book.visits.yaml
visits:
  - id: v0
    field: long-meadow
    arrived: 2026-08-14T09:40
    left: 2026-08-14T11:05
    purpose: scouting
    crew: [mo]
    footwear: disinfected
    patches: [{ id: p1, symptom: ripening early, area_m2: 60 }]
    digs: [{ id: d1, place: patch, patch: p1, plants: 20, ratings: [18, 1, 1, 0] }]
#- book.cleanings.yaml
cleanings: [{ id: c0, at: 2026-08-14T12:00, equipment: [seeder-1], by: mo, steps: [{ step: remove soil }] }]
#- book.samples.yaml
samples: [{ id: s0, field: long-meadow, visit: v0, dig: d1, material: roots, lab: plains-lab, taken: 2026-08-14, sent: 2026-08-15 }]
`;
export const AS_OF = "#! as-of: 2026-08-20\n";

/** A visit of the book with one line put in. */
export const visit = (line: string): string =>
  `${AS_OF}#- a.visits.yaml\nvisits:\n  - id: v1\n    field: long-meadow\n    arrived: 2026-08-16T09:40\n    purpose: scouting\n${line}${HOVER_BOOK}`;
export const cleaning = (step: string): string =>
  `#- a.cleanings.yaml\ncleanings:\n  - id: c1\n    steps:\n      - { step: remove soil }\n      - { ${step} }\n`;
