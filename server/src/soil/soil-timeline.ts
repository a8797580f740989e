import { byCodeUnits } from "../base/code-units.ts";
import { CarrierCleanings } from "./carrier-cleanings.ts";
import { keptMinute, LATEST, NEVER } from "./minutes.ts";
import type { Carriage, Carrier, CleaningBetween, Stay } from "./soil-records.ts";

/**
 * The comings and goings of all carriers in one direction of time. Backward, time runs the other way: a carrier "departs"
 * when in truth it arrived, and times are negative, so that one sweep answers both questions.
 *
 * A stretch is a carrier's time between two full clean-downs: soil goes from a departure to an arrival of the same stretch
 * and never to another's. At the very minute of a full clean-down a carrier is in no stretch (-1).
 */
export interface DirectedTimeline {
  readonly departure: Int32Array;
  readonly arrival: Int32Array;
  readonly departureStretch: Int32Array;
  readonly arrivalStretch: Int32Array;
  /** Soil lost from a departure to an arrival: `arrivalLoss` of the one less `departureLoss` of the other. */
  readonly departureLoss: Float64Array;
  readonly arrivalLoss: Float64Array;
  readonly stretchCount: number;
  /** What can be part of a carriage, see `eventsInOrder`. */
  readonly events: Uint32Array;
}

class TimelineCarriage implements Carriage {
  readonly from: string;
  readonly to: string;
  readonly left: number;
  readonly arrived: number;
  readonly soilLeft: number;
  readonly #cleanDowns: CarrierCleanings;
  #between: readonly CleaningBetween[] | undefined;

  constructor(
    readonly carrier: string,
    from: Stay,
    readonly visitLeft: number,
    to: Stay,
    readonly visitArrived: number,
    cleanDowns: CarrierCleanings,
  ) {
    this.from = from.field;
    this.to = to.field;
    this.left = from.left;
    this.arrived = to.arrived;
    this.soilLeft = cleanDowns.shareLeftBetween(from.left, to.arrived);
    this.#cleanDowns = cleanDowns;
  }

  /** Made when first looked at: a carrier that is cleaned badly for years has long lists of them. */
  get cleanings(): readonly CleaningBetween[] {
    return (this.#between ??= this.#cleanDowns.partialBetween(this.left, this.arrived));
  }
}

/** Carriers made ready for questions: ids turned into numbers in the order of the ids, all stays numbered, times sorted. */
export class SoilTimeline {
  readonly fieldIds: readonly string[];
  readonly carrierIds: readonly string[];
  readonly stayCount: number;
  /** Field and carrier of each stay; those of one carrier follow one another. */
  readonly fieldOf: Int32Array;
  readonly carrierOf: Int32Array;
  /** When each stay began and ended; as `keptMinute` keeps it; `NEVER` where either is no time, and then no soil is carried. */
  readonly arrived: Int32Array;
  readonly left: Int32Array;
  readonly stretchCount: number;
  readonly #carriers: readonly Carrier[];
  readonly #fieldNumbers: ReadonlyMap<string, number>;
  readonly #carrierNumbers: ReadonlyMap<string, number>;
  readonly #cleanings: readonly CarrierCleanings[];
  /** The first stay of each carrier. */
  readonly #firstStay: readonly number[];
  #forward: DirectedTimeline | undefined;
  #backward: DirectedTimeline | undefined;

  constructor(carriers: readonly Carrier[]) {
    const sorted = [...carriers].sort((a, b) => byCodeUnits(a.id, b.id));
    const count = sorted.reduce((sum, { stays }) => sum + stays.length, 0);
    this.#carriers = sorted;
    this.stayCount = count;
    this.fieldOf = new Int32Array(count);
    this.carrierOf = new Int32Array(count);
    this.arrived = new Int32Array(count);
    this.left = new Int32Array(count);
    const seen = new Map<string, number>();
    const firstStay: number[] = [];
    let filled = 0;
    for (const [carrier, { stays }] of sorted.entries()) {
      firstStay.push(filled);
      this.carrierOf.fill(carrier, filled, filled + stays.length);
      this.#fill(stays, filled, seen);
      filled += stays.length;
    }
    this.#firstStay = firstStay;
    this.carrierIds = sorted.map(({ id }) => id);
    this.#carrierNumbers = placesOf(this.carrierIds);
    this.fieldIds = [...seen.keys()].sort(byCodeUnits);
    this.#fieldNumbers = placesOf(this.fieldIds);
    renumber(
      this.fieldOf,
      Int32Array.from(seen.keys(), (id) => this.#fieldNumbers.get(id)!),
    );

    let stretches = 0;
    this.#cleanings = sorted.map(({ cleanings: list }) => {
      const cleanings = new CarrierCleanings(list, stretches);
      stretches += cleanings.stretchCount;
      return cleanings;
    });
    this.stretchCount = stretches;
  }

  /** @param seen the number of each field, in the order in which they were met */
  #fill(stays: readonly Stay[], first: number, seen: Map<string, number>): void {
    for (let i = 0; i < stays.length; i++) {
      const { field, arrived, left } = stays[i]!;
      let number = seen.get(field);
      if (number === undefined) seen.set(field, (number = seen.size));
      const isDated = Number.isFinite(arrived) && Number.isFinite(left);
      this.fieldOf[first + i] = number;
      this.arrived[first + i] = isDated ? keptMinute(arrived) : NEVER;
      this.left[first + i] = isDated ? keptMinute(left) : NEVER;
    }
  }

  fieldNumber(id: string): number | undefined {
    return this.#fieldNumbers.get(id);
  }

  /** A stay as it was given. */
  stay(number: number): Stay {
    return this.#carriers[this.carrierOf[number]!]!.stays[this.placeOf(number)]!;
  }

  /** The place of a stay among its carrier's. */
  placeOf(stay: number): number {
    return stay - this.#firstStay[this.carrierOf[stay]!]!;
  }

  /** The clean-downs of a carrier, or undefined for one that the records do not know. */
  cleaningsOf(carrier: string): CarrierCleanings | undefined {
    const number = this.#carrierNumbers.get(carrier);
    return number === undefined ? undefined : this.#cleanings[number];
  }

  get forward(): DirectedTimeline {
    return (this.#forward ??= this.#directed(1));
  }

  get backward(): DirectedTimeline {
    return (this.#backward ??= this.#directed(-1));
  }

  /** The carriage from one stay to a later one of the same carrier; the caller has seen that there is one. */
  carriage(from: number, to: number): Carriage {
    const carrier = this.carrierOf[from]!;
    return new TimelineCarriage(
      this.carrierIds[carrier]!,
      this.stay(from),
      this.placeOf(from),
      this.stay(to),
      this.placeOf(to),
      this.#cleanings[carrier]!,
    );
  }

  #directed(sign: 1 | -1): DirectedTimeline {
    const count = this.stayCount;
    const leaving = { stretch: new Int32Array(count), loss: new Float64Array(count) };
    const arriving = { stretch: new Int32Array(count), loss: new Float64Array(count) };
    for (const [carrier, cleanings] of this.#cleanings.entries()) {
      const first = this.#firstStay[carrier]!;
      const end = this.#firstStay[carrier + 1] ?? count;
      cleanings.locate(this.left, first, end, leaving, 0);
      cleanings.locate(this.arrived, first, end, arriving, ONE_MINUTE);
    }
    const { stretchCount } = this;
    const directed =
      sign === 1
        ? {
            departure: this.left,
            arrival: this.arrived,
            departureStretch: leaving.stretch,
            arrivalStretch: arriving.stretch,
            departureLoss: leaving.loss,
            arrivalLoss: arriving.loss,
            stretchCount,
          }
        : {
            departure: negated(this.arrived),
            arrival: negated(this.left),
            departureStretch: arriving.stretch,
            arrivalStretch: leaving.stretch,
            departureLoss: negated(arriving.loss),
            arrivalLoss: negated(leaving.loss),
            stretchCount,
          };
    return { ...directed, events: eventsInOrder(directed) };
  }
}

/** What is lost at the very minute of an arrival is lost before it. */
const ONE_MINUTE = 1;

function negated<T extends Int32Array | Float64Array>(values: T): T {
  return values.map((value) => -value) as T;
}

/**
 * Departures (a stay's number) and arrivals (its number + the number of stays), by time, departures first; without the
 * departures after which nothing of their stretch arrives, and the arrivals before which nothing of it departs.
 *
 * @param loaded stretches with something on board before any departure: all of their arrivals count
 */
export function eventsInOrder(directed: Omit<DirectedTimeline, "events">, loaded: readonly number[] = []): Uint32Array {
  const { departure, arrival, departureStretch, arrivalStretch, stretchCount } = directed;
  const firstDeparture = new Int32Array(stretchCount).fill(LATEST);
  const lastArrival = new Int32Array(stretchCount).fill(NEVER);
  earliest(departure, departureStretch, firstDeparture);
  latest(arrival, arrivalStretch, lastArrival);
  for (const stretch of loaded) firstDeparture[stretch] = NEVER;
  // One number of both, the time before the event: numbers sort many times faster than what has to be compared by a function.
  // Times are whole minutes, and by a power of two nothing is lost: a million events are exact over thousands of years.
  const count = departure.length;
  const scale = 2 ** Math.ceil(Math.log2(2 * count + 1));
  const keys = new Float64Array(2 * count);
  let length = 0;
  for (let i = 0; i < count; i++) {
    const left = departureStretch[i]!;
    const reached = arrivalStretch[i]!;
    if (left >= 0 && departure[i]! <= lastArrival[left]!) keys[length++] = departure[i]! * scale + i;
    if (reached >= 0 && arrival[i]! >= firstDeparture[reached]!) keys[length++] = arrival[i]! * scale + count + i;
  }
  return remainders(keys.subarray(0, length).sort(), scale);
}

function earliest(times: Int32Array, stretches: Int32Array, first: Int32Array): void {
  for (let i = 0; i < times.length; i++) {
    const stretch = stretches[i]!;
    if (stretch >= 0 && times[i]! < first[stretch]!) first[stretch] = times[i]!;
  }
}

function latest(times: Int32Array, stretches: Int32Array, last: Int32Array): void {
  for (let i = 0; i < times.length; i++) {
    const stretch = stretches[i]!;
    if (stretch >= 0 && times[i]! > last[stretch]!) last[stretch] = times[i]!;
  }
}

function remainders(values: Float64Array, divisor: number): Uint32Array {
  const found = new Uint32Array(values.length);
  for (let i = 0; i < values.length; i++) found[i] = values[i]! - Math.floor(values[i]! / divisor) * divisor;
  return found;
}

function renumber(numbers: Int32Array, others: Int32Array): void {
  for (let i = 0; i < numbers.length; i++) numbers[i] = others[numbers[i]!]!;
}

function placesOf(ids: readonly string[]): Map<string, number> {
  return new Map(ids.map((id, place) => [id, place]));
}
