import type { FactRecord } from "../records/record.ts";
import type { CleanDown, Stay } from "../soil/soil-records.ts";
import type { CarrierHistory } from "./carrier-history.ts";

/** A carrier's stays and clean-downs as the soil's arithmetic takes them. */
interface SoilRecords {
  readonly stays: readonly Stay[];
  readonly cleanDowns: readonly CleanDown[];
}

/** By carrier. */
interface CarrierHistories {
  readonly carriers: ReadonlyMap<string, CarrierHistory>;
}

/**
 * No carrier has as many visits or cleanings. Of the first thousand carriers the numbers are small ones, which take no memory of
 * their own.
 */
const MOST_OF_A_CARRIER = 2 ** 21;

/**
 * The numbers that stand for stays and clean-downs in a timeline: a carrier's own number, and the place in its history. As long
 * as a history stays as it is, so do they, and what is made of it once serves every timeline that it is part of.
 */
export class SoilHandles {
  readonly #numbers = new Map<string, number>();
  readonly #ids: string[] = [];
  readonly #made = new WeakMap<CarrierHistory, SoilRecords>();

  soilRecordsOf(carrier: CarrierHistory): SoilRecords {
    let made = this.#made.get(carrier);
    if (!made) this.#made.set(carrier, (made = this.#make(carrier)));
    return made;
  }

  visit(handle: number, { carriers }: CarrierHistories): FactRecord<"visits"> | undefined {
    return carriers.get(this.#idOf(handle))?.stays[handle % MOST_OF_A_CARRIER]?.visit;
  }

  cleaning(handle: number, { carriers }: CarrierHistories): FactRecord<"cleanings"> | FactRecord<"visits"> | undefined {
    return carriers.get(this.#idOf(handle))?.cleanings[handle % MOST_OF_A_CARRIER]?.record;
  }

  #make({ id: carrier, stays, cleanings }: CarrierHistory): SoilRecords {
    const first = this.#numberOf(carrier) * MOST_OF_A_CARRIER;
    return {
      stays: stays.map(({ field, arrived, left }, i) => ({ field, carrier, arrived, left, visit: first + i })),
      cleanDowns: cleanings.map(({ at, result: { full, soilLeft } }, i) => {
        return { carrier, at, full, soilLeft, cleaning: first + i };
      }),
    };
  }

  #idOf(handle: number): string {
    return this.#ids[Math.floor(handle / MOST_OF_A_CARRIER)] ?? "";
  }

  #numberOf(id: string): number {
    let number = this.#numbers.get(id);
    if (number === undefined) {
      number = this.#ids.push(id) - 1;
      this.#numbers.set(id, number);
    }
    return number;
  }
}
