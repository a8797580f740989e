import { dayInWords, figure, plural } from "../../base/words.ts";
import { detectableIncidence } from "../../agronomy/plants.ts";
import { shareInWords } from "../../book/exposure-words.ts";
import type { FieldRisk } from "../../book/field-risk.ts";
import { samplingGoal, type SamplingGoal } from "../../book/sampling-goal.ts";
import { element, type Child, type Markup } from "../markup.ts";
import { areaHectares } from "../picture/measures.ts";
import { STATUS_LOOKS } from "../picture/status-looks.ts";
import { momentInWords, type CarrierVisit } from "./season-calendar-facts.ts";
import { opens, type SeasonDig, type SeasonFacts, type SeasonField } from "./season-facts.ts";
import { exposedInWords } from "./soil-moves.ts";
import { NEIGHBOURING_FIELD } from "./viewpoint.ts";

/** How a page makes words lead to a record; one that opens nothing gives them back as they are. */
export type Opener = (open: string | undefined, words: string) => Child;
export const PLAIN: Opener = (_open, words) => words;

export interface Table {
  readonly caption: string;
  readonly heads: readonly string[];
  /** The first cell of a row is its head. */
  readonly rows: readonly (readonly Child[])[];
}

/** A table in a box that scrolls where it is too wide, and can be reached to scroll it. */
export function tableMarkup({ caption, heads, rows }: Table, kind = ""): Markup {
  return element(
    "section",
    { class: `table ${kind}`.trim(), "aria-label": caption, tabindex: 0 },
    element(
      "table",
      {},
      element("caption", {}, caption),
      element(
        "thead",
        {},
        element(
          "tr",
          {},
          heads.map((head) => element("th", { scope: "col" }, head)),
        ),
      ),
      element(
        "tbody",
        {},
        rows.map((cells) =>
          element(
            "tr",
            {},
            cells.map((cell, i) => (i === 0 ? element("th", { scope: "row" }, cell) : element("td", {}, cell))),
          ),
        ),
      ),
    ),
  );
}

export function fieldsTable({ fields, view, season }: SeasonFacts, opener: Opener): Table {
  const { book } = view;
  return {
    caption: `Fields by status, season ${season ?? ""}`.trim(),
    heads: ["Field", "Status", "Why", "Size", "Crop", "Last scouted", "Plants dug", "What to do next"],
    rows: fields.map((field) => [
      opener(opens("fields", field.id), field.name),
      statusCell(field.risk),
      field.why ?? "",
      sizeInWords(field),
      cropOf(field, season),
      field.risk.lastScouted === undefined ? "never on record" : dayInWords(field.risk.lastScouted, book.seasonYear),
      dugInWords(field.risk),
      field.steps[0]?.what ?? "nothing now",
    ]),
  };
}

export function statusCell({ status }: FieldRisk): Markup {
  const { key, mark } = STATUS_LOOKS[status];
  return element(
    "span",
    { class: `status-word status-${key}` },
    element("span", { class: "status-mark", "aria-hidden": "true" }, mark),
    ` ${status}`,
  );
}

/** The size on record, and what the outline measures where the two are more than a twentieth apart. */
export function sizeInWords({ history, outline }: SeasonField): string {
  const recorded = history.record?.facts.area_ha;
  const measured = outline && areaHectares(outline);
  if (recorded === undefined)
    return measured === undefined ? "not recorded" : `${figure(measured, 1)} ha by its outline`;
  const apart = measured !== undefined && Math.abs(measured - recorded) > recorded * 0.05;
  return `${figure(recorded, 1)} ha${apart ? ` (outline ${figure(measured, 1)} ha)` : ""}`;
}

export function cropOf({ history }: SeasonField, year: number | undefined): string {
  const crops = history.crops.filter((crop) => crop.year === year);
  return crops.length === 0 ? "not recorded" : crops.map(({ facts }) => facts.crop ?? "not recorded").join(", ");
}

export function dugInWords({ plantsDug, detectableIncidence: least, incidencePercent, dsiPercent }: FieldRisk): string {
  if (plantsDug === 0) return "none";
  if (incidencePercent && dsiPercent !== undefined)
    return `${plantsDug}, ${figure(incidencePercent, 1)} % with galls, severity ${figure(dsiPercent, 1)} %`;
  return least === undefined ? String(plantsDug) : `${plantsDug}, would show ${figure(least * 100, 1)} % or more`;
}

export function movesTable({ moves, view }: SeasonFacts, opener: Opener): Table {
  return {
    caption: "Where infested soil may have gone, by the numbers of the map",
    heads: ["No.", "From", "To", "On", "Left", "Arrived", "Cleaned in between", "Soil left", "Exposes"],
    rows: moves.map(({ number, carriage, exposes }) => {
      const { from, to, carrier, left, arrived, cleanings, soilLeft } = carriage;
      const leaving = view.isShown(from) ? view.book.visitOfCarrier(carrier, carriage.visitLeft) : undefined;
      const reaching = view.isShown(to) ? view.book.visitOfCarrier(carrier, carriage.visitArrived) : undefined;
      return [
        String(number),
        view.fieldName(from),
        view.fieldName(to),
        view.carrierName(carrier),
        opener(leaving && opens("visits", leaving.id, ["left"]), momentInWords(left, view)),
        opener(reaching && opens("visits", reaching.id, ["arrived"]), momentInWords(arrived, view)),
        cleanings.length === 0 ? "nothing on record" : `${plural(cleanings.length, "clean-down")} that fell short`,
        shareInWords(soilLeft),
        exposedInWords(exposes, NEIGHBOURING_FIELD),
      ];
    }),
  };
}

export function visitsTable(visits: readonly CarrierVisit[], opener: Opener): Table {
  return {
    caption: "Each carrier's visits, and how it was cleaned before the next",
    heads: ["Carrier", "Visit", "Cleaned before the next"],
    rows: visits.map(({ carrier, visit, cleanings, wentOn }) => [
      carrier,
      visit ? opener(visit.open, visit.words) : "before the first visit",
      [
        cleanings.map(({ words, open }, i) => [i > 0 && element("br"), opener(open, words)]),
        wentOn && [
          cleanings.length > 0 && element("br"),
          element("strong", {}, cleanings.length > 0 ? "Went on not clean" : "Went on uncleaned"),
          ": ",
          opener(wentOn.open, wentOn.words),
        ],
        cleanings.length === 0 && !wentOn && "nothing on record",
      ],
    ]),
  };
}

export function digsTable({ digs, view }: SeasonFacts, opener: Opener): Table {
  const goal = samplingGoal(view.book);
  return {
    caption: "Every dig of the season, and what it shows",
    heads: ["Field", "Day", "Dig", "Place", "Plants", "What was found", "What it shows of the plants there"],
    rows: digs.map((dig) => [
      dig.field.name,
      dayInWords(dig.visit.day, view.book.seasonYear),
      opener(opens("visits", dig.visit.record.id, ["digs", dig.index]), dig.dig.id ?? "-"),
      dig.dig.place ?? "not recorded",
      dig.dig.plants === undefined ? "not recorded" : String(dig.dig.plants),
      foundInWords(dig),
      shownInWords(dig, goal),
    ]),
  };
}

function foundInWords({ galls, dsiPercent, dig }: SeasonDig): string {
  const nodules = dig.look_alikes ? `, ${plural(dig.look_alikes, "look-alike")}` : "";
  if (dsiPercent === undefined) return `not rated${nodules}`;
  return `${galls === 0 ? "no galls" : `${plural(galls, "plant")} with galls, severity ${figure(dsiPercent, 1)} %`}${nodules}`;
}

/** What a clean dig rules out, at the confidence of the book; the plants of one place tell of that place. */
function shownInWords({ galls, dsiPercent, dig }: SeasonDig, goal: SamplingGoal | undefined): string {
  if (dsiPercent === undefined) return "nothing: the roots were not rated";
  if (galls > 0) return "galls are there; a lab tells whether it is clubroot";
  const least = goal && dig.plants ? detectableIncidence(dig.plants, goal.confidence, goal.rootSensitivity) : undefined;
  if (!goal || !least?.ok) return "too few plants to rule anything out";
  return `${figure(goal.confidence * 100)} % sure that fewer than ${figure(least.value * 100, 1)} % of them have galls`;
}
