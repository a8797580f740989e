/**
 * What the BBCH growth stages of oilseed rape mean, in plain words.
 *
 * Source: BBCH scale of oilseed rape (Lancashire et al. 1991; Meier 2001, BBCH Monograph), 00 to 65 as extension services
 * print it; 66 and later from memory.
 */

const STAGES: Readonly<Record<number, string>> = {
  0: "dry seed",
  1: "seed begins to take up water",
  3: "seed has taken up its water",
  5: "root has come out of the seed",
  7: "shoot has come out of the seed",
  8: "shoot grows to the surface",
  9: "emergence",
  10: "cotyledons unfolded",
  19: "9 or more leaves unfolded",
  20: "no side shoots",
  29: "9 or more side shoots",
  30: "rosette, stem begins to lengthen",
  39: "9 or more joints of the stem visible",
  50: "buds enclosed by leaves",
  51: "buds visible from above (green bud)",
  52: "buds level with the youngest leaves",
  53: "buds above the youngest leaves",
  55: "single buds of the main stem visible, closed",
  57: "single buds of the side shoots visible, closed",
  59: "first petals visible, buds closed (yellow bud)",
  60: "first flowers open",
  65: "full flowering: 50 % of flowers on the main stem open",
  67: "flowering declines, most petals fallen",
  69: "end of flowering",
  79: "nearly all pods at full size",
  80: "ripening begins: seeds green, filling their pods",
  89: "nearly all pods ripe",
  97: "plant dead and dry",
  99: "harvested",
};

const PERIODS: readonly (string | undefined)[] = [
  "germination",
  "leaves unfold",
  "side shoots form",
  "stem lengthens",
  undefined,
  "buds develop",
  "flowering",
  "pods develop",
  "ripening",
  "dying off",
];

export const BBCH_SOURCE =
  "BBCH scale of oilseed rape (Lancashire et al. 1991; Meier 2001); stages from 66 on from memory";

/** A stage from 0 to 99 in words; undefined for a number that is none, or that the scale does not use for the crop. */
export function stageMeaning(stage: number): string | undefined {
  if (!Number.isInteger(stage) || stage < 0 || stage > 99) return undefined;
  const period = Math.floor(stage / 10);
  const step = stage % 10;
  return STAGES[stage] ?? countedStage(period, step) ?? PERIODS[period];
}

/** Stages that count: leaves, side shoots, joints of the stem, and tenths of flowers or pods. */
function countedStage(period: number, step: number): string | undefined {
  if (period === 1) return `${step} ${step === 1 ? "leaf" : "leaves"} unfolded`;
  if (period === 2) return `${step} ${step === 1 ? "side shoot" : "side shoots"}`;
  if (period === 3) return `${step} ${step === 1 ? "joint" : "joints"} of the stem visible`;
  if (period === 6 && step < 5) return `${step}0 % of flowers on the main stem open`;
  if (period === 7 && step > 0) return `${step}0 % of pods at full size`;
  if (period === 8) return `${step}0 % of pods ripe`;
  return undefined;
}
