import type { LonLat } from "../schema/facts.ts";
import { CommandFailure } from "./failure.ts";

/**
 * A place as a map shows it, latitude first: `51.885,-104.42`.
 *
 * @throws {CommandFailure} for what is no place on earth
 */
export function placeOption(name: string, text: string | undefined): LonLat | undefined {
  if (text === undefined) return undefined;
  const parts = /^\s*(-?\d{1,2}(?:\.\d+)?)\s*,\s*(-?\d{1,3}(?:\.\d+)?)\s*$/.exec(text);
  const [latitude, longitude] = [Number(parts?.[1]), Number(parts?.[2])];
  if (!(Math.abs(latitude) <= 90 && Math.abs(longitude) <= 180))
    throw new CommandFailure(
      `--${name} takes a latitude and a longitude in degrees, such as 51.885,-104.42; "${text}" is not of that form`,
    );
  return [longitude, latitude];
}
