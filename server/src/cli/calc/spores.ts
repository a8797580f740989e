import { numberText, percentText } from "../../agronomy/calculated.ts";
import { sporesFormula, yearsUntilLevelFormula } from "../../agronomy/spores-formula.ts";
import {
  shareOfSporesLeft,
  sporeBand,
  sporeBands,
  sporesAfter,
  sporesByYear,
  yearsUntilLevel,
  type SporeBand,
  type SporeDecline,
} from "../../agronomy/spores.ts";
import { sporeDecline, SPORE_MODEL_PATHS, SPORE_MODELS, type SporeModel } from "../../book/spore-decline.ts";
import { CommandFailure } from "../failure.ts";
import type { Calculation } from "./calculation.ts";
import { numberOf, valueOf, type CalcInput } from "./input.ts";
import type { RegionFigures } from "./region-figures.ts";

export const spores: Calculation = {
  name: "spores",
  usage: "SPORES_PER_GRAM --years N",
  summary: "how resting spores decline without a host",
  help:
    "The spores left in a gram of soil after years without a host, the region's band they fall in, and the years until the lab\n" +
    "would no longer find them. The decline is a single half-life or fast at first and then slow: the sources disagree.",
  examples: [
    "spadework calc spores 100000 --years 4",
    'spadework calc spores 100000 --years 4 --model "fast then slow"',
    "spadework calc spores 100000 --years 17.3 --half-life 3.6",
  ],
  options: {
    years: { type: "string", value: "N", help: "years without a host" },
    model: { type: "string", value: "NAME", help: "how they decline", choices: SPORE_MODELS },
    "half-life": { type: "string", value: "YEARS", help: "the half-life of a single one" },
    limit: { type: "string", value: "N", help: "the lab's detection limit, in spores per gram" },
  },
  answer(input, region) {
    const [text, ...more] = input.positionals;
    if (text === undefined || more.length > 0) {
      throw new CommandFailure("calc spores takes one count of spores per gram of soil, such as 100000");
    }
    const count = numberOf(text, "the count of spores");
    const years = input.number("years");
    if (years === undefined) throw new CommandFailure("say how many years without a host, such as --years 4");
    const { model, decline, sources } = declineOf(input, region);
    const limit =
      input.number("limit") ??
      region.need("spores.detection_limit_per_g", "limit", (pack) => pack.spores?.detection_limit_per_g);
    const left = valueOf(sporesAfter(count, decline, years));
    const until = yearsUntilLevel(count, limit, decline);
    const found = left >= limit && left > 0;
    const band = bandOf(left, region);
    const byYear = sporesByYear(count, decline, Math.floor(years), limit);
    const formulas = [sporesFormula(count, decline, years, left, sources)];
    if (until.ok && until.value > 0) formulas.push(yearsUntilLevelFormula(count, limit, decline, until.value, sources));
    return {
      says: [
        `${roughly(left)} spores per gram are left of ${numberText(count)} after ${numberText(years)} years without a host ` +
          `(${model})${band ? `, in the band ${band.name}` : ""}.`,
        found
          ? `A lab that finds ${numberText(limit)} or more would find them${until.ok ? `, until ${numberText(until.value, 3)} years have passed` : ""}.`
          : `That is below what the lab finds, ${numberText(limit)} spores per gram: a clean result would prove little.`,
      ],
      formulas,
      values: {
        spores_per_g: left,
        share_left: valueOf(shareOfSporesLeft(decline, years)),
        detectable: found,
        years_until_undetected: until.ok ? until.value : null,
        band_per_g: band ? { above: band.abovePerG ?? null, up_to: band.upToPerG ?? null } : null,
        by_year: byYear.ok
          ? byYear.value.map((one) => ({ year: one.year, spores_per_g: one.sporesPerG, detectable: one.detectable }))
          : null,
        model,
        inputs: { spores_per_g: count, years, detection_limit_per_g: limit, decline },
      },
      notes: [`${percentText(valueOf(shareOfSporesLeft(decline, years)))} of the spores are left by this model.`],
    };
  },
};

/** A model of years is no better than three digits; the formula below shows them all. */
function roughly(sporesPerG: number): string {
  const rounded = Number(sporesPerG.toPrecision(3));
  return `${rounded === sporesPerG ? "" : "About "}${numberText(rounded)}`;
}

interface NamedDecline {
  readonly model: SporeModel;
  readonly decline: SporeDecline;
  readonly sources: readonly string[];
}

function declineOf(input: CalcInput, region: RegionFigures): NamedDecline {
  const given = input.number("half-life");
  if (given !== undefined) {
    if (input.text("model") === "fast then slow") {
      throw new CommandFailure("--half-life is of a single one; leave it out for the model fast then slow");
    }
    return {
      model: "exponential",
      decline: { kind: "half-life", halfLifeYears: given },
      sources: ["the half-life given"],
    };
  }
  const model =
    (input.text("model") as SporeModel | undefined) ??
    region.need("spores.model", "model", (pack) => pack.spores?.model);
  const path = SPORE_MODEL_PATHS[model];
  region.need(path, "half-life", (pack) =>
    model === "exponential" ? pack.spores?.half_life_years : pack.spores?.fast_slow,
  );
  const decline = sporeDecline(model, region.pack.spores);
  if (!decline) throw new CommandFailure(`the region ${region.name} does not give all of ${path}; give --half-life`);
  return { model, decline, sources: [region.sourceOf(path) ?? "no source given"] };
}

function bandOf(sporesPerG: number, region: RegionFigures): SporeBand | undefined {
  const limits = region.find("spores.bands_per_g", (pack) => pack.spores?.bands_per_g);
  const band = sporeBand(sporesPerG, sporeBands(limits ?? []));
  return band.ok ? band.value : undefined;
}
