import type { FieldSequences } from "./field-sequences.ts";
import type { DirectedTimeline } from "./soil-timeline.ts";

/** A chain of carriages that ends on a field, as the sweep keeps it: its last carriage and the chain before that. */
export interface ChainEnd {
  readonly before: ChainEnd | undefined;
  /** The fields it runs through, see `FieldSequences`. */
  readonly fields: number;
  readonly carriages: number;
  /** Soil lost on the way, see `soilLoss`. */
  readonly loss: number;
  /** The stays of the last carriage; -1 where a carrier's own load is followed rather than a field's soil. */
  readonly stayLeft: number;
  readonly stayArrived: number;
}

/** A chain with no carriage yet: soil that is where it is followed from. */
export function startOfChain(fields: number): ChainEnd {
  return { before: undefined, fields, carriages: 0, loss: 0, stayLeft: -1, stayArrived: -1 };
}

/** The order in which chains are preferred; see its two questions. A chain or load that is preferred comes first. */
export class ChainOrder {
  readonly #sequences: FieldSequences;
  readonly #directed: DirectedTimeline;
  readonly #carrierOf: Int32Array;

  constructor(sequences: FieldSequences, directed: DirectedTimeline, carrierOf: Int32Array) {
    this.#sequences = sequences;
    this.#directed = directed;
    this.#carrierOf = carrierOf;
  }

  /**
   * Which of two chains that end on the same field is followed further: fewest carriages; the field ids in order; least soil
   * lost; and then, from the last carriage back, the carrier id, the earlier arrival, the later departure, and the places of
   * the two stays. Since a carrier that arrives twice in one minute brings the same load both times, chains whose last
   * carriages agree in carrier and arrival agree in all before it, so that the last carriage is enough to look at.
   *
   * Whatever is added to both keeps their order, which is what lets the sweep forget the worse one: a chain that is reported
   * is made of a chain that was kept at each of its fields.
   *
   * @param before the first chain without its last carriage, which ends with the stay `stay` and a loss of `loss` in all
   * @param other the second chain, of at least one carriage
   */
  compareArrivals(before: ChainEnd, loss: number, stay: number, other: ChainEnd): number {
    const otherStay = other.stayArrived;
    const { arrival } = this.#directed;
    return (
      before.carriages + 1 - other.carriages ||
      this.#sequences.compare(before.fields, other.before!.fields) ||
      loss - other.loss ||
      this.#carrierOf[stay]! - this.#carrierOf[otherStay]! ||
      arrival[stay]! - arrival[otherStay]! ||
      stay - otherStay
    );
  }

  /**
   * Which of two loads of the same carrier makes the better chain, wherever the carrier goes next: each the chain by which
   * soil had reached a field, and the stay by which it left it. Loads that left together are of one chain, so that there is
   * nothing more to compare.
   */
  compareLoads(chain: ChainEnd, stay: number, otherChain: ChainEnd, otherStay: number): number {
    const { departure } = this.#directed;
    return (
      chain.carriages - otherChain.carriages ||
      this.#sequences.compare(chain.fields, otherChain.fields) ||
      this.lossOnBoard(chain, stay) - this.lossOnBoard(otherChain, otherStay) ||
      departure[otherStay]! - departure[stay]! ||
      stay - otherStay
    );
  }

  /** What the loss of a load would be were nothing taken off before it left; loads of one carrier compare by it at any time. */
  lossOnBoard(chain: ChainEnd, stay: number): number {
    return stay < 0 ? chain.loss : chain.loss - this.#directed.departureLoss[stay]!;
  }
}
