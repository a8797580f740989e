import { dayNumber, MINUTES_PER_DAY } from "../base/days.ts";
import type { LonLat } from "../schema/facts.ts";

/** Minutes since 1970-01-01T00:00 in universal time. */
export interface Daylight {
  readonly sunrise: number;
  readonly sunset: number;
}

/** The sun stands so many degrees under the horizon when its upper edge touches it: 34′ of refraction and 16′ of its radius. */
const AT_HORIZON = -50 / 60;
const J2000 = dayNumber(2000, 1, 1) + 0.5;

/**
 * When the sun rises and sets, to a minute or two: its place by the low-precision formulas of Meeus, Astronomical Algorithms
 * (2nd ed. 1998), chapter 25, the equation of time by chapter 28, and the sunrise equation cos H = (sin h − sin φ sin δ) /
 * (cos φ cos δ) of chapter 15. Undefined where the sun does not rise or set that day.
 *
 * @param day since 1970-01-01
 * @param place longitude and latitude in degrees
 */
export function daylight(day: number, [longitude, latitude]: LonLat): Daylight | undefined {
  const noon = day + 0.5 - longitude / 360;
  const atNoon = sunAt(noon);
  const transit = noon - atNoon.equationOfTimeDays;
  const half = halfDay(atNoon.declination, latitude);
  if (half === undefined) return undefined;
  // Once more with where the sun is at these times, for it moves by half a degree a day in spring and autumn.
  const [rise, set] = [-half, half].map((turn) => {
    const sun = sunAt(transit + turn);
    const exact = halfDay(sun.declination, latitude) ?? half;
    return Math.round((noon - sun.equationOfTimeDays + Math.sign(turn) * exact) * MINUTES_PER_DAY);
  });
  return { sunrise: rise!, sunset: set! };
}

/** Half the time the sun is up, in days. */
function halfDay(declination: number, latitude: number): number | undefined {
  const cosine = (sine(AT_HORIZON) - sine(latitude) * sine(declination)) / (cosineOf(latitude) * cosineOf(declination));
  return cosine >= -1 && cosine <= 1 ? Math.acos(cosine) / (2 * Math.PI) : undefined;
}

/** @param at days since 1970-01-01T00:00, universal time */
function sunAt(at: number): { readonly declination: number; readonly equationOfTimeDays: number } {
  const t = (at - J2000) / 36525;
  const meanLongitude = 280.46646 + 36000.76983 * t + 0.0003032 * t * t;
  const anomaly = 357.52911 + 35999.05029 * t - 0.0001537 * t * t;
  const eccentricity = 0.016708634 - 0.000042037 * t;
  const centre =
    (1.914602 - 0.004817 * t) * sine(anomaly) +
    (0.019993 - 0.000101 * t) * sine(2 * anomaly) +
    0.000289 * sine(3 * anomaly);
  const node = 125.04 - 1934.136 * t;
  const longitude = meanLongitude + centre - 0.00569 - 0.00478 * sine(node);
  const obliquity = 23.439291 - 0.0130042 * t + 0.00256 * cosineOf(node);
  const declination = degrees(Math.asin(sine(obliquity) * sine(longitude)));
  const y = Math.tan(radians(obliquity / 2)) ** 2;
  const e = eccentricity;
  const [l, m] = [meanLongitude, anomaly];
  const equation =
    y * sine(2 * l) -
    2 * e * sine(m) +
    4 * e * y * sine(m) * cosineOf(2 * l) -
    0.5 * y * y * sine(4 * l) -
    1.25 * e * e * sine(2 * m);
  return { declination, equationOfTimeDays: equation / (2 * Math.PI) };
}

function radians(angle: number): number {
  return (angle * Math.PI) / 180;
}

function degrees(angle: number): number {
  return (angle * 180) / Math.PI;
}

function sine(angle: number): number {
  return Math.sin(radians(angle));
}

function cosineOf(angle: number): number {
  return Math.cos(radians(angle));
}
