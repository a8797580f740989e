import type { Carriage, CleanDown, CleaningBetween, Stay } from "../../server/src/soil/soil-records.ts";
import { SoilTimeline } from "../../server/src/soil/soil-timeline.ts";
import type { CarrierLeg } from "../../server/src/soil/soil-trace.ts";

/** A stay as tests write it down: with its carrier, and a number of its visit. */
export interface WrittenStay extends Stay {
  readonly carrier: string;
  readonly visit: number;
}

/** The same of a clean-down. */
export interface WrittenCleanDown {
  readonly carrier: string;
  readonly at: number;
  readonly full: boolean;
  readonly soilLeft: number;
  readonly cleaning: number;
}

/** Stays and clean-downs of any carriers, as a timeline; and back from its places to the numbers they were written with. */
export class WrittenCarriers {
  readonly timeline: SoilTimeline;
  readonly #visits = new Map<string, number[]>();
  readonly #cleanings = new Map<string, number[]>();

  constructor(stays: readonly WrittenStay[], cleanDowns: readonly WrittenCleanDown[] = []) {
    const carriers = new Map<string, { id: string; stays: Stay[]; cleanings: CleanDown[] }>();
    const ofCarrier = (id: string): { stays: Stay[]; cleanings: CleanDown[] } => {
      if (!carriers.has(id)) {
        carriers.set(id, { id, stays: [], cleanings: [] });
        this.#visits.set(id, []);
        this.#cleanings.set(id, []);
      }
      return carriers.get(id)!;
    };
    for (const { carrier, visit, field, arrived, left } of stays) {
      ofCarrier(carrier).stays.push({ field, arrived, left });
      this.#visits.get(carrier)!.push(visit);
    }
    for (const { carrier, cleaning, at, full, soilLeft } of [...cleanDowns].sort((a, b) => a.at - b.at)) {
      ofCarrier(carrier).cleanings.push({ at, result: { full, soilLeft } });
      this.#cleanings.get(carrier)!.push(cleaning);
    }
    this.timeline = new SoilTimeline([...carriers.values()]);
  }

  /** A carriage, with numbers of visits and cleanings in the place of their places. */
  numbered<T extends Carriage>(carriage: T): T {
    const { carrier, visitLeft, visitArrived, cleanings } = carriage;
    const visits = this.#visits.get(carrier)!;
    return {
      ...carriage,
      visitLeft: visits[visitLeft],
      visitArrived: visits[visitArrived],
      cleanings: this.#numberedCleanings(carrier, cleanings),
    };
  }

  numberedLeg(leg: CarrierLeg): CarrierLeg {
    const { carrier, visit, cleanings } = leg;
    return {
      ...leg,
      visit: this.#visits.get(carrier)![visit],
      cleanings: this.#numberedCleanings(carrier, cleanings),
    };
  }

  #numberedCleanings(carrier: string, cleanings: readonly CleaningBetween[]): CleaningBetween[] {
    return cleanings.map((each) => ({ ...each, cleaning: this.#cleanings.get(carrier)![each.cleaning] }));
  }
}
