import { dayNumber } from "../base/days.ts";
import { dayInWords, figure, plural } from "../base/words.ts";
import type { Book } from "../book/book.ts";
import type { CleanDownPlan } from "../planning/clean-down-plan.ts";
import type { FieldWork, Stop } from "../planning/field-work.ts";
import type { PlannedDay } from "../planning/season-plan.ts";
import type { LonLat } from "../schema/facts.ts";

const WEEKDAYS = ["Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"];
const SUNDAY = dayNumber(1970, 1, 4);
const METRES_PER_KM = 1000;

/** `Thursday 20 Aug`, with the year where it is not the one that goes without saying. */
export function weekdayInWords(day: number, impliedYear: number | undefined): string {
  const days = WEEKDAYS.length;
  const weekday = (((day - SUNDAY) % days) + days) % days;
  return `${WEEKDAYS[weekday]!} ${dayInWords(day, impliedYear)}`;
}

export function kilometres(metres: number): string {
  const km = metres / METRES_PER_KM;
  return `${figure(km, km < 10 ? 1 : 0)} km`;
}

/** Latitude first, as people say it: `51.8905 N, 104.4165 W`. */
export function placeInWords([longitude, latitude]: LonLat): string {
  const part = (value: number, plus: string, minus: string): string =>
    `${Math.abs(value).toFixed(5)} ${value < 0 ? minus : plus}`;
  return `${part(latitude, "N", "S")}, ${part(longitude, "E", "W")}`;
}

/** `clean`, `doubtful: exposed`, `confirmed` */
export function standingInWords({ standing, status }: FieldWork): string {
  return standing === "doubtful" ? `doubtful: ${status}` : standing;
}

/** `100 of 157 dug so far`; where that is enough, only places are still lacking: `160 dug so far, enough but for these places` */
export function dugSoFarInWords({ plantsDug, plantsWanted }: FieldWork): string {
  return plantsDug < plantsWanted
    ? `${plantsDug} of ${plantsWanted} dug so far`
    : `${plantsDug} dug so far, enough but for these places`;
}

export function entranceName({ entrance }: FieldWork): string {
  return entrance?.name ?? entrance?.id ?? "the usual entrance";
}

/** `at north-gate`, `at east-gate, by which ab-drill may have brought soil of an infested field` */
export function entranceInWords({ entrance, cameInOn }: Stop, work: FieldWork): string {
  const name = entrance?.name ?? entrance?.id ?? entranceName(work);
  return `at ${name}${cameInOn === undefined ? "" : `, by which ${cameInOn} may have brought soil of an infested field`}`;
}

/** Stops that are dug in the same way stand in one line. */
export interface StopLine {
  readonly first: Stop;
  readonly last: Stop;
  readonly where: string;
  readonly plants: string;
}

/** `stops 2 to 11, along a W across the field: 12 or 13 plants each` */
export function stopLineInWords({ first, last, where, plants }: StopLine): string {
  const numbers = first === last ? `stop ${first.number}` : `stops ${first.number} to ${last.number}`;
  return `${numbers}, ${where}: ${plants}`;
}

/** Where to dig, in the order of the walk, each line one place or a run of stops along the route. */
export function stopLines(work: FieldWork, book: Book): StopLine[] {
  const reach = book.region.scouting?.entrance_reach_m;
  const lines: StopLine[] = [];
  const route = work.stops.filter(({ place }) => place === "along the route");
  for (const stop of work.stops) {
    if (stop.place === "along the route") continue;
    const within = reach === undefined ? "" : `, within ${figure(reach)} m of it`;
    const where = stop.place === "entrance" ? `${entranceInWords(stop, work)}${within}` : patchInWords(stop);
    lines.push({ first: stop, last: stop, where, plants: plural(stop.plants, "plant") });
  }
  const [first, last] = [route[0], route.at(-1)];
  if (first && last) {
    const [most, least] = [
      Math.max(...route.map(({ plants }) => plants)),
      Math.min(...route.map(({ plants }) => plants)),
    ];
    const each = most === least ? `${plural(most, "plant")}` : `${least} or ${most} plants`;
    const isOne = route.length === 1;
    const where = isOne ? "along the route" : "along a W across the field";
    lines.push({ first, last, where, plants: isOne ? each : `${each} each` });
  }
  return lines;
}

/** `in patch p2 of v-0818-rail-side (ripening early, 25 m²)` */
export function patchInWords({ patch, patchFacts }: Stop): string {
  const [visit, id] = (patch ?? "#").split("#");
  const known = [
    patchFacts?.symptom,
    patchFacts?.area_m2 === undefined ? undefined : `${figure(patchFacts.area_m2)} m²`,
    patchFacts?.position && placeInWords(patchFacts.position),
  ].filter((one) => one !== undefined);
  return `in patch ${id!}, seen on visit ${visit!}${known.length > 0 ? ` (${known.join(", ")})` : ""}`;
}

/** `0.96 L of 5.25 % bleach into 4.04 L of water (5 L of 1 %)` */
export function mixInWords({ mix, product, stockPercent, strengthPercent, litres }: CleanDownPlan): string {
  if (!mix)
    return `${product} at ${figure(strengthPercent)} %: the stock of ${figure(stockPercent)} % is too weak for it, so take a stronger one`;
  if (mix.waterL === 0) return `${figure(mix.stockL)} L of ${figure(stockPercent)} % ${product}, undiluted`;
  return `${figure(mix.stockL)} L of ${figure(stockPercent)} % ${product} into ${figure(mix.waterL)} L of water (${figure(litres)} L of ${figure(strengthPercent)} %)`;
}

export interface ToCarry {
  readonly coverPairs: number;
  readonly rubbishBags: number;
  readonly rootBags: number;
  readonly stockL: number;
  readonly waterL: number;
}

/** What a day takes: covers, bags, stock and water for every clean-down. */
export function toCarry({ fields, cleanDown }: PlannedDay, covers: number, rootBags: number): ToCarry {
  const count = fields.length;
  return {
    coverPairs: count * covers,
    rubbishBags: count,
    rootBags: count * rootBags,
    stockL: count * (cleanDown.mix?.stockL ?? 0),
    waterL: count * ((cleanDown.mix?.waterL ?? 0) + cleanDown.rinseWaterL),
  };
}

export function carryInWords(carry: ToCarry, { cleanDown }: PlannedDay): string {
  const { coverPairs, rubbishBags, rootBags, stockL, waterL } = carry;
  return [
    `${plural(coverPairs, "pair")} of single-use covers`,
    `${plural(rubbishBags, "bag")} to seal used ones in`,
    `${plural(rootBags, "paper bag")} for roots`,
    cleanDown.mix
      ? `${figure(stockL)} L of ${figure(cleanDown.stockPercent)} % ${cleanDown.product}`
      : cleanDown.product,
    `${figure(waterL)} L of water`,
    "gloves and eye protection",
  ].join(", ");
}
