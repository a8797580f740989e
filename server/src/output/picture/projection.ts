import { geoMercator } from "d3-geo";
import { EARTH_RADIUS_M } from "../../base/great-circle.ts";
import type { LonLat } from "../../schema/facts.ts";

export interface Point {
  readonly x: number;
  readonly y: number;
}

/** A rectangle of a drawing, in its own units. */
export interface Frame {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Places on the ground as points of a drawing: north is up, and a length is the same in every direction. */
export interface GroundPlan {
  project(place: LonLat): Point;
  /** At the middle of the drawing. */
  readonly metresPerUnit: number;
  /** What the places take up, in the drawing's units. */
  readonly bounds: Frame;
}

/** Mercator's projection has no poles. */
const FARTHEST_NORTH = 85;

/**
 * Fits places into a frame by Mercator's projection: of so small a piece of the Earth the scale is the same everywhere to
 * about a part in a hundred per ten kilometres of latitude at 60°. Undefined where there is no place at all.
 *
 * @param leastMetres the least stretch that the frame shows: a single place is not drawn infinitely large
 */
export function groundPlan(places: readonly LonLat[], frame: Frame, leastMetres = 400): GroundPlan | undefined {
  if (places.length === 0) return undefined;
  const middle = middleLongitude(places);
  // Turned so that the middle is at 0: fields on both sides of the 180th meridian lie beside one another.
  const projection = geoMercator().rotate([-middle, 0]).precision(0).scale(1).translate([0, 0]);
  const raw = ([longitude, latitude]: LonLat): Point => {
    const clamped = Math.min(FARTHEST_NORTH, Math.max(-FARTHEST_NORTH, latitude));
    const [x, y] = projection([longitude, clamped]) ?? [0, 0];
    return { x, y };
  };
  const box = boundsOf(places.map(raw));
  const centre: Point = { x: box.x + box.width / 2, y: box.y + box.height / 2 };
  // One unit of the raw projection is the Earth's radius at the equator, and less by the cosine of the latitude elsewhere:
  // 1 / cosh y, for y = ln tan(45° + latitude / 2).
  const metresPerRaw = EARTH_RADIUS_M / Math.cosh(centre.y);
  const least = leastMetres / metresPerRaw;
  const width = Math.max(box.width, least);
  const height = Math.max(box.height, (least * frame.height) / frame.width / 2);
  const scale = Math.min(frame.width / width, frame.height / height);
  const project = (place: LonLat): Point => {
    const { x, y } = raw(place);
    return {
      x: frame.x + frame.width / 2 + (x - centre.x) * scale,
      y: frame.y + frame.height / 2 + (y - centre.y) * scale,
    };
  };
  const bounds: Frame = {
    x: frame.x + frame.width / 2 - (width * scale) / 2,
    y: frame.y + frame.height / 2 - (height * scale) / 2,
    width: width * scale,
    height: height * scale,
  };
  return { project, metresPerUnit: metresPerRaw / scale, bounds };
}

/** The longitude in the middle of the directions, so that 179° and -179° have 180° between them. */
function middleLongitude(places: readonly LonLat[]): number {
  let east = 0;
  let north = 0;
  for (const [longitude] of places) {
    east += Math.sin((longitude * Math.PI) / 180);
    north += Math.cos((longitude * Math.PI) / 180);
  }
  return (Math.atan2(east, north) * 180) / Math.PI;
}

export function boundsOf(points: readonly Point[]): Frame {
  let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const { x, y } of points) {
    left = Math.min(left, x);
    right = Math.max(right, x);
    top = Math.min(top, y);
    bottom = Math.max(bottom, y);
  }
  return points.length === 0
    ? { x: 0, y: 0, width: 0, height: 0 }
    : { x: left, y: top, width: right - left, height: bottom - top };
}
