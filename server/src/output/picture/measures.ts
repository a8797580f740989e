import { area } from "@turf/area";
import { length } from "@turf/length";
import type { Outline } from "../../book/outlines.ts";
import type { LonLat } from "../../schema/facts.ts";

/** Hectares inside an outline, its holes left out; on a sphere, so within 0.6 % of the ellipsoid's. */
export function areaHectares(outline: Outline): number {
  const coordinates = outline.map((polygon) => polygon.map((ring) => ring.map(([x, y]) => [x, y])));
  return area({ type: "MultiPolygon", coordinates }) / 10_000;
}

/** Metres along places one after the other; on a sphere, so within 0.6 % of the ellipsoid's. */
export function metresAlong(places: readonly LonLat[]): number {
  const coordinates = places.map(([x, y]) => [x, y]);
  if (coordinates.length < 2) return 0;
  const line = { type: "LineString" as const, coordinates };
  return length({ type: "Feature", properties: {}, geometry: line }, { units: "meters" });
}

/**
 * A place inside an outline to set its name at: the centroid of its largest ring (Bourke 1988, "Calculating the area and
 * centroid of a polygon"), or where that falls outside, the middle of the widest stretch beside it.
 */
export function labelPlace(outline: Outline): LonLat | undefined {
  const rings = outline.flatMap(([outer]) => (outer ? [outer] : []));
  let best: { readonly ring: readonly LonLat[]; readonly size: number; readonly centre: LonLat } | undefined;
  for (const ring of rings) {
    const found = centroid(ring);
    if (found && (!best || found.size > best.size)) best = { ring, ...found };
  }
  if (!best) return rings[0]?.[0];
  return isInside(best.centre, best.ring) ? best.centre : besideHole(best.centre, best.ring);
}

function centroid(ring: readonly LonLat[]): { readonly size: number; readonly centre: LonLat } | undefined {
  const [origin] = ring;
  if (!origin) return undefined;
  let twice = 0;
  let sumX = 0;
  let sumY = 0;
  for (let i = 0; i + 1 < ring.length; i++) {
    // Counted from the first corner: so near one another, the digits of degrees would cancel out.
    const [x1, y1] = [ring[i]![0] - origin[0], ring[i]![1] - origin[1]];
    const [x2, y2] = [ring[i + 1]![0] - origin[0], ring[i + 1]![1] - origin[1]];
    const cross = x1 * y2 - x2 * y1;
    twice += cross;
    sumX += (x1 + x2) * cross;
    sumY += (y1 + y2) * cross;
  }
  if (twice === 0) return undefined;
  return { size: Math.abs(twice), centre: [origin[0] + sumX / (3 * twice), origin[1] + sumY / (3 * twice)] };
}

/** By the even-odd rule. */
export function isInside([x, y]: LonLat, ring: readonly LonLat[]): boolean {
  return crossings(y, ring).filter((at) => at > x).length % 2 === 1;
}

/** Where a line along a latitude crosses a ring, from west to east. */
function crossings(y: number, ring: readonly LonLat[]): number[] {
  const found: number[] = [];
  for (let i = 0; i + 1 < ring.length; i++) {
    const [[x1, y1], [x2, y2]] = [ring[i]!, ring[i + 1]!];
    if (y1 > y !== y2 > y) found.push(x1 + ((y - y1) / (y2 - y1)) * (x2 - x1));
  }
  return found.sort((a, b) => a - b);
}

function besideHole([x, y]: LonLat, ring: readonly LonLat[]): LonLat {
  const at = crossings(y, ring);
  let widest: LonLat = [x, y];
  let width = 0;
  for (let i = 0; i + 1 < at.length; i += 2) {
    const span = at[i + 1]! - at[i]!;
    if (span > width) [width, widest] = [span, [(at[i]! + at[i + 1]!) / 2, y]];
  }
  return widest;
}

/** The longest of 1, 2 and 5 times a power of ten that is no longer than `most`; for a scale bar, in metres. */
export function roundLength(most: number): number {
  if (!(most > 0)) return 1;
  const power = 10 ** Math.floor(Math.log10(most));
  return [5, 2, 1].map((digit) => digit * power).find((length) => length <= most) ?? power;
}
