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
 * `compareChains` settles, for the reason given there.
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
import { compareChains, compareLoads, startOfChain, type ChainEnd, type Load } from "./chain-order.ts";
import { FieldSequences } from "./field-sequences.ts";
import { LATEST, NEVER } from "./minutes.ts";
import { eventsInOrder, type DirectedTimeline, type SoilTimeline } from "./soil-timeline.ts";

/** Soil that is on a field, or on board a carrier, from a moment on; times as in the directed timeline. */
export type SoilSource =
  { readonly since: number; readonly field: number } | { readonly since: number; readonly stretch: number };

export interface Spread {
  /** By field: the first arrival by any chain. Says nothing of a field without one. */
  readonly firstArrival: Int32Array;
  /** By field: the chain with the fewest carriages, of those the first to arrive, of those the first by `compareChains`. */
  readonly fewestCarriages: readonly (ChainEnd | undefined)[];
}

export function spread(timeline: SoilTimeline, directed: DirectedTimeline, sources: readonly SoilSource[]): Spread {
  const loaded = sources.flatMap((source) => ("stretch" in source && source.stretch >= 0 ? [source.stretch] : []));
  const events = loaded.length === 0 ? directed.events : eventsInOrder(directed, loaded);
  const sweep = new Sweep(timeline, directed, events);
  const waiting = [...sources].sort((a, b) => a.since - b.since);
  for (const [i, source] of waiting.entries()) {
    sweep.plant(source);
    sweep.run(source.since, waiting[i + 1]?.since ?? Infinity);
  }
  return sweep;
}

class Sweep implements Spread {
  readonly firstArrival: Int32Array;
  readonly fewestCarriages: (ChainEnd | undefined)[];
  readonly #timeline: SoilTimeline;
  readonly #directed: DirectedTimeline;
  readonly #stayCount: number;
  readonly #sequences: FieldSequences;
  /** By field: the chain that a departure from it takes along. */
  readonly #best: (ChainEnd | undefined)[];
  /** By stretch: the best load on board. */
  readonly #load: (Load | undefined)[];
  /** Within a minute, lists: the first departure from a field, the first arrival of a stretch, and the next of each event. */
  readonly #departures: Int32Array;
  readonly #arrivals: Int32Array;
  readonly #next: Int32Array;
  /** By field: when it was last left. */
  readonly #lastLeft: Int32Array;
  readonly #events: Uint32Array;
  /** How many of the events have been dealt with. */
  #done = 0;

  constructor(timeline: SoilTimeline, directed: DirectedTimeline, events: Uint32Array) {
    const fieldCount = timeline.fieldIds.length;
    this.#timeline = timeline;
    this.#directed = directed;
    this.#events = events;
    this.#stayCount = timeline.stayCount;
    this.#sequences = new FieldSequences(fieldCount);
    this.firstArrival = new Int32Array(fieldCount).fill(LATEST);
    this.fewestCarriages = new Array<ChainEnd | undefined>(fieldCount).fill(undefined);
    this.#best = new Array<ChainEnd | undefined>(fieldCount).fill(undefined);
    this.#load = new Array<Load | undefined>(timeline.stretchCount).fill(undefined);
    this.#departures = new Int32Array(fieldCount).fill(-1);
    this.#arrivals = new Int32Array(timeline.stretchCount).fill(-1);
    this.#next = new Int32Array(2 * this.#stayCount);
    this.#lastLeft = new Int32Array(fieldCount).fill(NEVER);
  }

  plant(source: SoilSource): void {
    const sequences = this.#sequences;
    if ("field" in source) {
      this.#best[source.field] = startOfChain(sequences.extend(sequences.empty, source.field));
    } else if (source.stretch >= 0) {
      const chain = startOfChain(sequences.extend(sequences.empty, -1));
      const load = { chain, field: -1, stayLeft: -1, left: source.since, loss: 0 };
      this.#bring(source.stretch, load);
    }
  }

  /** Deals with the events from one moment to before another; those that were earlier are passed over. */
  run(since: number, before: number): void {
    let done = this.#done;
    while (done < this.#events.length && this.#timeOf(done) < since) done++;
    while (done < this.#events.length && this.#timeOf(done) < before) done = this.#settleMinute(done);
    this.#done = done;
  }

  /** Deals with all events of the minute of one of them, its first, and gives the first of the next. */
  #settleMinute(first: number): number {
    const { fieldOf } = this.#timeline;
    const minute = this.#timeOf(first);
    // Seldom is a field both left and reached within one minute, so that soil may go through it.
    let passesThrough = false;
    let end = first;
    for (; end < this.#events.length && this.#timeOf(end) === minute; end++) {
      const event = this.#events[end]!;
      if (event < this.#stayCount) this.#lastLeft[fieldOf[event]!] = minute;
      else if (this.#lastLeft[fieldOf[event - this.#stayCount]!] === minute) passesThrough = true;
    }
    if (passesThrough) this.#settleTogether(first, end);
    else for (let i = first; i < end; i++) this.#settle(this.#events[i]!);
    return end;
  }

  #timeOf(index: number): number {
    const event = this.#events[index]!;
    const stays = this.#stayCount;
    return event < stays ? this.#directed.departure[event]! : this.#directed.arrival[event - stays]!;
  }

  #settle(event: number): void {
    if (event < this.#stayCount) this.#depart(event);
    else this.#arrive(event - this.#stayCount);
  }

  #settleTogether(first: number, end: number): void {
    const { fieldOf } = this.#timeline;
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
      const load = this.#load[stretch];
      if (load) known.push({ carriages: load.chain.carriages, stretch });
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
    const field = this.#timeline.fieldOf[stay]!;
    const chain = this.#best[field];
    if (!chain) return false;
    return this.#bring(this.#directed.departureStretch[stay]!, {
      chain,
      field,
      stayLeft: stay,
      left: this.#directed.departure[stay]!,
      loss: chain.loss - this.#directed.departureLoss[stay]!,
    });
  }

  #bring(stretch: number, load: Load): boolean {
    const best = this.#load[stretch];
    if (best && compareLoads(this.#sequences, load, best) >= 0) return false;
    this.#load[stretch] = load;
    return true;
  }

  /** A carrier arrives on a field with what it has on board; true when the field has a better chain for it. */
  #arrive(stay: number): boolean {
    const field = this.#timeline.fieldOf[stay]!;
    const load = this.#load[this.#directed.arrivalStretch[stay]!];
    if (!load || load.field === field) return false;
    const arrived = this.#directed.arrival[stay]!;
    if (arrived < this.firstArrival[field]!) this.firstArrival[field] = arrived;
    const kept = this.#best[field];
    const carriages = load.chain.carriages + 1;
    if (kept && kept.carriages < carriages) return false;

    const chain: ChainEnd = {
      before: load.chain,
      fields: this.#sequences.extend(load.chain.fields, field),
      carriages,
      loss: load.loss + this.#directed.arrivalLoss[stay]!,
      carrier: this.#timeline.carrierOf[stay]!,
      arrived,
      stayLeft: load.stayLeft,
      stayArrived: stay,
    };
    const reported = this.fewestCarriages[field];
    if (
      !reported ||
      carriages < reported.carriages ||
      (arrived === reported.arrived && this.#compare(chain, reported) < 0)
    ) {
      this.fewestCarriages[field] = chain;
    }
    if (kept && this.#compare(chain, kept) >= 0) return false;
    this.#best[field] = chain;
    return true;
  }

  #compare(a: ChainEnd, b: ChainEnd): number {
    return compareChains(this.#sequences, a, b);
  }
}

function link(heads: Int32Array, next: Int32Array, head: number, event: number, seen: number[]): void {
  const first = heads[head]!;
  if (first < 0) seen.push(head);
  next[event] = first;
  heads[head] = event;
}
