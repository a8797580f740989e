import { plantsNeeded } from "../agronomy/plants.ts";
import type { Book } from "./book.ts";

/** How sure the book's scouting is to be; shares from 0 to 1. */
export interface SamplingGoal {
  readonly confidence: number;
  readonly designIncidence: number;
  /** The chance that an infected plant is seen to be so once its roots are dug. */
  readonly rootSensitivity: number;
  /** Plants to dig on a field, taken for one of very many plants. */
  readonly plants: number;
}

/** The goal by the book's own figures, over the region's; undefined where one is missing or none of them can be met. */
export function samplingGoal(book: Book): SamplingGoal | undefined {
  const own = book.season.sampling ?? {};
  const region = book.region.sampling ?? {};
  const confidence = own.confidence ?? region.confidence;
  const designIncidence = own.design_incidence ?? region.design_incidence;
  const rootSensitivity = own.root_sensitivity ?? region.root_sensitivity;
  if (confidence === undefined || designIncidence === undefined || rootSensitivity === undefined) return undefined;
  const needed = plantsNeeded({ incidence: designIncidence, sensitivity: rootSensitivity }, confidence);
  return needed.ok ? { confidence, designIncidence, rootSensitivity, plants: needed.value.plants } : undefined;
}
