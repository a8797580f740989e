import { BBCH_SOURCE, stageMeaning } from "../../agronomy/bbch.ts";
import { detectableIncidenceFormula } from "../../agronomy/plants-formula.ts";
import { detectableIncidence } from "../../agronomy/plants.ts";
import { formatMinute, parseMinute } from "../../base/days.ts";
import { figure, plural } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import { samplingGoal } from "../../book/sampling-goal.ts";
import type { VisitRecord } from "../../schema/facts.ts";
import { formulaOf, regionSources, type Figure } from "./figure.ts";

/** The least incidence that so many plants would have shown, had all been clean. */
export function plantsFigure(plants: number | undefined, book: Book): Figure | undefined {
  const goal = samplingGoal(book);
  if (plants === undefined || !goal) return undefined;
  const { confidence, rootSensitivity, designIncidence } = goal;
  const least = detectableIncidence(plants, confidence, rootSensitivity);
  if (!least.ok) return { says: least.error, formulas: [], sources: [] };
  const percent = (share: number): string => `${figure(share * 100, 1)} %`;
  const says =
    `${plural(plants, "plant")}, all clean, would have caught ${percent(least.value)} or more with ${percent(confidence)} confidence; ` +
    `${percent(designIncidence)} takes ${plural(goal.plants, "plant")} on the field`;
  const shown = detectableIncidenceFormula(plants, confidence, rootSensitivity, undefined, least.value);
  return formulaOf(says, shown, regionSources(book, ...samplingPaths(book)));
}

/** The paths of the sampling figures that are the region's and not the book's own. */
export function samplingPaths({ season }: Book): string[] {
  const own = season.sampling ?? {};
  const names = ["confidence", "design_incidence", "root_sensitivity"] as const;
  return names.filter((name) => own[name] === undefined).map((name) => `sampling.${name}`);
}

export function stageFigure(stage: number | undefined, book: Book): Figure | undefined {
  const meaning = stage === undefined ? undefined : stageMeaning(stage);
  if (stage === undefined || meaning === undefined) return undefined;
  const from = book.region.scouting?.stage_from;
  const when =
    from === undefined
      ? ""
      : stage >= from
        ? `; galls can be looked for from ${from} on`
        : `; too early to look for galls, which show from about ${from} on`;
  return {
    says: `BBCH ${String(stage).padStart(2, "0")}: ${meaning}${when}`,
    formulas: [],
    sources: [BBCH_SOURCE, ...regionSources(book, "scouting.stage_from")],
  };
}

/** When the field may be entered again after spraying: the label's figure, added up. */
export function reEntryFigure({ arrived, left, re_entry_hours: hours }: VisitRecord): Figure | undefined {
  const end = parseMinute(left ?? arrived ?? "");
  if (end === undefined || hours === undefined) return undefined;
  const from = end + Math.ceil(hours * 60);
  // An interval of years is a slip; the calendar of the records ends with the year 9999.
  if (hours > 24 * 366) return undefined;
  return {
    says: `No entry before ${formatMinute(from).replace("T", " ")}, ${figure(hours)} h after the field was left`,
    formulas: [],
    notes: ["The product's label and local rules say how long, and what to wear; they come before this figure."],
    sources: [],
  };
}

/** What is easily taken for clubroot. */
export function lookAlikes({ region }: Book): Figure | undefined {
  const named = (region.look_alikes ?? []).filter(({ name, signs }) => name && signs);
  if (named.length === 0) return undefined;
  return {
    says: "What is easily taken for clubroot; when in doubt, a lab test tells",
    formulas: [],
    notes: named.map(({ name, signs }) => `${name!}: ${signs!}`),
    sources: region.sources && Object.hasOwn(region.sources, "look_alikes") ? [region.sources["look_alikes"]!] : [],
  };
}
