import type { FieldSequences } from "./field-sequences.ts";

/** A chain of carriages that ends on a field, as the sweep keeps it: its last carriage and the chain before that. */
export interface ChainEnd {
  readonly before: ChainEnd | undefined;
  /** The fields it runs through, see `FieldSequences`. */
  readonly fields: number;
  readonly carriages: number;
  /** Soil lost on the way, see `soilLoss`. */
  readonly loss: number;
  readonly carrier: number;
  readonly arrived: number;
  /** The stays of the last carriage; -1 where a carrier's own load is followed rather than a field's soil. */
  readonly stayLeft: number;
  readonly stayArrived: number;
}

/** Soil on board a carrier since it left a field at the end of a chain, as the sweep keeps it. */
export interface Load {
  readonly chain: ChainEnd;
  readonly field: number;
  readonly stayLeft: number;
  readonly left: number;
  /** What the loss would be were nothing taken off before `left`; loads of one carrier compare by it at any time. */
  readonly loss: number;
}

/** A chain with no carriage yet: soil that is where it is followed from. */
export function startOfChain(fields: number): ChainEnd {
  const none = { carrier: -1, arrived: 0, stayLeft: -1, stayArrived: -1 };
  return { before: undefined, fields, carriages: 0, loss: 0, ...none };
}

/**
 * Which of two chains that end on the same field is followed further: fewest carriages; the field ids in order; least soil
 * lost; and then, from the last carriage back, the carrier id, the earlier arrival, the later departure, and the places of
 * the two stays. Since a carrier that arrives twice in one minute brings the same load both times, chains whose last
 * carriages agree in carrier and arrival agree in all before it, so that the last carriage is enough to look at.
 *
 * Whatever is added to both keeps their order, which is what lets the sweep forget the worse one: a chain that is reported
 * is made of a chain that was kept at each of its fields.
 */
export function compareChains(sequences: FieldSequences, a: ChainEnd, b: ChainEnd): number {
  return (
    a.carriages - b.carriages ||
    sequences.compare(a.fields, b.fields) ||
    a.loss - b.loss ||
    a.carrier - b.carrier ||
    a.arrived - b.arrived ||
    a.stayArrived - b.stayArrived
  );
}

/**
 * Which of two loads of the same carrier makes the better chain, wherever the carrier goes next. Loads that left together
 * are of one chain, so that there is nothing more to compare.
 */
export function compareLoads(sequences: FieldSequences, a: Load, b: Load): number {
  return (
    a.chain.carriages - b.chain.carriages ||
    sequences.compare(a.chain.fields, b.chain.fields) ||
    a.loss - b.loss ||
    b.left - a.left ||
    a.stayLeft - b.stayLeft
  );
}
