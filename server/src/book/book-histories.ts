import { lazily } from "../soil/lazily.ts";
import { isKind, type FactRecord } from "../records/record.ts";
import type { CropRecord, RegionPack, SeasonRecord } from "../schema/facts.ts";
import { ofKind, type BookIndex } from "./book-index.ts";
import type { CarrierCleaning, CarrierHistory, CarrierStay } from "./carrier-history.ts";
import type { CrewHistory, CrewVisit } from "./crew-history.ts";
import type { Confirmation, FieldHistory } from "./field-history.ts";
import {
  bootCleaningsOf,
  CleanDownResults,
  cleaningsOf,
  confirmationOf,
  cropsOf,
  crewVisitsOf,
  samplesOf,
  staysOf,
  visitOf,
} from "./histories.ts";
import { KeptHistories, type HistoryBefore } from "./kept-histories.ts";
import { BOOTS_PREFIX } from "./references.ts";
import type { SeasonTurn } from "./season-on-field.ts";

interface HistoryOptions {
  readonly season: SeasonRecord;
  readonly region: RegionPack;
  /** Days since 1970-01-01. */
  readonly asOf: number;
  readonly turn: SeasonTurn;
  readonly isHostCrop: (crop: string | undefined) => boolean;
}

/** The histories of a book's fields, carriers and crew, each made when it is first asked for, and kept until it changes. */
export class BookHistories {
  readonly #index: BookIndex;
  readonly #options: HistoryOptions;
  readonly #cleanDowns: CleanDownResults;
  readonly #fields = new Map<string, FieldHistory>();
  readonly #carriers = new KeptHistories<CarrierHistory>();
  readonly #crew = new KeptHistories<CrewHistory>();

  constructor(index: BookIndex, options: HistoryOptions) {
    this.#index = index;
    this.#options = options;
    this.#cleanDowns = new CleanDownResults(options.region.cleaning ?? {});
  }

  field(id: string): FieldHistory {
    let history = this.#fields.get(id);
    if (!history) this.#fields.set(id, (history = this.#makeField(id)));
    return history;
  }

  /** By what a field is confirmed: of all its history the least to ask for. */
  confirmation(id: string): Confirmation | undefined {
    const known = this.#fields.get(id);
    if (known) return known.confirmed;
    const { asOf } = this.#options;
    const detected = this.#index.ofField(id, "samples").filter(({ facts }) => facts.result?.finding === "detected");
    return confirmationOf(this.#index.withId("fields", id)[0], samplesOf(detected, asOf), asOf);
  }

  carrier(id: string): CarrierHistory {
    return this.#carriers.get(id, (before) => this.#makeCarrier(id, before));
  }

  crew(id: string): CrewHistory {
    return this.#crew.get(id, (before) => this.#makeCrew(id, before));
  }

  /** A record came into the book, or went. */
  recordChanged(
    record: FactRecord,
    came: boolean,
    of: { readonly fields: Iterable<string>; readonly carriers: Iterable<string>; readonly crew: Iterable<string> },
  ): void {
    for (const id of of.fields) this.#fields.delete(id);
    for (const id of of.carriers) {
      // What a carrier's own record says bears on all of its stays.
      if (isKind(record, "equipment")) this.#carriers.forget(id);
      else this.#carriers.recordChanged(id, record, came);
    }
    for (const id of of.crew) this.#crew.recordChanged(id, record, came);
  }

  #makeField(id: string): FieldHistory {
    const { asOf, isHostCrop, turn } = this.#options;
    const record = this.#index.withId("fields", id)[0];
    const isHost = ({ crop }: CropRecord): boolean => isHostCrop(crop);
    const crops = this.#index.ofField(id, "rotations").flatMap((rotation) => cropsOf(rotation, asOf, isHost));
    crops.sort((a, b) => a.year - b.year);
    // Made when first looked at: whether a field is confirmed takes none of its visits.
    const visits = lazily(() =>
      this.#index
        .ofField(id, "visits")
        .map((visit) => visitOf(visit, asOf, crops, turn))
        .filter((visit) => visit !== undefined)
        .sort(byTime),
    );
    const samples = samplesOf(this.#index.ofField(id, "samples"), asOf);
    const confirmed = confirmationOf(record, samples, asOf);
    const name = record?.facts.name ?? id;
    return {
      id,
      record,
      name,
      crops,
      get visits() {
        return visits();
      },
      samples,
      confirmed,
    };
  }

  #makeCarrier(id: string, before: HistoryBefore<CarrierHistory> | undefined): CarrierHistory {
    const isBoots = id.startsWith(BOOTS_PREFIX);
    const equipment = this.#index.withId("equipment", id)[0];
    const canCarry = isBoots || equipment?.facts.touches_soil !== false;
    const label = isBoots ? `the boots of ${id.slice(BOOTS_PREFIX.length)}` : id;
    const stays = canCarry ? this.#stays(id, before) : [];
    return { id, label, equipment, stays, cleanings: this.#cleanings(id, isBoots, stays, before) };
  }

  #stays(id: string, before: HistoryBefore<CarrierHistory> | undefined): readonly CarrierStay[] {
    const { asOf } = this.#options;
    if (before) {
      const order = (a: CarrierStay, b: CarrierStay): number => byTime(a, b) || this.#written(a.visit, b.visit);
      const came = staysOf(ofKind(before.came, "visits"), asOf);
      return mergedInto(before.history.stays, ({ visit }) => before.gone.has(visit), came, order);
    }
    return inOrder(staysOf(this.#index.visitsOfCarrier(id), asOf), byTime);
  }

  #cleanings(
    id: string,
    isBoots: boolean,
    stays: readonly CarrierStay[],
    before: HistoryBefore<CarrierHistory> | undefined,
  ): readonly CarrierCleaning[] {
    if (before && !isBoots) {
      const order = (a: CarrierCleaning, b: CarrierCleaning): number =>
        a.at - b.at || this.#written(a.record, b.record);
      const came = this.#cleaningsOf(ofKind(before.came, "cleanings"));
      return mergedInto(before.history.cleanings, ({ record }) => before.gone.has(record), came, order);
    }
    const cleanings = this.#cleaningsOf(this.#index.cleaningsOfCarrier(id));
    return inOrder(isBoots ? cleanings.concat(bootCleaningsOf(stays)) : cleanings, (a, b) => a.at - b.at);
  }

  #cleaningsOf(records: readonly FactRecord<"cleanings">[]): CarrierCleaning[] {
    this.#cleanDowns.workOut(records);
    return cleaningsOf(records, this.#cleanDowns, this.#options.asOf);
  }

  #makeCrew(id: string, before: HistoryBefore<CrewHistory> | undefined): CrewHistory {
    const { asOf, season } = this.#options;
    const name = season.crew?.find((member) => member.id === id)?.name ?? id;
    if (before) {
      const order = (a: CrewVisit, b: CrewVisit): number => byTime(a, b) || this.#written(a.visit, b.visit);
      const came = crewVisitsOf(ofKind(before.came, "visits"), id, asOf);
      const visits = mergedInto(before.history.visits, ({ visit }) => before.gone.has(visit), came, order);
      return { id, name, visits };
    }
    return { id, name, visits: crewVisitsOf(this.#index.ofCrew(id), id, asOf).sort(byTime) };
  }

  #written(a: FactRecord, b: FactRecord): number {
    return this.#index.writtenBefore(a, b);
  }
}

interface Timed {
  readonly arrived: number;
  readonly left: number;
}

function byTime(a: Timed, b: Timed): number {
  return a.arrived - b.arrived || a.left - b.left;
}

/** Sorted in place. Most lists were written in order of time, and to see that takes far less than to sort them. */
function inOrder<T>(list: T[], order: (a: T, b: T) => number): readonly T[] {
  for (let i = 1; i < list.length; i++) if (order(list[i - 1]!, list[i]!) > 0) return list.sort(order);
  return list;
}

/** A sorted list without what is gone and with what came, each before the first that is not to stand before it. */
function mergedInto<T>(
  sorted: readonly T[],
  isGone: (item: T) => boolean,
  came: readonly T[],
  order: (a: T, b: T) => number,
): readonly T[] {
  const merged = sorted.filter((item) => !isGone(item));
  for (const item of came) {
    let low = 0;
    let high = merged.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (order(merged[middle]!, item) < 0) low = middle + 1;
      else high = middle;
    }
    merged.splice(low, 0, item);
  }
  return merged;
}
