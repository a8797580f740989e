import { element, short, type Markup } from "../markup.ts";
import type { MapMove, PictureOptions } from "./map-facts.ts";
import { at } from "./ground-marks.ts";
import { mark } from "./picture.ts";
import type { GroundPlan, Point } from "./projection.ts";

/** How far an arrow reaches that comes from a field which is not shown. Its direction says nothing. */
const OUT_OF_SIGHT = 46;

export function arrowHead(prefix: string): Markup {
  return element(
    "marker",
    {
      id: `${prefix}-arrow`,
      viewBox: "0 0 10 10",
      refX: 8,
      refY: 5,
      markerWidth: 13,
      markerHeight: 13,
      markerUnits: "userSpaceOnUse",
      orient: "auto",
    },
    element("path", { class: "arrow-head", d: "M0 0L10 5L0 10L2.5 5Z" }),
  );
}

/** The wider, the more soil was left: 0 to 1 to units. */
export function arrowWidth(soilLeft: number): number {
  return soilLeft >= 0.5 ? 4 : soilLeft >= 0.05 ? 3 : soilLeft >= 0.005 ? 2.2 : 1.6;
}

/** A bow from field to field with its number on it: whole where nothing was cleaned in between, broken where it fell short. */
export function moveArrows(moves: readonly MapMove[], plan: GroundPlan, options: PictureOptions): Markup[] {
  return bows(moves, plan).map(({ move, d, middle }) => {
    const width = arrowWidth(move.soilLeft);
    return mark(
      move,
      options,
      "move-mark",
      element("path", { class: "move-under", d, "stroke-width": width + 3 }),
      element("path", {
        class: "move",
        d,
        "stroke-width": width,
        "stroke-dasharray": move.soilLeft < 1 ? "8 4" : undefined,
        "marker-end": `url(#${options.prefix}-arrow)`,
      }),
      element("circle", { class: "number", cx: middle.x, cy: middle.y, r: 9 }),
      element(
        "text",
        { class: "small strong", x: middle.x, y: middle.y + 4, "text-anchor": "middle" },
        String(move.number),
      ),
    );
  });
}

/** Where the arrows have their numbers. */
export function moveNumbers(moves: readonly MapMove[], plan: GroundPlan): Point[] {
  return bows(moves, plan).map(({ middle }) => middle);
}

interface Bow {
  readonly d: string;
  readonly middle: Point;
}

function bows(moves: readonly MapMove[], plan: GroundPlan): (Bow & { readonly move: MapMove })[] {
  const between = new Map<string, number>();
  return moves.flatMap((move) => {
    const ends = endsOf(move, plan);
    if (!ends) return [];
    const [start, end] = ends;
    const pair = [at(start), at(end)].sort().join(" ");
    const nth = between.get(pair) ?? 0;
    between.set(pair, nth + 1);
    return [{ move, ...bow(start, end, nth) }];
  });
}

function endsOf({ start, end }: MapMove, { project }: GroundPlan): [Point, Point] | undefined {
  const [from, to] = [start && project(start), end && project(end)];
  if (from && to) return Math.hypot(to.x - from.x, to.y - from.y) < 1 ? undefined : [from, to];
  if (to) return [{ x: to.x - OUT_OF_SIGHT, y: to.y - OUT_OF_SIGHT }, to];
  if (from) return [from, { x: from.x + OUT_OF_SIGHT, y: from.y + OUT_OF_SIGHT }];
  return undefined;
}

/** @param nth of several between the same two places, so that they lie apart */
function bow(start: Point, end: Point, nth: number): Bow {
  const [dx, dy] = [end.x - start.x, end.y - start.y];
  const length = Math.hypot(dx, dy);
  const bend = Math.min(60, length * 0.18) * (1 + nth * 0.8) + (length < 60 ? 6 : 0);
  const control: Point = {
    x: (start.x + end.x) / 2 + (dy / length) * bend,
    y: (start.y + end.y) / 2 - (dx / length) * bend,
  };
  const middle: Point = {
    x: (start.x + 2 * control.x + end.x) / 4,
    y: (start.y + 2 * control.y + end.y) / 4,
  };
  return { d: `M${at(start)}Q${short(control.x)} ${short(control.y)} ${at(end)}`, middle };
}
