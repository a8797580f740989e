import { RISK_STATUSES, type RiskStatus } from "../../book/field-status.ts";
import type { LonLat } from "../../schema/facts.ts";
import { element, type Markup } from "../markup.ts";
import { digClass, digMark, digRadius, entranceMark, outlinePath, patchMark, scaleAndNorth } from "./ground-marks.ts";
import { legend, type LegendEntry } from "./legend.ts";
import type { MapFacts, MapField, PictureOptions } from "./map-facts.ts";
import { labelPlace } from "./measures.ts";
import { arrowHead, moveArrows, moveNumbers } from "./move-arrows.ts";
import { mark, picture, textWidth } from "./picture.ts";
import { boundsOf, groundPlan, type Frame, type GroundPlan, type Point } from "./projection.ts";
import { STATUS_LOOKS, statusBadge, statusPatterns } from "./status-looks.ts";

const MARGIN = 12;
/** Between the outermost places and the edge of the map: names and arrows reach beyond them. */
const INNER = 58;

/**
 * The fields of a book with their status, entrances, digs, patches and the ways that soil may have taken. Undefined where no
 * field has a place.
 */
export function seasonMap(facts: MapFacts, options: PictureOptions): Markup | undefined {
  const places = placesOf(facts);
  const plan = planFor(places, options.width);
  if (!plan) return undefined;
  const { frame, ground } = plan;
  const statuses = RISK_STATUSES.filter((status) => facts.fields.some((field) => field.status === status));
  const below = legend(legendEntries(facts, statuses, options), {
    x: MARGIN,
    y: frame.y + frame.height + 10,
    width: frame.width,
  });
  return picture(
    options,
    frame.y + frame.height + 10 + below.height,
    { ...facts, kind: "season-map" },
    element("defs", {}, statusPatterns(statuses, options.prefix), arrowHead(options.prefix)),
    groundSheet(frame),
    facts.fields.map((field) => fieldShape(field, ground, options)),
    facts.patches.map((patch) => patchMark(patch, ground, options)),
    facts.fields.flatMap(({ entrances }) => entrances.map((entrance) => entranceMark(entrance, ground, options))),
    facts.digs.map((dig) => digMark(dig, ground, options)),
    moveArrows(facts.moves, ground, options),
    fieldLabels(facts, ground, frame),
    scaleAndNorth(ground, frame),
    below.markup,
  );
}

export function groundSheet({ x, y, width, height }: Frame): Markup {
  return element("rect", { class: "ground", x, y, width, height });
}

/** A frame of the drawing's width, as high as the places ask for. */
export function planFor(
  places: readonly LonLat[],
  width: number,
  inner = INNER,
): { readonly frame: Frame; readonly ground: GroundPlan } | undefined {
  const across = width - 2 * MARGIN;
  const square = groundPlan(places, { x: 0, y: 0, width: across - 2 * inner, height: across - 2 * inner });
  if (!square) return undefined;
  const wanted = square.bounds.height * ((across - 2 * inner) / Math.max(1, square.bounds.width));
  const height = Math.min(across * 0.95, Math.max(across * 0.4, wanted + 2 * inner));
  const frame: Frame = { x: MARGIN, y: MARGIN, width: across, height };
  const within: Frame = {
    x: frame.x + inner,
    y: frame.y + inner,
    width: across - 2 * inner,
    height: height - 2 * inner,
  };
  const ground = groundPlan(places, within);
  return ground && { frame, ground };
}

function placesOf(facts: MapFacts): LonLat[] {
  return [
    ...facts.fields.flatMap((field) => [
      ...(field.outline ?? []).flatMap((polygon) => polygon[0] ?? []),
      ...field.entrances.map(({ position }) => position),
    ]),
    ...facts.digs.map(({ position }) => position),
    ...facts.patches.map(({ position }) => position),
  ];
}

/** Where a field's name stands: within its outline, else at its entrance. */
export function fieldPlace(field: Pick<MapField, "outline" | "entrances">): LonLat | undefined {
  const usual = field.entrances.find((entrance) => entrance.usual) ?? field.entrances[0];
  return (field.outline && labelPlace(field.outline)) ?? usual?.position;
}

export function fieldShape(field: MapField, plan: GroundPlan, options: PictureOptions): Markup | undefined {
  const { outline, status } = field;
  const fill = `url(#${options.prefix}-${STATUS_LOOKS[status].key})`;
  if (outline) {
    const d = outlinePath(outline, plan);
    return mark(field, options, "field", element("path", { class: "outline", d, fill, "fill-rule": "evenodd" }));
  }
  const place = fieldPlace(field);
  if (!place) return undefined;
  const { x, y } = plan.project(place);
  return mark(field, options, "field", element("circle", { class: "no-outline", cx: x, cy: y, r: 22 }));
}

/** Names with their statuses, where there is room for them; every field keeps its badge, and a small one its name alone. */
function fieldLabels({ fields, moves }: MapFacts, plan: GroundPlan, frame: Frame): Markup {
  const taken: Frame[] = moveNumbers(moves, plan).map(({ x, y }) => ({ x: x - 9, y: y - 9, width: 18, height: 18 }));
  const labels = fields.flatMap((field) => {
    const place = fieldPlace(field);
    if (!place) return [];
    const middle = plan.project(place);
    const corners = (field.outline ?? []).flatMap((polygon) =>
      (polygon[0] ?? []).map((corner) => plan.project(corner)),
    );
    const isSmall = boundsOf(corners).width < textWidth(field.status, 12) + 12;
    const badge = statusBadge(field.status, { x: middle.x, y: middle.y - (isSmall ? 8 : 16) });
    taken.push({ x: middle.x - 11, y: middle.y - (isSmall ? 19 : 27), width: 22, height: 22 });
    return [{ field, middle, badge, isSmall }];
  });
  const words = labels.map(({ field, middle, isSmall }) => {
    // Where the status finds no room beside the name, the badge tells it.
    for (const short of isSmall ? [true] : [false, true]) {
      const box = labelBoxes(field, middle, short).find(
        (each) => isWithin(each, frame) && !taken.some((other) => overlap(each, other)),
      );
      if (!box) continue;
      taken.push(box);
      return label(field, box, short);
    }
    return undefined;
  });
  return element(
    "g",
    { class: "names", "aria-hidden": "true" },
    labels.map(({ badge }) => badge),
    words,
  );
}

/** The places where a field's name may stand, the best first. */
function labelBoxes(field: MapField, { x, y }: Point, isShort: boolean): Frame[] {
  const width =
    (isShort ? textWidth(field.name, 11) : Math.max(textWidth(field.name), textWidth(field.status, 12))) + 6;
  const height = isShort ? 15 : 32;
  const [below, above, beside] = isShort ? [y + 2, y - 36, y - 16] : [y - 4, y - 70, y - 34];
  const middles: readonly (readonly [number, number])[] = [
    [x, below],
    [x, above],
    [x + width / 2 + 16, beside],
    [x - width / 2 - 16, beside],
    [x - width / 3, above],
    [x + width / 3, above],
    [x - width / 3, below],
    [x + width / 3, below],
    [x, above - 14],
    [x, below + 14],
  ];
  return middles.map(([middle, top]) => ({ x: middle - width / 2, y: top, width, height }));
}

function label({ name, status }: MapField, { x, y, width }: Frame, isShort: boolean): Markup {
  const middle = x + width / 2;
  return element(
    "g",
    { "text-anchor": "middle" },
    element("text", { class: `strong halo${isShort ? " smaller" : ""}`, x: middle, y: y + 12 }, name),
    !isShort && element("text", { class: "small halo", x: middle, y: y + 27 }, status),
  );
}

function isWithin({ x, y, width, height }: Frame, frame: Frame): boolean {
  return x >= frame.x && x + width <= frame.x + frame.width && y >= frame.y && y + height <= frame.y + frame.height;
}

function overlap(a: Frame, b: Frame): boolean {
  return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
}

function legendEntries(facts: MapFacts, statuses: readonly RiskStatus[], { prefix }: PictureOptions): LegendEntry[] {
  const ofStatuses = statuses.map((status): LegendEntry => {
    const fill = `url(#${prefix}-${STATUS_LOOKS[status].key})`;
    return {
      words: status,
      sign: (x, y) =>
        element(
          "g",
          {},
          element("rect", { class: "outline", x: x - 20, y: y - 9, width: 40, height: 18, fill }),
          statusBadge(status, { x, y }),
        ),
    };
  });
  const moves: LegendEntry[] = [
    { words: "soil may have gone, nothing cleaned", sign: arrowSign(prefix, undefined, 3) },
    { words: "after a clean-down that fell short", sign: arrowSign(prefix, "8 4", 2.2) },
  ];
  return [...ofStatuses, ...groundLegend(facts), ...(facts.moves.length > 0 ? moves : [])];
}

function arrowSign(prefix: string, dash: string | undefined, width: number): LegendEntry["sign"] {
  return (x, y) =>
    element("path", {
      class: "move",
      d: `M${x - 19} ${y}H${x + 19}`,
      "stroke-width": width,
      "stroke-dasharray": dash,
      "marker-end": `url(#${prefix}-arrow)`,
    });
}

/** The signs that stand on the ground, of those that a map has. */
export function groundLegend({ fields, digs, patches }: Pick<MapFacts, "fields" | "digs" | "patches">): LegendEntry[] {
  const entries: LegendEntry[] = [];
  const entrances = fields.flatMap((field) => field.entrances);
  const square =
    (kind: string): LegendEntry["sign"] =>
    (x, y) =>
      element("rect", { class: kind, x: x - 4, y: y - 4, width: 8, height: 8 });
  if (entrances.some(({ usual }) => usual)) entries.push({ words: "usual entrance", sign: square("entrance") });
  if (entrances.some(({ usual }) => !usual)) entries.push({ words: "other entrance", sign: square("entrance other") });
  const circle =
    (dsi: number | undefined): LegendEntry["sign"] =>
    (x, y) =>
      element("circle", { class: digClass(dsi), cx: x, cy: y, r: digRadius(dsi) });
  if (digs.some(({ dsiPercent }) => dsiPercent === 0)) entries.push({ words: "dig without galls", sign: circle(0) });
  if (digs.some(({ dsiPercent }) => dsiPercent)) {
    entries.push({ words: "dig with galls, severity 5 %", sign: circle(5) });
    entries.push({ words: "dig with galls, severity 30 %", sign: circle(30) });
  }
  if (digs.some(({ dsiPercent }) => dsiPercent === undefined))
    entries.push({ words: "dig without ratings", sign: circle(undefined) });
  if (patches.length > 0)
    entries.push({ words: "patch", sign: (x, y) => element("circle", { class: "patch", cx: x, cy: y, r: 9 }) });
  if (fields.some(({ outline }) => !outline))
    entries.push({
      words: "field whose outline is not recorded",
      sign: (x, y) => element("circle", { class: "no-outline", cx: x, cy: y, r: 10 }),
    });
  return entries;
}
