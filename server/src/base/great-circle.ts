/** Radius of a sphere with the Earth's mean radius, in metres: IUGG's R1 for WGS 84 (Moritz 2000, J. Geodesy 74:128). */
export const EARTH_RADIUS_M = 6371008.8;

/**
 * Metres between two places along the surface, by the haversine formula (Sinnott 1984, Sky & Telescope 68:159).
 * Places are longitude and latitude in degrees, in this order as in RFC 7946. On a field the error of taking the Earth for
 * a sphere is under 0.6 %, less than a hand-held receiver's.
 */
export function greatCircleMetres(a: readonly [number, number], b: readonly [number, number]): number {
  const [lonA, latA] = [radians(a[0]), radians(a[1])];
  const [lonB, latB] = [radians(b[0]), radians(b[1])];
  const haversine =
    square(Math.sin((latB - latA) / 2)) + Math.cos(latA) * Math.cos(latB) * square(Math.sin((lonB - lonA) / 2));
  return 2 * EARTH_RADIUS_M * Math.asin(Math.min(1, Math.sqrt(haversine)));
}

function radians(degrees: number): number {
  return (degrees * Math.PI) / 180;
}

function square(x: number): number {
  return x * x;
}
