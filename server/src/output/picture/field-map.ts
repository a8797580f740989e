import { element, type Markup } from "../markup.ts";
import { digMark, entranceMark, patchMark, scaleAndNorth, stopMarks } from "./ground-marks.ts";
import { legend, type LegendEntry } from "./legend.ts";
import type { MapDig, MapField, MapPatch, MapStop, PictureOptions } from "./map-facts.ts";
import { picture } from "./picture.ts";
import { fieldShape, groundLegend, groundSheet, planFor } from "./season-map.ts";
import { statusPatterns } from "./status-looks.ts";

/** One field, large, with what was found in it and where to stop. */
export interface FieldMapFacts {
  readonly title: string;
  readonly description: string;
  readonly field: MapField;
  readonly digs: readonly MapDig[];
  readonly patches: readonly MapPatch[];
  /** In the order in which they are walked; may be none. */
  readonly stops: readonly MapStop[];
}

/** The map of a field for the one who walks it. Undefined where the field has neither an outline nor a place. */
export function fieldMap(facts: FieldMapFacts, options: PictureOptions): Markup | undefined {
  const { field, digs, patches, stops } = facts;
  const places = [
    ...(field.outline ?? []).flatMap((polygon) => polygon[0] ?? []),
    ...[...field.entrances, ...digs, ...patches, ...stops].map(({ position }) => position),
  ];
  const plan = planFor(places, options.width, 34);
  if (!plan) return undefined;
  const { frame, ground } = plan;
  const entries: LegendEntry[] = [
    ...groundLegend({ fields: [field], digs, patches }),
    ...(stops.length > 0 ? [{ words: "stop, in the order of the walk", sign: stopSign }] : []),
  ];
  const below = legend(entries, { x: frame.x, y: frame.y + frame.height + 10, width: frame.width });
  return picture(
    options,
    frame.y + frame.height + 10 + below.height,
    { ...facts, kind: "field-map" },
    element("defs", {}, statusPatterns([field.status], options.prefix)),
    groundSheet(frame),
    fieldShape(field, ground, options),
    patches.map((patch) => patchMark(patch, ground, options)),
    digs.map((dig) => digMark(dig, ground, options)),
    stopMarks(stops, ground, options),
    field.entrances.map((entrance) => entranceMark(entrance, ground, options)),
    entranceNames(facts, ground),
    scaleAndNorth(ground, frame),
    below.markup,
  );
}

function stopSign(x: number, y: number): Markup {
  return element(
    "g",
    {},
    element("circle", { class: "stop", cx: x, cy: y, r: 9 }),
    element("text", { class: "stop-number", x, y: y + 4, "text-anchor": "middle" }, "1"),
  );
}

function entranceNames({ field }: FieldMapFacts, plan: NonNullable<ReturnType<typeof planFor>>["ground"]): Markup {
  return element(
    "g",
    { class: "names", "aria-hidden": "true", "text-anchor": "middle" },
    field.entrances.map(({ position, label }) => {
      const { x, y } = plan.project(position);
      return element("text", { class: "small halo", x, y: y - 9 }, label);
    }),
  );
}
