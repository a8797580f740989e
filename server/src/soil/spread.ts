/**
 * Where soil may go in time: one sweep over all departures and arrivals that can be part of a carriage.
 *
 * A field keeps the best chain that has reached it so far; a stretch of a carrier (its time between two full clean-downs,
 * see `soil-timeline.ts`) keeps the best load it has on board. In order of time, a departure puts its field's chain on board,
 * and an arrival offers the field what is on board, one carriage longer. What has left the carrier at a full clean-down is in
 * another stretch and is never asked for.
 *
 * Why one chain a field and one load a stretch are enough. Let d(arrival) be the fewest carriages of any chain that ends with
 * it. A chain that leaves a field at minute t may use any arrival there up to t, so d(arrival) is one more than the smallest d
 * among the arrivals, up to t, at a field that a load on board left at t; a sweep in order of time has seen exactly those. A
 * chain with more carriages that arrives earlier serves only departures that the later arrival misses, and those were dealt
 * with while the earlier was still the best: the running best passes through all of the trade-off between few carriages and
 * early arrival. Where the best load is from the very field that is arrived on, no other load could give that field anything:
 * soil has been there before, by a chain no longer than the others on board. Among chains with as few carriages,
 * `ChainOrder` settles, for the reason given there.
 *
 * Within one minute soil may go through many fields, since a carrier that leaves at t may arrive at t. Where a field is both
 * left and reached, the minute's events are settled by the number of carriages, fewest first, as in a breadth-first search: a
 * field's departures are looked at when no chain with as few or fewer carriages can still arrive, a stretch's arrivals when a
 * load with that many is on board. A field is settled once a minute and a stretch at most twice (a load brought along, and a
 * new one).
 *
 * Bound, for n stays, m clean-downs and chains of at most k carriages: O((n + m) log(n + m)) to sort, then O(n log k) for
 * the sweep, whatever the number of sources; never a pair of visits at a time. Memory O(n + m).
 */
import { ChainOrder, startOfChain, type ChainEnd } from "./chain-order.ts";
import { FieldSequences } from "./field-sequences.ts";
import { LATEST, NEVER } from "./minutes.ts";
import { eventsInOrder, type DirectedTimeline, type SoilTimeline } from "./soil-timeline.ts";

/** Soil that is on a field, or on board a carrier, from a moment on; times as in the directed timeline. */
export type SoilSource =
  { readonly since: number; readonly field: number } | { readonly since: number; readonly stretch: number };

export interface Spread {
  /** By field: the first arrival by any chain. Says nothing of a field without one. */
  readonly firstArrival: Int32Array;
  /** By field: the chain with the fewest carriages, of those the first to arrive, of those the first by `ChainOrder`. */
  readonly fewestCarriages: readonly (ChainEnd | undefined)[];
}

export function spread(timeline: SoilTimeline, directed: DirectedTimeline, sources: readonly SoilSource[]): Spread {
  const loaded = sources.flatMap((source) => ("stretch" in source && source.stretch >= 0 ? [source.stretch] : []));
  const events = loaded.length === 0 ? directed.events : eventsInOrder(directed, loaded);
  const sweep = new Sweep(timeline, directed, events);
  sweep.run([...sources].sort((a, b) => a.since - b.since));
  return sweep;
}

class Sweep implements Spread {
  readonly firstArrival: Int32Array;
  readonly fewestCarriages: (ChainEnd | undefined)[];
  readonly #timeline: SoilTimeline;
  readonly #directed: DirectedTimeline;
  readonly #fieldOf: Int32Array;
  readonly #stayCount: number;
  readonly #sequences: FieldSequences;
  readonly #order: ChainOrder;
  /** By field: the chain that a departure from it takes along. */
  readonly #best: (ChainEnd | undefined)[];
  /** By stretch: the best load on board, as the chain to the field where it was taken up and the stay that left that field. */
  readonly #onBoard: (ChainEnd | undefined)[];
  readonly #stayLeft: Int32Array;
  /** Within a minute, lists: the first departure from a field, the first arrival of a stretch, and the next of each event. */
  readonly #departures: Int32Array;
  readonly #arrivals: Int32Array;
  readonly #next: Int32Array;
  readonly #events: Uint32Array;

  constructor(timeline: SoilTimeline, directed: DirectedTimeline, events: Uint32Array) {
    const fieldCount = timeline.fieldIds.length;
    this.#timeline = timeline;
    this.#directed = directed;
    this.#fieldOf = timeline.fieldOf;
    this.#events = events;
    this.#stayCount = timeline.stayCount;
    this.#sequences = new FieldSequences(fieldCount);
    this.#order = new ChainOrder(this.#sequences, directed, timeline.carrierOf);
    this.firstArrival = new Int32Array(fieldCount).fill(LATEST);
    this.fewestCarriages = new Array<ChainEnd | undefined>(fieldCount).fill(undefined);
    this.#best = new Array<ChainEnd | undefined>(fieldCount).fill(undefined);
    this.#onBoard = new Array<ChainEnd | undefined>(timeline.stretchCount).fill(undefined);
    this.#stayLeft = new Int32Array(timeline.stretchCount).fill(-1);
    this.#departures = new Int32Array(fieldCount).fill(-1);
    this.#arrivals = new Int32Array(timeline.stretchCount).fill(-1);
    this.#next = new Int32Array(2 * this.#stayCount);
  }

  /** Deals with all events in their order. @param sources in order of time */
  run(sources: readonly SoilSource[]): void {
    const count = this.#events.length;
    // Both lists end with what never comes, so that none is looked for behind its end.
    const plantings = [...sources.map(({ since }) => this.#firstEventFrom(since)), count];
    const crowded = [...crowdedMinutes(this.#events, this.#directed, this.#timeline), count];
    let planted = 0;
    let settled = 0;
    for (let i = plantings[0]!; i < count;) {
      while (plantings[planted]! <= i) this.#plant(sources[planted++]!);
      while (crowded[settled]! < i) settled += 2;
      if (crowded[settled] === i) {
        const end = crowded[settled + 1]!;
        this.#settleTogether(i, end);
        i = end;
        continue;
      }
      const event = this.#events[i++]!;
      if (event < this.#stayCount) this.#depart(event);
      else this.#arrive(event - this.#stayCount);
    }
  }

  #firstEventFrom(since: number): number {
    let low = 0;
    let high = this.#events.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (timeOf(this.#events[middle]!, this.#directed) < since) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  #plant(source: SoilSource): void {
    const sequences = this.#sequences;
    if ("field" in source) {
      this.#best[source.field] = startOfChain(sequences.extend(sequences.empty, source.field));
    } else if (source.stretch >= 0) {
      // A carrier's own load has no carriage yet and comes from no field: nothing that is loaded later is better.
      this.#onBoard[source.stretch] = startOfChain(sequences.extend(sequences.empty, -1));
    }
  }

  /** Deals with all events of a minute, from its first to before `end`. */
  #settleTogether(first: number, end: number): void {
    const fieldOf = this.#fieldOf;
    const { departureStretch, arrivalStretch } = this.#directed;
    const stays = this.#stayCount;
    const fieldsSeen: number[] = [];
    const stretchesSeen: number[] = [];
    for (const event of this.#events.subarray(first, end)) {
      if (event < stays) link(this.#departures, this.#next, fieldOf[event]!, event, fieldsSeen);
      else link(this.#arrivals, this.#next, arrivalStretch[event - stays]!, event, stretchesSeen);
    }

    const known: { carriages: number; field?: number; stretch?: number }[] = [];
    for (const field of fieldsSeen) {
      const chain = this.#best[field];
      if (chain) known.push({ carriages: chain.carriages, field });
    }
    for (const stretch of stretchesSeen) {
      const chain = this.#onBoard[stretch];
      if (chain) known.push({ carriages: chain.carriages, stretch });
    }
    known.sort((a, b) => a.carriages - b.carriages);

    let reached = new Set<number>();
    let carriages = -1;
    for (let i = 0; i < known.length || reached.size > 0;) {
      carriages = reached.size > 0 ? carriages + 1 : known[i]!.carriages;
      const fields = reached;
      const stretches = new Set<number>();
      for (; i < known.length && known[i]!.carriages === carriages; i++) {
        const { field, stretch } = known[i]!;
        if (field !== undefined) fields.add(field);
        if (stretch !== undefined) stretches.add(stretch);
      }
      for (const field of fields) {
        if (this.#best[field]!.carriages !== carriages) continue;
        for (let stay = this.#departures[field]!; stay >= 0; stay = this.#next[stay]!) {
          const stretch = departureStretch[stay]!;
          if (this.#depart(stay) && this.#arrivals[stretch]! >= 0) stretches.add(stretch);
        }
      }
      reached = new Set();
      for (const stretch of stretches) {
        for (let event = this.#arrivals[stretch]!; event >= 0; event = this.#next[event]!) {
          const field = fieldOf[event - stays]!;
          if (this.#arrive(event - stays) && this.#departures[field]! >= 0) reached.add(field);
        }
      }
    }
    for (const field of fieldsSeen) this.#departures[field] = -1;
    for (const stretch of stretchesSeen) this.#arrivals[stretch] = -1;
  }

  /** A carrier leaves a field with the soil that has reached it; true when that changes what the carrier has on board. */
  #depart(stay: number): boolean {
    const chain = this.#best[this.#fieldOf[stay]!];
    if (!chain) return false;
    const stretch = this.#directed.departureStretch[stay]!;
    const onBoard = this.#onBoard[stretch];
    if (onBoard && this.#order.compareLoads(chain, stay, onBoard, this.#stayLeft[stretch]!) >= 0) return false;
    this.#onBoard[stretch] = chain;
    this.#stayLeft[stretch] = stay;
    return true;
  }

  /** A carrier arrives on a field with what it has on board; true when the field has a better chain for it. */
  #arrive(stay: number): boolean {
    const { arrival, arrivalStretch, arrivalLoss } = this.#directed;
    const stretch = arrivalStretch[stay]!;
    const before = this.#onBoard[stretch];
    if (!before) return false;
    const field = this.#fieldOf[stay]!;
    const stayLeft = this.#stayLeft[stretch]!;
    if (stayLeft >= 0 && this.#fieldOf[stayLeft] === field) return false;
    if (arrival[stay]! < this.firstArrival[field]!) this.firstArrival[field] = arrival[stay]!;
    const kept = this.#best[field];
    if (kept && kept.carriages <= before.carriages) return false;

    const order = this.#order;
    const loss = order.lossOnBoard(before, stayLeft) + arrivalLoss[stay]!;
    const reported = this.fewestCarriages[field];
    const isReported =
      !reported ||
      before.carriages + 1 < reported.carriages ||
      (arrival[stay] === arrival[reported.stayArrived] && order.compareArrivals(before, loss, stay, reported) < 0);
    const isKept = !kept || order.compareArrivals(before, loss, stay, kept) < 0;
    if (!isReported && !isKept) return false;
    const fields = this.#sequences.extend(before.fields, field);
    const chain = { before, fields, carriages: before.carriages + 1, loss, stayLeft, stayArrived: stay };
    if (isReported) this.fewestCarriages[field] = chain;
    if (isKept) this.#best[field] = chain;
    return isKept;
  }
}

/**
 * The minutes in which a field is both left and reached, so that soil may go through it, each as its first event and the one
 * after its last. There are few of them.
 */
function crowdedMinutes(
  events: Uint32Array,
  directed: DirectedTimeline,
  { fieldOf, fieldIds }: SoilTimeline,
): number[] {
  const lastLeft = new Int32Array(fieldIds.length).fill(NEVER);
  const stays = fieldOf.length;
  const crowded: number[] = [];
  let first = 0;
  let minute = NEVER;
  let isCrowded = false;
  for (let i = 0; i < events.length; i++) {
    const event = events[i]!;
    const time = timeOf(event, directed);
    if (time !== minute) {
      if (isCrowded) crowded.push(first, i);
      first = i;
      minute = time;
      isCrowded = false;
    }
    // Of one minute, all departures come before all arrivals.
    if (event < stays) lastLeft[fieldOf[event]!] = minute;
    else if (lastLeft[fieldOf[event - stays]!] === minute) isCrowded = true;
  }
  if (isCrowded) crowded.push(first, events.length);
  return crowded;
}

function timeOf(event: number, { departure, arrival }: DirectedTimeline): number {
  const stays = departure.length;
  return event < stays ? departure[event]! : arrival[event - stays]!;
}

function link(heads: Int32Array, next: Int32Array, head: number, event: number, seen: number[]): void {
  const first = heads[head]!;
  if (first < 0) seen.push(head);
  next[event] = first;
  heads[head] = event;
}
