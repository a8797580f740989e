/**
 * Mixing a disinfectant.
 *
 * Source: CDC, Best Practices for Environmental Cleaning, appendix E: parts of water to one part of stock =
 * stock % / wanted % − 1; powder in g/L = wanted % / powder % · 1000.
 *
 * Strengths are percent of the active ingredient (available chlorine, for bleach), 0 to 100; volumes in litres or,
 * where the name says so, millilitres.
 */
import { amountProblem, calculated, cannot, firstProblem, numberText, type Calculated } from "./calculated.ts";

/** The strength that a stock gives in so much water, in percent. No stock in some water: 0. Error: nothing mixed. */
export function strengthFromVolumes(
  stockPercent: number,
  stockLitres: number,
  waterLitres: number,
): Calculated<number> {
  const problem = firstProblem(
    strengthProblem("strength of the stock", stockPercent),
    amountProblem("amount of stock", stockLitres, true),
    amountProblem("amount of water", waterLitres, true),
  );
  if (problem !== undefined) return cannot(problem);
  // Shares of the larger, so that amounts near the largest number there is do not overflow.
  const larger = Math.max(stockLitres, waterLitres);
  if (larger === 0) return cannot("There is neither stock nor water in the mix.");
  return calculated((stockPercent * (stockLitres / larger)) / (stockLitres / larger + waterLitres / larger));
}

export interface Mix {
  readonly stockMl: number;
  readonly waterMl: number;
  /** Parts of water to one part of stock. */
  readonly partsWater: number;
}

/** How much stock and water make `litres` of a wanted strength. Error: a strength above the stock's. */
export function mixFor(stockPercent: number, wantedPercent: number, litres: number): Calculated<Mix> {
  const problem = firstProblem(
    strengthProblem("strength of the stock", stockPercent),
    strengthProblem("wanted strength", wantedPercent),
    amountProblem("amount to mix", litres),
    tooWeak("stock", stockPercent, wantedPercent),
  );
  if (problem !== undefined) return cannot(problem);
  const stockMl = (wantedPercent / stockPercent) * litres * 1000;
  const partsWater = stockPercent / wantedPercent - 1;
  const waterMl = litres * 1000 - stockMl;
  if (!Number.isFinite(stockMl + waterMl + partsWater)) return cannot("The amount to mix is too large to work out.");
  return calculated({ stockMl, waterMl, partsWater });
}

/** Grams of powder for a wanted strength: in each litre, and in `litres` of mix. Error: a strength above the powder's. */
export function powderFor(
  powderPercent: number,
  wantedPercent: number,
  litres: number,
): Calculated<{ gramsPerLitre: number; grams: number }> {
  const problem = firstProblem(
    strengthProblem("strength of the powder", powderPercent),
    strengthProblem("wanted strength", wantedPercent),
    amountProblem("amount to mix", litres),
    tooWeak("powder", powderPercent, wantedPercent),
  );
  if (problem !== undefined) return cannot(problem);
  const gramsPerLitre = (wantedPercent / powderPercent) * 1000;
  const grams = gramsPerLitre * litres;
  if (!Number.isFinite(grams)) return cannot("The amount to mix is too large to work out.");
  return calculated({ gramsPerLitre, grams });
}

export interface Caution {
  readonly text: string;
  readonly source: string;
}

const CDC = "CDC, Best Practices for Environmental Cleaning, appendix E";
const CCOHS = "Canadian Centre for Occupational Health and Safety";

/**
 * What stands beside every mix of bleach. The product's label and local rules come before all of it.
 * `discardAfterHours`: the region's figure for how long a mix keeps; left out, the label is to say.
 */
export function mixingCautions(discardAfterHours: number | undefined): readonly Caution[] {
  const keeps =
    discardAfterHours !== undefined && discardAfterHours > 0 && Number.isFinite(discardAfterHours)
      ? `A diluted mix is discarded after ${numberText(discardAfterHours)} hours.`
      : "A diluted mix loses strength: discard it when its label says.";
  return [
    { text: "Follow the product's label and local rules; where they differ from this, they hold.", source: CDC },
    { text: "Never mix bleach with acids or ammonia: the gas is toxic.", source: `${CDC}; ${CCOHS}` },
    {
      text: "Bleach is corrosive to skin, eyes and metal: wear gloves and eye protection.",
      source: `${CDC}; ${CCOHS}`,
    },
    { text: "Pour the bleach into the water, not the water into the bleach.", source: CDC },
    { text: "Label the container with what is in it, how strong it is and when it was mixed.", source: CDC },
    { text: keeps, source: CDC },
  ];
}

function strengthProblem(name: string, percent: number): string | undefined {
  if (percent > 0 && percent <= 100) return undefined;
  return `The ${name} must be above 0 % and at most 100 %, not ${numberText(percent)} %.`;
}

function tooWeak(what: string, percent: number, wantedPercent: number): string | undefined {
  if (!(wantedPercent > percent)) return undefined;
  return (
    `A ${what} of ${numberText(percent)} % cannot make a mix of ${numberText(wantedPercent)} %; ` +
    `take a stronger ${what}, or ask for ${numberText(percent)} % or less.`
  );
}
