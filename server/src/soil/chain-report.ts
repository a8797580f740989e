import type { ChainEnd } from "./chain-order.ts";
import type { Carriage } from "./soil-records.ts";
import type { SoilTimeline } from "./soil-timeline.ts";

interface ChainSummary {
  readonly firstLeg: ChainEnd;
  readonly soilLeft: number;
}

/**
 * Turns the chains of one sweep into what is reported. Chains share their beginnings, and all of them written out may be far
 * more than the records they come from: each carriage and each sum over a chain is worked out once, and a chain is only written out
 * when it is asked for.
 */
export class ChainReport {
  readonly #timeline: SoilTimeline;
  readonly #backward: boolean;
  readonly #carriages = new Map<ChainEnd, Carriage>();
  readonly #summaries = new Map<ChainEnd, ChainSummary>();

  constructor(timeline: SoilTimeline, direction: "forward" | "backward") {
    this.#timeline = timeline;
    this.#backward = direction === "backward";
  }

  /** The carriages of a chain in order of time; a leg that starts from a carrier's own load is not one. */
  chain(end: ChainEnd): Carriage[] {
    const chain: Carriage[] = [];
    for (let at = end; at.before; at = at.before) if (at.stayLeft >= 0) chain.push(this.#carriage(at));
    return this.#backward ? chain : chain.reverse();
  }

  /** A chain's first leg from where the sweep began, and the share of soil left over its carriages, 0 to 1. */
  summary(end: ChainEnd): ChainSummary {
    const unknown: ChainEnd[] = [];
    let at = end;
    for (; at.before && !this.#summaries.has(at); at = at.before) unknown.push(at);
    let summary = this.#summaries.get(at);
    for (const each of unknown.reverse()) {
      const soilLeft = each.stayLeft >= 0 ? this.#carriage(each).soilLeft : 1;
      summary = { firstLeg: summary?.firstLeg ?? each, soilLeft: (summary?.soilLeft ?? 1) * soilLeft };
      this.#summaries.set(each, summary);
    }
    return summary!;
  }

  #carriage(end: ChainEnd): Carriage {
    let carriage = this.#carriages.get(end);
    if (!carriage) {
      // With time running the other way, the carrier "left" where in truth it arrived.
      const [from, to] = this.#backward ? [end.stayArrived, end.stayLeft] : [end.stayLeft, end.stayArrived];
      this.#carriages.set(end, (carriage = this.#timeline.carriage(from, to)));
    }
    return carriage;
  }
}
