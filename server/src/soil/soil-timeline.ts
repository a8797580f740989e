import { CarrierCleanings } from "./carrier-cleanings.ts";
import { lazily } from "./lazily.ts";
import type { Carriage, CleanDown, Stay } from "./soil-records.ts";

/**
 * The comings and goings of all carriers in one direction of time. Backward, time runs the other way: a carrier "departs"
 * when in truth it arrived, and times are negative, so that one sweep answers both questions.
 *
 * A stretch is a carrier's time between two full clean-downs: soil goes from a departure to an arrival of the same stretch
 * and never to another's. At the very minute of a full clean-down a carrier is in no stretch (-1).
 */
export interface DirectedTimeline {
  readonly departure: Float64Array;
  readonly arrival: Float64Array;
  readonly departureStretch: Int32Array;
  readonly arrivalStretch: Int32Array;
  /** Soil lost from a departure to an arrival: `arrivalLoss` of the one less `departureLoss` of the other. */
  readonly departureLoss: Float64Array;
  readonly arrivalLoss: Float64Array;
  /** Departures (a stay's number) and arrivals (its number + the number of stays), by time, departures first. */
  readonly events: Uint32Array;
}

/** Stays and clean-downs made ready for questions: ids turned into numbers in the order of the ids, times sorted. */
export class SoilTimeline {
  readonly fieldIds: readonly string[];
  readonly carrierIds: readonly string[];
  readonly stays: readonly Stay[];
  /** Field and carrier of each stay. */
  readonly fieldOf: Int32Array;
  readonly carrierOf: Int32Array;
  readonly stretchCount: number;
  readonly #fieldNumbers: ReadonlyMap<string, number>;
  readonly #carrierNumbers: ReadonlyMap<string, number>;
  readonly #cleanings: readonly CarrierCleanings[];
  #forward: DirectedTimeline | undefined;
  #backward: DirectedTimeline | undefined;

  /** The order of the lists does not matter. What has no finite time is left out. */
  constructor(stays: readonly Stay[], cleanDowns: readonly CleanDown[]) {
    this.stays = stays.filter((stay) => Number.isFinite(stay.arrived) && Number.isFinite(stay.left));
    const dated = cleanDowns.filter((cleaning) => Number.isFinite(cleaning.at));
    const count = this.stays.length;
    const fields = new Int32Array(count);
    const carriers = new Int32Array(count + dated.length);
    this.#fieldNumbers = numbered(fields, (i) => this.stays[i]!.field);
    this.#carrierNumbers = numbered(carriers, (i) => (i < count ? this.stays[i]! : dated[i - count]!).carrier);
    this.fieldIds = [...this.#fieldNumbers.keys()];
    this.carrierIds = [...this.#carrierNumbers.keys()];
    this.fieldOf = fields;
    this.carrierOf = carriers.subarray(0, count);

    const byCarrier: CleanDown[][] = this.carrierIds.map(() => []);
    for (let i = 0; i < dated.length; i++) byCarrier[carriers[count + i]!]!.push(dated[i]!);
    let stretches = 0;
    this.#cleanings = byCarrier.map((list) => {
      const cleanings = new CarrierCleanings(list, stretches);
      stretches += cleanings.stretchCount;
      return cleanings;
    });
    this.stretchCount = stretches;
  }

  fieldNumber(id: string): number | undefined {
    return this.#fieldNumbers.get(id);
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
    const leaving = this.stays[from]!;
    const arriving = this.stays[to]!;
    const cleanings = this.#cleanings[this.carrierOf[from]!]!;
    // Made when first looked at: a carrier that is cleaned badly for years has long lists of them.
    const between = lazily(() => cleanings.partialBetween(leaving.left, arriving.arrived));
    return {
      from: leaving.field,
      to: arriving.field,
      carrier: leaving.carrier,
      left: leaving.left,
      arrived: arriving.arrived,
      soilLeft: cleanings.shareLeftBetween(leaving.left, arriving.arrived),
      visitLeft: leaving.visit,
      visitArrived: arriving.visit,
      get cleanings() {
        return between();
      },
    };
  }

  #directed(sign: 1 | -1): DirectedTimeline {
    const { stays } = this;
    const count = stays.length;
    const leaving = { time: new Float64Array(count), stretch: new Int32Array(count), loss: new Float64Array(count) };
    const arriving = { time: new Float64Array(count), stretch: new Int32Array(count), loss: new Float64Array(count) };
    for (let i = 0; i < count; i++) {
      const stay = stays[i]!;
      const cleanings = this.#cleanings[this.carrierOf[i]!]!;
      leaving.time[i] = sign * stay.left;
      leaving.stretch[i] = cleanings.stretchAt(stay.left);
      leaving.loss[i] = sign * cleanings.lossBefore(stay.left);
      arriving.time[i] = sign * stay.arrived;
      arriving.stretch[i] = cleanings.stretchAt(stay.arrived);
      arriving.loss[i] = sign * cleanings.lossThrough(stay.arrived);
    }
    const [departing, reaching] = sign === 1 ? [leaving, arriving] : [arriving, leaving];
    return {
      departure: departing.time,
      arrival: reaching.time,
      departureStretch: departing.stretch,
      arrivalStretch: reaching.stretch,
      departureLoss: departing.loss,
      arrivalLoss: reaching.loss,
      events: eventsInOrder(departing, reaching),
    };
  }
}

interface Ends {
  readonly time: Float64Array;
  readonly stretch: Int32Array;
}

function eventsInOrder(departing: Ends, reaching: Ends): Uint32Array {
  const count = departing.time.length;
  // One number of both, the time before the event: numbers sort many times faster than what has to be compared by a function.
  // Times are whole minutes, and by a power of two nothing is lost: a million events are exact over thousands of years.
  const scale = 2 ** Math.ceil(Math.log2(2 * count + 1));
  const keys = new Float64Array(2 * count);
  let length = 0;
  for (let i = 0; i < count; i++) if (departing.stretch[i]! >= 0) keys[length++] = departing.time[i]! * scale + i;
  for (let i = 0; i < count; i++) if (reaching.stretch[i]! >= 0) keys[length++] = reaching.time[i]! * scale + count + i;
  const inOrder = keys.subarray(0, length).sort();
  return Uint32Array.from(inOrder, (key) => key - Math.floor(key / scale) * scale);
}

/** Puts into `numbers` the place of each id in their order, and gives the ids with their places. Each is looked up once. */
function numbered(numbers: Int32Array, idAt: (i: number) => string): Map<string, number> {
  const seen = new Map<string, number>();
  let last: string | undefined;
  for (let i = 0; i < numbers.length; i++) {
    const id = idAt(i);
    // Stays of one carrier mostly come one after another.
    if (id === last) {
      numbers[i] = numbers[i - 1]!;
      continue;
    }
    last = id;
    const known = seen.get(id);
    if (known === undefined) seen.set(id, seen.size);
    numbers[i] = known ?? seen.size - 1;
  }
  const ids = [...seen.keys()].sort((a, b) => (a < b ? -1 : a > b ? 1 : 0));
  const places = new Int32Array(ids.length);
  ids.forEach((id, place) => (places[seen.get(id)!] = place));
  for (let i = 0; i < numbers.length; i++) numbers[i] = places[numbers[i]!]!;
  return new Map(ids.map((id, place) => [id, place]));
}
