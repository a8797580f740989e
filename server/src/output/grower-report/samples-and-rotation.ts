import { dayInWords, figure, plural } from "../../base/words.ts";
import type { FieldCrop } from "../../book/field-history.ts";
import { labOf } from "../../book/labs.ts";
import { hostYears, isGrown, yearsInWords } from "../../book/rotation.ts";
import { element, type Child } from "../markup.ts";
import type { SeasonFacts, SeasonField } from "../season/season-facts.ts";
import type { Table } from "../season/season-tables.ts";

/** Every sample of the fields, whatever its year. */
export function samplesTable({ fields, view }: SeasonFacts): Table {
  const { book } = view;
  const day = (at: number | undefined, otherwise: string): string =>
    at === undefined ? otherwise : dayInWords(at, book.seasonYear);
  return {
    caption: "Every sample of these fields",
    heads: ["Sample", "Field", "What", "Taken", "Sent", "Lab", "Result"],
    rows: fields.flatMap((field) =>
      field.history.samples.map(({ record, taken, sent, reported, finding }) => {
        const { material, plants, lab, result } = record.facts;
        const spores = result?.spores_per_g;
        const details = [
          reported === undefined ? undefined : dayInWords(reported, book.seasonYear),
          spores === undefined ? undefined : `${figure(spores, 0)} spores per g`,
          result?.pathotype ? `pathotype ${result.pathotype}` : undefined,
        ].filter((part) => part !== undefined);
        return [
          record.id,
          field.name,
          `${material ?? "not recorded"}${plants === undefined ? "" : `, ${plural(plants, "plant")}`}`,
          day(taken, "not recorded"),
          day(sent, "not sent"),
          labOf(book, lab)?.name ?? lab ?? "not recorded",
          finding === undefined ? "no result yet" : [finding, ...details].join(", "),
        ];
      }),
    ),
  };
}

const MOST_YEARS = 9;

/** A column a year: host crops stand out, with the break before each. */
export function rotationTable({ fields, season }: SeasonFacts): Table {
  const recorded = fields.flatMap(({ history }) => history.crops.map(({ year }) => year));
  const years = [...new Set(recorded)].sort((a, b) => a - b);
  const from = season === undefined ? years : years.filter((year) => year >= season - 5);
  const shown = from.slice(0, MOST_YEARS);
  return {
    caption: "What grew and is planned, with the break before each host crop",
    heads: ["Field", ...shown.map(String)],
    rows: fields.map((field) => [field.name, ...shown.map((year) => cropCell(field, year))]),
  };
}

function cropCell({ history }: SeasonField, year: number): Child {
  const crops = history.crops.filter((crop) => crop.year === year);
  if (crops.length === 0) return "not recorded";
  const host = hostYears(history).find(({ crop }) => crop.year === year);
  const rest = host?.rest;
  const before = rest && element("span", { class: "break" }, `after ${plural(rest.years, "year")} without a host`);
  return [crops.map((crop, i) => [i > 0 && ", ", cropWords(crop)]), before];
}

function cropWords({ facts, isHost, isHostYear }: FieldCrop): Child {
  const { crop = "not recorded", resistance, volunteers } = facts;
  const rating = resistance?.rating === undefined ? "" : ` (${resistance.rating})`;
  if (isHost) return element("span", { class: "host" }, `${crop}${rating}, host`);
  return isHostYear && volunteers === "present" ? `${crop}, with host volunteers` : crop;
}

/** What the region asks, and how the fields keep to it. */
export function breakSentences({ fields, view }: SeasonFacts): string[] {
  const { break_years: plain, break_years_after_find: afterFind } = view.book.region.rotation ?? {};
  const sentences: string[] = [];
  if (plain !== undefined)
    sentences.push(
      `The region asks for ${plural(plain, "year")} without a host between two host crops${afterFind === undefined ? "" : `, and ${afterFind} where clubroot was found`}.`,
    );
  for (const { name, history } of fields) {
    const asked = history.confirmed ? (afterFind ?? plain) : plain;
    if (asked === undefined) continue;
    for (const { crop, rest } of hostYears(history)) {
      if (!rest || rest.years >= asked || (view.book.seasonYear !== undefined && crop.year < view.book.seasonYear))
        continue;
      const unknown = rest.missing.length === 0 ? "" : ` (nothing is recorded of ${yearsInWords(rest.missing)})`;
      const is = isGrown(crop, view.book) ? "came" : "is planned";
      sentences.push(
        `On ${name} the ${crop.facts.crop ?? "host crop"} of ${crop.year} ${is} after ${plural(rest.years, "year")} without a host${unknown}, where ${asked} ${asked === 1 ? "is" : "are"} asked.`,
      );
    }
  }
  return sentences;
}
