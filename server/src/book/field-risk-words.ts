import { windowStanding } from "../agronomy/scouting-window.ts";
import { MINUTES_PER_DAY } from "../base/days.ts";
import { dayInWords, figure, plural } from "../base/words.ts";
import type { Exposure } from "../soil/exposure.ts";
import { isKind } from "../records/record.ts";
import type { Book } from "./book.ts";
import { carrierInWords, shareInWords } from "./exposure-words.ts";
import { hostCropOf, type FieldHistory } from "./field-history.ts";
import type { FieldRisk } from "./field-risk.ts";
import { suspicionOf, type Suspicion } from "./field-status.ts";
import type { ScoutingWindow } from "./scouting-window.ts";
import { whyNoWindow } from "./window-words.ts";

/** A field's status with its reason: `exposed: one carriage from Mill Flat by seeder-2, 9 May, about 10 % of the soil left`. */
export function statusInWords(field: FieldHistory, risk: FieldRisk, book: Book): string {
  const why = reasonInWords(field, risk, book);
  if (why === undefined) return risk.status;
  return risk.status === "confirmed" ? `confirmed ${why}` : `${risk.status}: ${why}`;
}

/** The same in as few words as an agronomist needs to go on: `exposed: one carriage from Mill Flat by seeder-2, 9 May`. */
export function statusInBrief(field: FieldHistory, risk: FieldRisk, book: Book): string {
  if (risk.status === "exposed" && risk.exposure) {
    const carried = carriagesInWords(risk.exposure, book);
    return carried === undefined ? risk.status : `${risk.status}: ${carried}`;
  }
  return risk.status === "unscouted" ? "unscouted: no dig in its window" : statusInWords(field, risk, book);
}

/** Why the field has its status, without the status: `galls in dig d1 of v3`; undefined where it needs no reason. */
export function reasonInWords(field: FieldHistory, risk: FieldRisk, book: Book): string | undefined {
  switch (risk.status) {
    case "confirmed": {
      if (!field.confirmed) return undefined;
      const { day, place } = field.confirmed;
      const by = isKind(place.record, "samples") ? `sample ${place.record.id}` : "the field's own record";
      return `since ${dayInWords(day, book.seasonYear)}, by ${by}`;
    }
    case "suspected": {
      const suspicion = suspicionOf(field, book);
      return suspicion && suspicionInWords(suspicion);
    }
    case "exposed":
      return risk.exposure && exposureInWords(risk.exposure, book);
    case "unscouted":
      return "a host crop, and no dig in its scouting window";
    case "not found":
      return risk.incidencePercent ? "galls seen, and cleared by the lab" : "no galls seen";
    case "no host this season": {
      const crop = field.crops.findLast(({ year, facts }) => year === book.seasonYear && facts.crop)?.facts.crop;
      return crop;
    }
    case "waiting": {
      const crop = book.seasonYear === undefined ? undefined : hostCropOf(field, book.seasonYear);
      return risk.window || !crop ? undefined : whyNoWindow(crop, book);
    }
  }
}

function suspicionInWords({ why, place: { record, pointer } }: Suspicion): string {
  if (why === "pending") return `no result yet of sample ${record.id}`;
  if (why === "inconclusive") return `sample ${record.id} was inconclusive`;
  const dig = isKind(record, "visits") ? record.facts.digs?.[Number(pointer[1])]?.id : undefined;
  return `galls in ${dig === undefined ? "a dig" : `dig ${dig}`} of ${record.id}`;
}

/** `one carriage from Mill Flat by seeder-2, 9 May, about 10 % of the soil left` */
function exposureInWords(exposure: Exposure, book: Book): string | undefined {
  const carried = carriagesInWords(exposure, book);
  return carried && `${carried}, ${soilLeftInWords(exposure.soilLeft)}`;
}

/** `one carriage from Mill Flat by seeder-2, 9 May` */
function carriagesInWords({ chain }: Exposure, book: Book): string | undefined {
  const [first, last] = [chain[0], chain[chain.length - 1]];
  if (!first || !last) return undefined;
  const count = chain.length === 1 ? "one carriage" : plural(chain.length, "carriage");
  const by = `${chain.length === 1 ? " by" : ", the last by"} ${carrierInWords(last.carrier)}`;
  const day = dayInWords(Math.floor(last.arrived / MINUTES_PER_DAY), book.seasonYear);
  return `${count} from ${book.fieldName(first.from)}${by}, ${day}`;
}

/** `all of the soil left`, `about 10 % of the soil left`, `under 0.1 % of the soil left`, `no soil left`; a share from 0 to 1. */
export function soilLeftInWords(share: number): string {
  if (share <= 0) return "no soil left";
  return `${shareInWords(share)} of the soil left`;
}

/** `window opens 14 Aug, in 6 days`; a window that hangs on a swathing day not yet recorded says so. */
export function windowStandingInWords(window: ScoutingWindow, book: Book): string {
  const expected = window.basis === "recorded" || window.seeded !== undefined ? "" : " (swathing day expected)";
  const day = (at: number): string => dayInWords(at, book.seasonYear);
  const { opens, closes } = window;
  const found = windowStanding(window, book.asOf);
  if (!found.ok) return `window ${day(opens)} to ${day(closes)}${expected}`;
  const { opensInDays, daysLeft, closedDaysAgo } = found.value;
  if (opensInDays !== undefined) return `window opens ${day(opens)}, ${inDays(opensInDays)}${expected}`;
  if (daysLeft !== undefined) return `window closes ${day(closes)}, ${inDays(daysLeft)}${expected}`;
  return `window closed ${day(closes)}, ${plural(closedDaysAgo ?? 0, "day")} ago${expected}`;
}

/** The same without how it is known and how long it has been over: `window closes about 29 Aug, in 9 days`. */
export function windowInBrief(window: ScoutingWindow, book: Book): string {
  const { opens, closes, basis, seeded } = window;
  // An expected swathing day whose seeding is not recorded either is a guess, and said to be one.
  const about = basis === "recorded" || seeded !== undefined ? "" : "about ";
  const day = (at: number): string => about + dayInWords(at, book.seasonYear);
  const found = windowStanding(window, book.asOf);
  if (!found.ok) return `window ${day(opens)} to ${day(closes)}`;
  const { opensInDays, daysLeft } = found.value;
  if (opensInDays !== undefined) return `window opens ${day(opens)}, ${inDays(opensInDays)}`;
  return daysLeft === undefined ? `window closed ${day(closes)}` : `window closes ${day(closes)}, ${inDays(daysLeft)}`;
}

function inDays(days: number): string {
  return days === 0 ? "today" : `in ${plural(days, "day")}`;
}

/** `60 plants dug, would catch 4.9 % or more`, `60 plants dug, 10 % with galls, DSI 5 %`; undefined where no dig was due. */
export function plantsDugInWords(risk: FieldRisk): string | undefined {
  const { plantsDug, detectableIncidence, incidencePercent, dsiPercent, window } = risk;
  if (plantsDug === 0) return window ? "no plants dug" : undefined;
  if (incidencePercent && dsiPercent !== undefined) {
    return `${plural(plantsDug, "plant")} dug, ${figure(incidencePercent, 1)} % with galls, DSI ${figure(dsiPercent, 1)} %`;
  }
  return `${plural(plantsDug, "plant")} dug${wouldCatch(detectableIncidence)}`;
}

/** `, would catch 4.9 % or more`: the least share of infected plants that would have been noticed, 0 to 1. */
export function wouldCatch(incidence: number | undefined): string {
  return incidence === undefined ? "" : `, would catch ${figure(incidence * 100, 1)} % or more`;
}
