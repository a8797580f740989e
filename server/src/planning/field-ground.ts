import type { Outline } from "../book/outlines.ts";
import { greatCircleMetres } from "../base/great-circle.ts";
import type { LonLat } from "../schema/facts.ts";

/** A place on a field in metres east and north of a corner of it: flat, as a field is. */
type Flat = readonly [number, number];

/** A field's outline as flat ground. */
export interface FieldGround {
  readonly rings: readonly (readonly Flat[])[];
  readonly toFlat: (place: LonLat) => Flat;
  readonly toPlace: (flat: Flat) => LonLat;
  readonly width: number;
  readonly height: number;
}

/** Undefined where an outline has no extent. */
export function fieldGround(outline: Outline): FieldGround | undefined {
  const places = outline.flat(2);
  if (places.length === 0) return undefined;
  const longitudes = places.map(([longitude]) => longitude);
  const latitudes = places.map(([, latitude]) => latitude);
  const [west, east] = [least(longitudes), -least(longitudes.map((one) => -one))];
  const [south, north] = [least(latitudes), -least(latitudes.map((one) => -one))];
  const width = greatCircleMetres([west, south], [east, south]);
  const height = greatCircleMetres([west, south], [west, north]);
  if (!(width > 0 && height > 0)) return undefined;
  const [perEast, perNorth] = [width / (east - west), height / (north - south)];
  const toFlat = ([longitude, latitude]: LonLat): Flat => [(longitude - west) * perEast, (latitude - south) * perNorth];
  const toPlace = ([x, y]: Flat): LonLat => [west + x / perEast, south + y / perNorth];
  const rings = outline.flat().map((ring) => ring.map(toFlat));
  return { rings, toFlat, toPlace, width, height };
}

function least(numbers: readonly number[]): number {
  return numbers.reduce((a, b) => Math.min(a, b), Infinity);
}

/** By the even-odd rule, holes left out. */
function isOnGround({ rings }: FieldGround, [x, y]: Flat): boolean {
  let inside = false;
  for (const ring of rings) {
    for (let i = 0; i + 1 < ring.length; i++) {
      const [[x1, y1], [x2, y2]] = [ring[i]!, ring[i + 1]!];
      if (y1 > y !== y2 > y && x < x1 + ((y - y1) / (y2 - y1)) * (x2 - x1)) inside = !inside;
    }
  }
  return inside;
}

/** Where along each stroke of a W its corners stand: over the width, then over the depth, as shares. */
const W_CORNERS: readonly Flat[] = [
  [0.1, 0.12],
  [0.3, 0.88],
  [0.5, 0.12],
  [0.7, 0.88],
  [0.9, 0.12],
];

/**
 * Stops evenly along a W over the field, as surveys walk it: its open corners at the side of the entrance, its beginning at the
 * end nearer to it. A stop that would lie outside, or in a slough, moves towards the middle of the field.
 */
export function stopsOnW(ground: FieldGround, entrance: LonLat | undefined, count: number): LonLat[] {
  const { width, height } = ground;
  const from = entrance ? ground.toFlat(entrance) : ([0, 0] as const);
  const [x, y] = [from[0] / width, from[1] / height];
  // The side of the field that the entrance lies nearest to; the W's depth goes away from it.
  const isAlongX = Math.min(Math.abs(y), Math.abs(1 - y)) <= Math.min(Math.abs(x), Math.abs(1 - x));
  const [along, across] = isAlongX ? [x, y] : [y, x];
  const corners = W_CORNERS.map(([share, depth]): Flat => {
    const a = along > 0.5 ? 1 - share : share;
    const d = across > 0.5 ? 1 - depth : depth;
    return isAlongX ? [a * width, d * height] : [d * width, a * height];
  });
  const middle = middleOf(ground);
  return evenlyAlong(corners, count).map((stop) => ground.toPlace(movedInside(ground, stop, middle)));
}

/** So many places on a line of strokes, each in the middle of its share of the way. */
function evenlyAlong(corners: readonly Flat[], count: number): Flat[] {
  const lengths = corners.slice(1).map((corner, i) => metresBetween(corners[i]!, corner));
  const whole = lengths.reduce((sum, one) => sum + one, 0);
  return Array.from({ length: count }, (_, i) => {
    let left = ((i + 0.5) / count) * whole;
    let stroke = 0;
    while (stroke < lengths.length - 1 && left > lengths[stroke]!) left -= lengths[stroke++]!;
    const [[x1, y1], [x2, y2]] = [corners[stroke]!, corners[stroke + 1]!];
    const share = left / lengths[stroke]!;
    return [x1 + share * (x2 - x1), y1 + share * (y2 - y1)];
  });
}

function metresBetween([x1, y1]: Flat, [x2, y2]: Flat): number {
  return Math.hypot(x2 - x1, y2 - y1);
}

const GRID = 15;

/** A place inside the field: of a grid, the one nearest to the middle of the box around it. */
function middleOf(ground: FieldGround): Flat {
  const { width, height } = ground;
  const centre: Flat = [width / 2, height / 2];
  let best: Flat | undefined;
  for (let i = 0; i < GRID * GRID; i++) {
    const at: Flat = [(((i % GRID) + 0.5) / GRID) * width, ((Math.floor(i / GRID) + 0.5) / GRID) * height];
    const isNearer = !best || metresBetween(at, centre) < metresBetween(best, centre);
    if (isNearer && isOnGround(ground, at)) best = at;
  }
  return best ?? centre;
}

const STEPS_INWARD = 20;

function movedInside(ground: FieldGround, [x, y]: Flat, [toX, toY]: Flat): Flat {
  for (let step = 0; step < STEPS_INWARD; step++) {
    const share = step / STEPS_INWARD;
    const at: Flat = [x + share * (toX - x), y + share * (toY - y)];
    if (isOnGround(ground, at)) return at;
  }
  return [toX, toY];
}
