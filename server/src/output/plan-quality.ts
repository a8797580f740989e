import { plural } from "../base/words.ts";
import type { SeasonPlan } from "../planning/season-plan.ts";
import { kilometres } from "./plan-words.ts";

/** How far a plan is from what no plan can do better than; a share from 0 to 1, undefined where nothing is driven. */
export function drivingGap({ solved: { cost, bound } }: SeasonPlan): number | undefined {
  return cost.metres > 0 ? (cost.metres - bound.metres) / cost.metres : undefined;
}

/** Sentences on how good the plan is. */
export function qualityInWords(plan: SeasonPlan): string[] {
  const { method, cost, bound } = plan.solved;
  const driven = `${kilometres(cost.metres)} of driving`;
  if (method === "exact")
    return [
      `This is the best plan there is: of all that keep to the rules none misses fewer windows, and of those none walks more fields, and of those none drives less (${driven}). Every order on every day was weighed.`,
    ];
  const sentences = [
    "There are too many fields to weigh every order on every day, so this is a good plan found by a search, not surely the best (large neighbourhood search).",
  ];
  const out = cost.missed + cost.left;
  if (cost.missed > 0)
    sentences.push(`It misses ${plural(cost.missed, "window")}; no plan misses fewer than ${bound.missed}.`);
  if (out > 0) sentences.push(`It leaves out ${plural(out, "field")}; no plan leaves out fewer than ${bound.leftOut}.`);
  const gap = drivingGap(plan);
  if (bound.metres === 0 && gap !== undefined)
    sentences.push(`It has ${driven}; for so many fields it was not worked out how much of that could be saved.`);
  else if (gap !== undefined)
    sentences.push(
      `It has ${driven}; no plan that walks as many fields has less than ${kilometres(bound.metres)}, so at most ${Math.ceil(gap * 100)} % could be saved.`,
    );
  return sentences;
}
