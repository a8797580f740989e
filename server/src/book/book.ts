import { parseDay, parseMinute, yearOfDay, MINUTES_PER_DAY } from "../base/days.ts";
import type { RecordFile } from "../records/record-file.ts";
import { isKind, type FactRecord } from "../records/record.ts";
import type { RegionPack, SeasonRecord } from "../schema/facts.ts";
import type { FileKind, RecordKind } from "../schema/kinds.ts";
import { cleanDown } from "../soil/clean-down.ts";
import type { CarrierCleaning, CarrierHistory, CarrierStay } from "./carrier-history.ts";
import type { CrewHistory, CrewVisit } from "./crew-history.ts";
import { dayOfRecord } from "./dates.ts";
import type { Confirmation, FieldCrop, FieldHistory, FieldSample, FieldVisit } from "./field-history.ts";
import { BOOTS_PREFIX } from "./references.ts";

export interface BookOptions {
  /** The day every computation is made on; days since 1970-01-01. Later records have not happened yet. */
  readonly asOf: number;
  /** The day it really is: what is dated later is taken for a mistake. */
  readonly today: number;
  /** Look at every year's records, not the season's alone. */
  readonly allSeasons: boolean;
}

/** All files of one record book as one value, with the questions asked of them answered once. */
export class Book {
  readonly #byKind = new Map<FileKind, FactRecord[]>();
  readonly #byId = new Map<FileKind, Map<string, FactRecord>>();
  readonly #order = new Map<FactRecord, number>();
  readonly #byField = new Map<string, FieldRecords>();
  readonly #byCarrier = new Map<string, CarrierRecords>();
  readonly #byCrew = new Map<string, FactRecord<"visits">[]>();
  readonly #fieldHistories = new Map<string, FieldHistory>();
  readonly #carrierHistories = new Map<string, CarrierHistory>();
  readonly #crewHistories = new Map<string, CrewHistory>();
  readonly #hosts: ReadonlySet<string>;

  /** Undefined where the book's `season.yaml` names none that can be read. */
  readonly seasonYear: number | undefined;

  constructor(
    /** In the order of their paths. */
    readonly files: readonly RecordFile[],
    readonly season: SeasonRecord,
    readonly region: RegionPack,
    readonly options: BookOptions,
  ) {
    this.seasonYear = season.season;
    this.#hosts = new Set((region.hosts ?? []).map(normalCrop));
    for (const file of files) for (const entry of file.entries) this.#add(entry.record);
  }

  get asOf(): number {
    return this.options.asOf;
  }

  records<K extends RecordKind>(kind: K): readonly FactRecord<K>[] {
    return (this.#byKind.get(kind) ?? []) as FactRecord[] as FactRecord<K>[];
  }

  /** The record an id stands for; where it was given twice, the first. */
  record<K extends RecordKind>(kind: K, id: string): FactRecord<K> | undefined {
    return this.#byId.get(kind)?.get(id) as FactRecord<K> | undefined;
  }

  ids(kind: RecordKind): Iterable<string> {
    return this.#byId.get(kind)?.keys() ?? [];
  }

  /** Negative where `a` was written before `b`: by path of the file, then by place in it. */
  writtenBefore(a: FactRecord, b: FactRecord): number {
    return (this.#order.get(a) ?? 0) - (this.#order.get(b) ?? 0);
  }

  isHostCrop(crop: string | undefined): boolean {
    return crop !== undefined && this.#hosts.has(normalCrop(crop));
  }

  /** Whether a year is one whose records are looked at: the season, or any with all seasons. */
  isYearInSight(year: number): boolean {
    return this.options.allSeasons || year === this.seasonYear;
  }

  isDayInSight(day: number | undefined): boolean {
    return day !== undefined && this.isYearInSight(yearOfDay(day));
  }

  isInSight(record: FactRecord): boolean {
    return this.isDayInSight(dayOfRecord(record));
  }

  /** Dated, and not later than the as-of day. */
  hasHappened(record: FactRecord): boolean {
    const day = dayOfRecord(record);
    return day !== undefined && day <= this.asOf;
  }

  /** Every field that a record defines or speaks of, in the order of their ids. */
  fieldIds(): string[] {
    return [...new Set([...this.ids("fields"), ...this.#byField.keys()])].sort(byCodeUnits);
  }

  carrierIds(): string[] {
    return [...this.#byCarrier.keys()].sort(byCodeUnits);
  }

  crewIds(): string[] {
    return [...this.#byCrew.keys()].sort(byCodeUnits);
  }

  fieldName(id: string): string {
    return this.record("fields", id)?.facts.name ?? id;
  }

  fieldHistory(id: string): FieldHistory {
    return remember(this.#fieldHistories, id, () => this.#makeFieldHistory(id));
  }

  carrierHistory(id: string): CarrierHistory {
    return remember(this.#carrierHistories, id, () => this.#makeCarrierHistory(id));
  }

  crewHistory(id: string): CrewHistory {
    return remember(this.#crewHistories, id, () => this.#makeCrewHistory(id));
  }

  /** The equipment's record says that it stays off the soil. */
  touchesSoil(equipment: string): boolean {
    return this.record("equipment", equipment)?.facts.touches_soil !== false;
  }

  #add(record: FactRecord): void {
    this.#order.set(record, this.#order.size);
    push(this.#byKind, record.kind, record);
    if (record.id !== "" && record.kind !== "rotations") {
      const ids = remember(this.#byId, record.kind, () => new Map<string, FactRecord>());
      if (!ids.has(record.id)) ids.set(record.id, record);
    }
    if (isKind(record, "rotations") && record.facts.field) this.#recordsOfField(record.facts.field).rotations.push(record);
    if (isKind(record, "samples") && record.facts.field) this.#recordsOfField(record.facts.field).samples.push(record);
    if (isKind(record, "visits")) this.#addVisit(record);
    if (isKind(record, "cleanings") && this.hasHappened(record)) {
      for (const carrier of new Set(record.facts.equipment)) if (carrier) this.#recordsOfCarrier(carrier).cleanings.push(record);
    }
  }

  #addVisit(record: FactRecord<"visits">): void {
    const { field, crew, equipment, footwear } = record.facts;
    if (!field || !this.hasHappened(record)) return;
    this.#recordsOfField(field).visits.push(record);
    for (const member of new Set(crew)) {
      if (!member) continue;
      push(this.#byCrew, member, record);
      if (footwear === "disinfected" || footwear === "unprotected") {
        this.#recordsOfCarrier(BOOTS_PREFIX + member).visits.push(record);
      }
    }
    for (const id of new Set(equipment)) if (id) this.#recordsOfCarrier(id).visits.push(record);
  }

  #recordsOfField(id: string): FieldRecords {
    return remember(this.#byField, id, () => ({ rotations: [], visits: [], samples: [] }));
  }

  #recordsOfCarrier(id: string): CarrierRecords {
    return remember(this.#byCarrier, id, () => ({ visits: [], cleanings: [] }));
  }

  #makeFieldHistory(id: string): FieldHistory {
    const record = this.record("fields", id);
    const own = this.#byField.get(id);
    const crops = (own?.rotations ?? []).flatMap((rotation) => this.#cropsOf(rotation));
    crops.sort((a, b) => a.year - b.year);
    const visits = (own?.visits ?? []).map(visitOf).sort((a, b) => a.arrived - b.arrived || a.left - b.left);
    const samples = (own?.samples ?? []).map((sample) => this.#sampleOf(sample)).filter((sample) => sample !== undefined);
    samples.sort((a, b) => (a.taken ?? 0) - (b.taken ?? 0));
    const confirmed = this.#confirmation(record, samples);
    return { id, record, name: record?.facts.name ?? id, crops, visits, samples, confirmed };
  }

  #cropsOf(record: FactRecord<"rotations">): FieldCrop[] {
    return (record.facts.crops ?? []).flatMap((facts, index) => {
      if (facts.year === undefined) return [];
      const isHost = this.isHostCrop(facts.crop);
      return {
        record,
        index,
        facts,
        year: facts.year,
        isHost,
        isHostYear: isHost || facts.volunteers === "present",
        seeded: this.#knownDay(facts.seeded),
        swathed: this.#knownDay(facts.swathed),
      };
    });
  }

  #sampleOf(record: FactRecord<"samples">): FieldSample | undefined {
    const { taken, sent, received, result } = record.facts;
    const takenDay = parsedDay(taken) ?? parsedDay(sent);
    if (takenDay !== undefined && takenDay > this.asOf) return undefined;
    // A result without the day it was reported on counts from the last day that is known of the sample.
    const reported = parsedDay(result?.reported) ?? parsedDay(received) ?? parsedDay(sent) ?? takenDay;
    const isKnown = result?.finding !== undefined && reported !== undefined && reported <= this.asOf;
    return {
      record,
      taken: this.#knownDay(taken),
      sent: this.#knownDay(sent),
      reported: isKnown ? reported : undefined,
      finding: isKnown ? result.finding : undefined,
    };
  }

  #confirmation(record: FactRecord<"fields"> | undefined, samples: readonly FieldSample[]): Confirmation | undefined {
    let first: Confirmation | undefined;
    const foundOn = this.#knownDay(record?.facts.clubroot?.found_on);
    if (record && foundOn !== undefined) {
      first = { day: foundOn, place: { record, pointer: ["clubroot", "found_on"], part: "value" } };
    }
    for (const sample of samples) {
      if (sample.finding !== "detected" || sample.reported === undefined) continue;
      if (!first || sample.reported < first.day) {
        first = { day: sample.reported, place: { record: sample.record, pointer: ["result", "finding"], part: "value" } };
      }
    }
    return first;
  }

  #makeCarrierHistory(id: string): CarrierHistory {
    const isBoots = id.startsWith(BOOTS_PREFIX);
    const own = this.#byCarrier.get(id);
    const canCarry = isBoots || this.touchesSoil(id);
    const stays: CarrierStay[] = !canCarry ? [] : (own?.visits ?? []).map((visit) => {
      const { arrived, left } = times(visit);
      const pointer = isBoots ? ["footwear"] : ["equipment", (visit.facts.equipment ?? []).indexOf(id)];
      return { visit, field: visit.facts.field ?? "", arrived, left, pointer };
    });
    stays.sort((a, b) => a.arrived - b.arrived || a.left - b.left || this.writtenBefore(a.visit, b.visit));
    const figures = this.region.cleaning ?? {};
    const cleanings: CarrierCleaning[] = (own?.cleanings ?? []).flatMap((record) => {
      const at = parseMinute(record.facts.at ?? "");
      return at === undefined ? [] : { record, at, result: cleanDown(record.facts.steps ?? [], figures) };
    });
    if (isBoots) {
      for (const stay of stays) {
        if (stay.visit.facts.footwear !== "disinfected") continue;
        // The format counts disinfected footwear as a full clean-down on the way in and again on the way out.
        for (const at of [stay.arrived, stay.left]) cleanings.push({ record: stay.visit, at, result: { full: true, soilLeft: 0, shortcomings: [] } });
      }
    }
    cleanings.sort((a, b) => a.at - b.at || this.writtenBefore(a.record, b.record));
    const label = isBoots ? `the boots of ${id.slice(BOOTS_PREFIX.length)}` : id;
    return { id, label, equipment: this.record("equipment", id), stays, cleanings };
  }

  #makeCrewHistory(id: string): CrewHistory {
    const visits: CrewVisit[] = (this.#byCrew.get(id) ?? []).map((visit) => ({
      visit,
      field: visit.facts.field ?? "",
      ...times(visit),
      pointer: ["crew", (visit.facts.crew ?? []).indexOf(id)],
    }));
    visits.sort((a, b) => a.arrived - b.arrived || a.left - b.left || this.writtenBefore(a.visit, b.visit));
    const name = this.season.crew?.find((member) => member.id === id)?.name ?? id;
    return { id, name, visits };
  }

  /** The day a date names, when it is not later than the as-of day. */
  #knownDay(text: string | undefined): number | undefined {
    const day = parsedDay(text);
    return day !== undefined && day <= this.asOf ? day : undefined;
  }
}

interface FieldRecords {
  readonly rotations: FactRecord<"rotations">[];
  readonly visits: FactRecord<"visits">[];
  readonly samples: FactRecord<"samples">[];
}

interface CarrierRecords {
  readonly visits: FactRecord<"visits">[];
  readonly cleanings: FactRecord<"cleanings">[];
}

function visitOf(record: FactRecord<"visits">): FieldVisit {
  const { arrived, left } = times(record);
  const day = Math.floor(arrived / MINUTES_PER_DAY);
  const { purpose, digs } = record.facts;
  return { record, arrived, left, day, year: yearOfDay(day), isScouting: purpose === "scouting", digs: digs ?? [] };
}

/** Only asked of visits whose `arrived` is a time. A departure before the arrival is a mistake told elsewhere. */
function times(record: FactRecord<"visits">): { arrived: number; left: number } {
  const arrived = parseMinute(record.facts.arrived ?? "") ?? 0;
  const left = parseMinute(record.facts.left ?? "") ?? arrived;
  return { arrived, left: Math.max(arrived, left) };
}

function parsedDay(text: string | undefined): number | undefined {
  return text === undefined ? undefined : parseDay(text);
}

function normalCrop(crop: string): string {
  return crop.trim().toLowerCase();
}

/** Ids are compared by their characters alone, so that no locale changes the order of a report. */
export function byCodeUnits(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

function push<K, V>(map: Map<K, V[]>, key: K, value: V): void {
  const list = map.get(key);
  if (list) list.push(value);
  else map.set(key, [value]);
}

function remember<K, V>(map: Map<K, V>, key: K, make: () => V): V {
  const known = map.get(key);
  if (known !== undefined) return known;
  const made = make();
  map.set(key, made);
  return made;
}

