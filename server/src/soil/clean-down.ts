/** The three steps of a full clean-down, in the order in which they are to be done. */
export const CLEAN_DOWN_STEPS = ["remove soil", "wash", "disinfect"] as const;
const [, , DISINFECT] = CLEAN_DOWN_STEPS;
export type CleanDownStepName = (typeof CLEAN_DOWN_STEPS)[number];

/** One step of a cleaning, as it is recorded. Percent by volume of active ingredient, litres, minutes. */
export interface CleanDownStep {
  readonly step?: string | undefined;
  readonly strength_percent?: number | undefined;
  readonly contact_minutes?: number | undefined;
  readonly stock_percent?: number | undefined;
  readonly stock_l?: number | undefined;
  readonly water_l?: number | undefined;
}

/** What the region asks of a clean-down. A figure that is not given asks for nothing. */
export interface CleaningFigures {
  readonly strength_percent?: number | undefined;
  readonly contact_minutes?: number | undefined;
  /** The share of soil, 0 to 1, that each step leaves on. A step without a figure is taken to remove nothing. */
  readonly soil_left?: object | undefined;
}

/** Why a cleaning is not a full clean-down. `index` counts the cleaning's steps from 0. */
export type CleanDownShortcoming =
  | { readonly why: "step missing"; readonly step: CleanDownStepName }
  | { readonly why: "step out of order"; readonly step: CleanDownStepName; readonly index: number }
  | { readonly why: "strength not recorded"; readonly index: number }
  | {
      readonly why: "too weak";
      readonly index: number;
      readonly strengthPercent: number;
      readonly neededPercent: number;
      /** The strength was not recorded and has been worked out from stock and water. */
      readonly computed: boolean;
    }
  | { readonly why: "contact time not recorded"; readonly index: number }
  | {
      readonly why: "contact too short";
      readonly index: number;
      readonly minutes: number;
      readonly neededMinutes: number;
    };

export interface CleanDownResult {
  /** Nothing that was on the carrier is carried past it. */
  readonly full: boolean;
  /** The share of soil left on the carrier, 0 to 1: 0 after a full clean-down, 1 where nothing was taken off. */
  readonly soilLeft: number;
  /** What a full clean-down lacks, in the order of the steps; empty when it is full. */
  readonly shortcomings: readonly CleanDownShortcoming[];
}

export const FULL_CLEAN_DOWN: CleanDownResult = { full: true, soilLeft: 0, shortcomings: [] };

/** A mix worked out from litres may miss a round figure by a rounding error; that much is not a weak mix. */
const ROUNDING = 1e-9;

/**
 * Whether a cleaning is a full clean-down, and if not, what it leaves and why.
 *
 * Full: the steps contain remove soil, wash and disinfect in that order (others may stand between), and that disinfect
 * step has a strength and a contact time at or above the region's. Otherwise partial: what is left is the product of the
 * region's `soil_left` over all the steps, where a disinfect step without enough strength or contact time leaves all.
 */
export function cleanDown(steps: readonly CleanDownStep[], region: CleaningFigures): CleanDownResult {
  const figures = region.soil_left as Record<string, unknown> | undefined;
  let done = 0;
  let soilLeft = 1;
  for (let index = 0; index < steps.length; index++) {
    const step = steps[index]!;
    const name = step.step;
    const leavesAll =
      name === DISINFECT &&
      !(
        isLongEnough(step.contact_minutes, region) &&
        isStrongEnough(step.strength_percent ?? disinfectStrength(step)?.percent, region)
      );
    if (name === CLEAN_DOWN_STEPS[done]) {
      if (name !== DISINFECT) done++;
      else if (!leavesAll) return FULL_CLEAN_DOWN;
    }
    if (!leavesAll && figures && name !== undefined && Object.hasOwn(figures, name)) {
      const left = figures[name];
      if (typeof left === "number" && left >= 0 && left <= 1) soilLeft *= left;
    }
  }
  return { full: false, soilLeft, shortcomings: shortcomingsOf(steps, region) };
}

/** The strength of a disinfect step in percent: the recorded one, else the one that stock and water make. */
export function disinfectStrength(step: CleanDownStep): { percent: number; computed: boolean } | undefined {
  if (step.strength_percent !== undefined) return { percent: step.strength_percent, computed: false };
  const { stock_percent: stock, stock_l: stockLitres, water_l: waterLitres } = step;
  if (stock === undefined || stockLitres === undefined || waterLitres === undefined) return undefined;
  const litres = stockLitres + waterLitres;
  return litres > 0 ? { percent: (stock * stockLitres) / litres, computed: true } : undefined;
}

function isStrongEnough(percent: number | undefined, { strength_percent: needed }: CleaningFigures): boolean {
  return needed === undefined || (percent !== undefined && percent >= needed * (1 - ROUNDING));
}

function isLongEnough(minutes: number | undefined, { contact_minutes: needed }: CleaningFigures): boolean {
  return needed === undefined || (minutes !== undefined && minutes >= needed);
}

function shortcomingsOf(steps: readonly CleanDownStep[], region: CleaningFigures): CleanDownShortcoming[] {
  const found: CleanDownShortcoming[] = [];
  let reached = -1;
  for (const name of CLEAN_DOWN_STEPS) {
    const last = lastOf(steps, name);
    if (last < 0) {
      found.push({ why: "step missing", step: name });
      continue;
    }
    const first = firstAfter(steps, name, reached);
    if (first < 0) found.push({ why: "step out of order", step: name, index: last });
    if (name === "disinfect") found.push(...weaknessesFrom(steps, first < 0 ? last : first, region));
    if (first >= 0) reached = first;
  }
  return found;
}

/** -1 where there is none. */
function lastOf(steps: readonly CleanDownStep[], name: CleanDownStepName): number {
  let index = steps.length - 1;
  while (index >= 0 && steps[index]!.step !== name) index--;
  return index;
}

function firstAfter(steps: readonly CleanDownStep[], name: CleanDownStepName, after: number): number {
  for (let index = after + 1; index < steps.length; index++) if (steps[index]!.step === name) return index;
  return -1;
}

/** What the disinfect steps from one on lack; nothing where any of them is good. */
function weaknessesFrom(
  steps: readonly CleanDownStep[],
  from: number,
  region: CleaningFigures,
): readonly CleanDownShortcoming[] {
  const found: CleanDownShortcoming[] = [];
  for (let index = from; index < steps.length; index++) {
    if (steps[index]!.step !== "disinfect") continue;
    const lacks = weaknesses(steps[index]!, index, region);
    if (lacks.length === 0) return lacks;
    found.push(...lacks);
  }
  return found;
}

function weaknesses(step: CleanDownStep, index: number, region: CleaningFigures): CleanDownShortcoming[] {
  const found: CleanDownShortcoming[] = [];
  const strength = disinfectStrength(step);
  const { strength_percent: neededPercent, contact_minutes: neededMinutes } = region;
  if (neededPercent !== undefined && !isStrongEnough(strength?.percent, region)) {
    if (!strength) found.push({ why: "strength not recorded", index });
    else {
      const { percent: strengthPercent, computed } = strength;
      found.push({ why: "too weak", index, strengthPercent, neededPercent, computed });
    }
  }
  const minutes = step.contact_minutes;
  if (neededMinutes !== undefined && !isLongEnough(minutes, region)) {
    if (minutes === undefined) found.push({ why: "contact time not recorded", index });
    else found.push({ why: "contact too short", index, minutes, neededMinutes });
  }
  return found;
}
