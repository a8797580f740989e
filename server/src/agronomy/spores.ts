/**
 * How resting spores in the soil decline without a host, and what a count means.
 *
 * Sources: a single half-life after Wallenhammar 1996, Plant Pathol. 45:710–719; a fast loss in the first years that a
 * single half-life cannot give, Peng et al. 2015. Half-lives, shares, bands and detection limits come from the region
 * pack. Counts are spores per gram of soil; times are years.
 */
import {
  amountProblem,
  calculated,
  cannot,
  firstProblem,
  numberText,
  shareProblem,
  type Calculated,
} from "./calculated.ts";

/** How spores decline; half-lives in years. */
export type SporeDecline =
  | { readonly kind: "half-life"; readonly halfLifeYears: number }
  | {
      readonly kind: "fast then slow";
      /** The share of the spores, 0 to 1, that is lost fast. */
      readonly fastShare: number;
      readonly fastHalfLifeYears: number;
      readonly slowHalfLifeYears: number;
    };

/** The share of spores left after so many years without a host, 0 to 1. */
export function shareOfSporesLeft(decline: SporeDecline, years: number): Calculated<number> {
  const problem = firstProblem(declineProblem(decline), amountProblem("number of years", years, true));
  return problem === undefined ? calculated(shareLeft(decline, years)) : cannot(problem);
}

/** Spores per gram after so many years without a host. */
export function sporesAfter(sporesPerG: number, decline: SporeDecline, years: number): Calculated<number> {
  const problem = amountProblem("count of spores", sporesPerG, true);
  if (problem !== undefined) return cannot(problem);
  const share = shareOfSporesLeft(decline, years);
  return share.ok ? calculated(sporesPerG * share.value) : share;
}

/**
 * Years without a host until the count has fallen to a level. Already at or below it: 0.
 * Errors: a level of 0, which a halving never reaches; figures that are not above 0.
 */
export function yearsUntilLevel(sporesPerG: number, level: number, decline: SporeDecline): Calculated<number> {
  const problem = firstProblem(
    declineProblem(decline),
    amountProblem("count of spores", sporesPerG, true),
    amountProblem("level to fall to", level),
  );
  if (problem !== undefined) return cannot(problem);
  if (sporesPerG <= level) return calculated(0);
  const halvings = Math.log2(sporesPerG) - Math.log2(level);
  if (decline.kind === "half-life") return finiteYears(halvings * decline.halfLifeYears);
  // The two together fall at least as fast as the slower of them.
  let [above, below] = [0, halvings * Math.max(decline.fastHalfLifeYears, decline.slowHalfLifeYears)];
  for (;;) {
    const middle = (above + below) / 2;
    if (!(middle > above && middle < below)) return finiteYears(below);
    if (sporesPerG * shareLeft(decline, middle) > level) above = middle;
    else below = middle;
  }
}

/** A band of counts with its name; `upToPerG` undefined: no upper end. */
export interface SporeBand {
  /** Undefined: from 0. */
  readonly abovePerG?: number | undefined;
  readonly upToPerG: number | undefined;
  readonly name: string;
}

/** The bands between limits, which rise; above the last there is one without an end. No limits: no bands. */
export function sporeBands(limitsPerG: readonly number[]): SporeBand[] {
  return [...limitsPerG, undefined].slice(limitsPerG.length === 0 ? 1 : 0).map((upToPerG, i) => {
    const abovePerG = limitsPerG[i - 1];
    const above = abovePerG === undefined ? "" : `above ${numberText(abovePerG)}`;
    const upTo = upToPerG === undefined ? "" : `up to ${numberText(upToPerG)}`;
    return { abovePerG, upToPerG, name: [above, upTo].filter((part) => part !== "").join(" ") };
  });
}

/** The first band, in the order given, that holds the count. Error: none does. */
export function sporeBand(sporesPerG: number, bands: readonly SporeBand[]): Calculated<SporeBand> {
  const problem = amountProblem("count of spores", sporesPerG, true);
  if (problem !== undefined) return cannot(problem);
  const band = bands.find((one) => one.upToPerG === undefined || sporesPerG <= one.upToPerG);
  return band === undefined
    ? cannot(`The region has no band for ${numberText(sporesPerG)} spores per gram.`)
    : calculated(band);
}

export interface SporesInYear {
  readonly year: number;
  readonly sporesPerG: number;
  /** At or above the lab's detection limit. */
  readonly detectable: boolean;
}

/** The count at the end of each of the first `years` years (at most 100) without a host, from year 0. */
export function sporesByYear(
  sporesPerG: number,
  decline: SporeDecline,
  years: number,
  detectionLimitPerG: number,
): Calculated<readonly SporesInYear[]> {
  const problem = firstProblem(
    declineProblem(decline),
    amountProblem("count of spores", sporesPerG, true),
    amountProblem("lab's detection limit", detectionLimitPerG, true),
    Number.isInteger(years) && years >= 0 && years <= 100
      ? undefined
      : `The number of years must be a whole number from 0 to 100, not ${numberText(years)}.`,
  );
  if (problem !== undefined) return cannot(problem);
  return calculated(
    Array.from({ length: years + 1 }, (_, year) => {
      const count = sporesPerG * shareLeft(decline, year);
      return { year, sporesPerG: count, detectable: count >= detectionLimitPerG && count > 0 };
    }),
  );
}

function shareLeft(decline: SporeDecline, years: number): number {
  if (decline.kind === "half-life") return Math.pow(0.5, years / decline.halfLifeYears);
  const { fastShare, fastHalfLifeYears, slowHalfLifeYears } = decline;
  return (
    fastShare * Math.pow(0.5, years / fastHalfLifeYears) + (1 - fastShare) * Math.pow(0.5, years / slowHalfLifeYears)
  );
}

function finiteYears(years: number): Calculated<number> {
  return Number.isFinite(years) ? calculated(years) : cannot("At that half-life the spores practically never decline.");
}

function declineProblem(decline: SporeDecline): string | undefined {
  if (decline.kind === "half-life") return amountProblem("half-life of the spores", decline.halfLifeYears);
  return firstProblem(
    shareProblem("share of spores lost fast", decline.fastShare),
    amountProblem("half-life of the spores lost fast", decline.fastHalfLifeYears),
    amountProblem("half-life of the spores lost slowly", decline.slowHalfLifeYears),
  );
}
