import { plantsNeededFormula } from "../../agronomy/plants-formula.ts";
import { plantsNeeded } from "../../agronomy/plants.ts";
import { formatDay } from "../../base/days.ts";
import { figure, plural } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import { windowStandingInWords } from "../../book/field-risk-words.ts";
import { hostYears } from "../../book/rotation.ts";
import { samplingGoal } from "../../book/sampling-goal.ts";
import { scoutingWindow, type ScoutingWindow } from "../../book/scouting-window.ts";
import { warmthInWords } from "../../book/weather-words.ts";
import { cropWarmth } from "../../book/weather.ts";
import { swathingInWords, windowInWords } from "../../book/window-words.ts";
import type { FactRecord } from "../../records/record.ts";
import type { RegionPack } from "../../schema/facts.ts";
import type { Pointer } from "../../syntax/tree-queries.ts";
import { formulaOf, regionSources, type Figure } from "./figure.ts";
import { samplingPaths } from "./figures-of-visits.ts";
import { breakInWords } from "../inlay-hint-labels.ts";

/** The scouting window that hangs on a crop's seeding or swathing; undefined for a crop that is no host. */
export function windowFigure(record: FactRecord<"rotations">, index: number, book: Book): Figure | undefined {
  const crop = cropAt(record, index, book);
  const window = crop?.isHost ? scoutingWindow(crop, book) : undefined;
  const { opens_days_before_swath: before, closes_days_after_swath: after } = book.region.scouting ?? {};
  if (!crop || !window) return undefined;
  if (window.seeded !== undefined) return windowFromSeeding(window, window.seeded, crop.year, book);
  if (before === undefined || after === undefined) return undefined;
  const swathing = window.opens + before;
  const days = book.region.growth?.days_seed_to_swath;
  const fromSeeding =
    window.basis === "days" && crop.seeded !== undefined && days !== undefined
      ? [`swathing = seeded + ${plural(days, "day")} = ${formatDay(crop.seeded)} + ${days} = ${formatDay(swathing)}`]
      : [];
  const standing = crop.year === book.seasonYear ? `; ${windowStandingInWords(window, book)}` : "";
  const found = cropWarmth(crop, book);
  const warmth = found && warmthInWords(found, book, window.basis === "recorded");
  const paths = [...(warmth?.figures ?? []), ...(window.basis === "days" ? ["growth.days_seed_to_swath"] : [])];
  return {
    says: `Scouting window: ${windowInWords(window, book)}, ${swathingInWords(window, book)}${standing}`,
    formulas: [
      ...(warmth?.formulas ?? []).map(({ formula }) => formula),
      ...fromSeeding,
      `window = swathing − ${plural(before, "day")} to swathing + ${plural(after, "day")} = ${formatDay(window.opens)} to ${formatDay(window.closes)}`,
    ],
    notes: warmth?.says ?? (window.basis === "days" ? withoutWeather(book) : []),
    sources: [
      ...(warmth?.formulas ?? []).flatMap(({ sources }) => sources),
      ...regionSources(book, "scouting.opens_days_before_swath", "scouting.closes_days_after_swath", ...paths),
    ],
  };
}

function windowFromSeeding(window: ScoutingWindow, seeded: number, year: number, book: Book): Figure {
  const standing = year === book.seasonYear ? `; ${windowStandingInWords(window, book)}` : "";
  const [from, to] = [window.opens - seeded, window.closes - seeded];
  return {
    says: `Scouting window: ${windowInWords(window, book)}, ${swathingInWords(window, book)}${standing}`,
    formulas: [
      `window = seeded + ${plural(from, "day")} to seeded + ${plural(to, "day")} = ${formatDay(window.opens)} to ${formatDay(window.closes)}`,
    ],
    sources: regionSources(book, "scouting.opens_days_after_seeding", "scouting.closes_days_after_seeding"),
  };
}

function withoutWeather({ files }: Book): string[] {
  return files.some(({ kind }) => kind === "weather")
    ? []
    : ["No weather is recorded; a *.weather.csv in the book would let degree days forecast the swathing day"];
}

/** Whether the crop is a host, and the break before it beside the region's. */
export function breakFigure(record: FactRecord<"rotations">, index: number, book: Book): Figure | undefined {
  const name = record.facts.crops?.[index]?.crop;
  if (!name || !record.facts.field) return undefined;
  if (!book.isHostCrop(name))
    return { says: `${name} is not a host of clubroot`, formulas: [], sources: regionSources(book, "hosts") };
  const field = book.fieldHistory(record.facts.field);
  const { break_years: usual, break_years_after_find: afterFind } = book.region.rotation ?? {};
  const infested = field.confirmed !== undefined;
  const asked = infested ? afterFind : usual;
  const rest = hostYears(field).find(({ crop }) => crop.record === record && crop.index === index)?.rest;
  const before = rest ? `; ${breakInWords(rest)} since ${rest.since.facts.crop ?? "a host"} in ${rest.since.year}` : "";
  const wanted =
    asked === undefined
      ? ""
      : `; the region asks for a break of ${plural(asked, "year")}${infested ? " after a find" : ""}`;
  const path = infested ? "rotation.break_years_after_find" : "rotation.break_years";
  return { says: `${name} is a host of clubroot${before}${wanted}`, formulas: [], sources: regionSources(book, path) };
}

/** How many plants the book's own goal takes. */
export function goalFigure(book: Book): Figure | undefined {
  const goal = samplingGoal(book);
  const looking = goal && { incidence: goal.designIncidence, sensitivity: goal.rootSensitivity };
  const needed = goal && looking ? plantsNeeded(looking, goal.confidence) : undefined;
  if (!goal || !looking || !needed?.ok) return undefined;
  const says =
    `${plural(needed.value.plants, "plant")} on a field are enough to notice clubroot in ${figure(goal.designIncidence * 100, 1)} % ` +
    `of the plants with ${figure(goal.confidence * 100, 1)} % confidence`;
  return formulaOf(
    says,
    plantsNeededFormula(looking, goal.confidence, needed.value),
    regionSources(book, ...samplingPaths(book)),
  );
}

/** Where a figure of the pack that is open comes from: its own source, or that of the group it stands in. */
export function regionFigure({ sources }: RegionPack, pointer: Pointer): Figure | undefined {
  if (!sources || pointer[0] === "sources") return undefined;
  for (let length = pointer.length; length > 0; length--) {
    const path = pointer.slice(0, length).join(".");
    if (Object.hasOwn(sources, path))
      return { says: `Where ${path} comes from`, formulas: [], sources: [sources[path]!] };
  }
  return undefined;
}

function cropAt(record: FactRecord<"rotations">, index: number, book: Book) {
  if (!record.facts.field) return undefined;
  return book.fieldHistory(record.facts.field).crops.find((crop) => crop.record === record && crop.index === index);
}
