import { byCodeUnits } from "../base/code-units.ts";
import { MINUTES_PER_DAY } from "../base/days.ts";
import { firstDayOfSeason, parseSeasonStart, seasonOfDay, type SeasonStart } from "../base/seasons.ts";
import type { RecordFile } from "../records/record-file.ts";
import { isKind, type FactRecord } from "../records/record.ts";
import type { RegionPack, SeasonRecord } from "../schema/facts.ts";
import type { Exposure } from "../soil/exposure.ts";
import type { FileKind, RecordKind } from "../schema/kinds.ts";
import type { RecordFormats } from "../schema/record-format.ts";
import type { ResolvedRegion } from "../schema/region.ts";
import { BookHistories } from "./book-histories.ts";
import { BookIndex, carriersOf } from "./book-index.ts";
import type { CarrierHistory, CarrierStay } from "./carrier-history.ts";
import type { CrewHistory, CrewVisit } from "./crew-history.ts";
import { dayOfRecord } from "./dates.ts";
import type { FieldHistory } from "./field-history.ts";
import { seasonOfVisit, type SeasonTurn } from "./season-on-field.ts";
import { replacedRecords, sameExposure, soilMovement, withOtherRecords, type SoilMovement } from "./soil-movement.ts";

export interface BookOptions {
  /** The day every computation is made on; days since 1970-01-01. Later records have not happened yet. */
  readonly asOf: number;
  /** The day it really is: what is dated later is taken for a mistake. */
  readonly today: number;
  /** Look at every year's records, not the season's alone. */
  readonly allSeasons: boolean;
}

/**
 * What an answer rests on, by name: `fields:long-meadow`, `ids visits`, `field long-meadow`, `carrier boots/mo`, `crew mo`.
 * When a record changes, the answers that rest on a name it touches are asked for again, and no others.
 */
export type Cell = string;

/** What an update of a book came to. */
export interface BookChange {
  /** The names of all that changed. */
  readonly cells: ReadonlySet<Cell>;
  readonly added: readonly FactRecord[];
  readonly removed: readonly FactRecord[];
}

/** All files of one record book as one value, with the questions asked of them answered once. */
export class Book {
  readonly #index = new BookIndex();
  readonly #histories: BookHistories;
  readonly #hosts: ReadonlySet<string>;
  #soil: SoilMovement | undefined;
  #files: readonly RecordFile[] = [];
  #reads: Set<Cell> | undefined;

  /** Undefined where the book's `season.yaml` names none that can be read. */
  readonly seasonYear: number | undefined;
  /** Where the region's seasons run from autumn to harvest, the day on which they begin; else they are calendar years. */
  readonly seasonStart: SeasonStart | undefined;
  readonly #turn: SeasonTurn;

  /** The figures of the region, all of its packs merged. */
  readonly region: RegionPack;

  constructor(
    files: readonly RecordFile[],
    readonly season: SeasonRecord,
    /** The region's packs, and what they add to the records. */
    readonly resolvedRegion: ResolvedRegion,
    readonly options: BookOptions,
  ) {
    const { pack: region } = resolvedRegion;
    this.region = region;
    this.seasonYear = season.season;
    this.#hosts = new Set((region.hosts ?? []).map(normalCrop));
    const isHostCrop = (crop: string | undefined): boolean => this.isHostCrop(crop);
    this.seasonStart = parseSeasonStart(region.season?.starts);
    this.#turn = { start: this.seasonStart, closesDaysAfterSwath: region.scouting?.closes_days_after_swath };
    const { asOf } = options;
    this.#histories = new BookHistories(this.#index, { season, region, asOf, turn: this.#turn, isHostCrop });
    this.#files = [...files].sort((a, b) => byCodeUnits(a.path, b.path));
    for (const file of this.#files) {
      this.#index.setFile(file);
      for (const entry of file.entries) this.#index.add(entry.body.record);
    }
  }

  /** In the order of their paths. */
  get files(): readonly RecordFile[] {
    return this.#files;
  }

  file(path: string): RecordFile | undefined {
    return this.#index.file(path);
  }

  /** What its records may hold, the keys that its region adds included. */
  get formats(): RecordFormats {
    return this.resolvedRegion.formats;
  }

  get asOf(): number {
    return this.options.asOf;
  }

  /**
   * Puts new versions of files in the place of the old ones (undefined: the file is gone) and forgets the answers that rested
   * on records that changed.
   *
   * Not for changes of `season.yaml`, a region pack or the weather: they make another book.
   */
  update(changes: ReadonlyMap<string, RecordFile | undefined>): BookChange {
    const changed = new Set<Cell>();
    const added: FactRecord[] = [];
    const removed: FactRecord[] = [];
    for (const [path, file] of changes) {
      const known = this.#index.file(path);
      if (isUnread(known) !== isUnread(file)) changed.add(`unread ${(file ?? known)!.kind}`);
      const [before, after] = recordsThatDiffer(known, file);
      for (const record of before) {
        if (after.has(record)) continue;
        this.#index.remove(record);
        this.#recordChanged(record, false, changed);
        removed.push(record);
      }
      if (file) this.#index.setFile(file);
      else this.#index.removeFile(path);
      for (const record of after) {
        if (before.has(record)) continue;
        this.#index.add(record);
        this.#recordChanged(record, true, changed);
        added.push(record);
      }
    }
    this.#moveSoil(changed);
    const kept = this.#files.filter((file) => !changes.has(file.path));
    const fresh = [...changes.values()].filter((file) => file !== undefined);
    this.#files = [...kept, ...fresh].sort((a, b) => byCodeUnits(a.path, b.path));
    return { cells: changed, added, removed };
  }

  /** Runs `ask` and tells what its answer rests on. */
  withReads<T>(ask: () => T): { readonly answer: T; readonly reads: ReadonlySet<Cell> } {
    const outer = this.#reads;
    const reads = (this.#reads = new Set<Cell>());
    try {
      return { answer: ask(), reads };
    } finally {
      this.#reads = outer;
      if (outer) for (const cell of reads) outer.add(cell);
    }
  }

  *records<K extends RecordKind>(kind: K): Iterable<FactRecord<K>> {
    this.#read(`ids ${kind}`);
    yield* this.#index.ofKind(kind);
  }

  /** The record an id stands for; where it was given twice, the first. */
  record<K extends RecordKind>(kind: K, id: string): FactRecord<K> | undefined {
    this.#read(`${kind}:${id}`);
    return this.#index.withId(kind, id)[0];
  }

  /** Every record of an id, the first written first. */
  recordsWithId<K extends RecordKind>(kind: K, id: string): readonly FactRecord<K>[] {
    this.#read(`${kind}:${id}`);
    return this.#index.withId(kind, id);
  }

  /** Whether a file of a kind cannot be read: what it defines is not known then. */
  isUnread(kind: FileKind): boolean {
    this.#read(`unread ${kind}`);
    return this.#files.some((file) => file.kind === kind && isUnread(file));
  }

  ids(kind: RecordKind): Iterable<string> {
    this.#read(`ids ${kind}`);
    return this.#index.ids(kind);
  }

  /** Negative where `a` was written before `b`: by path of the file, then by place in it. */
  writtenBefore(a: FactRecord, b: FactRecord): number {
    return this.#index.writtenBefore(a, b);
  }

  isHostCrop(crop: string | undefined): boolean {
    return crop !== undefined && this.#hosts.has(normalCrop(crop));
  }

  /** Whether a year is one whose records are looked at: the season, or any with all seasons. */
  isYearInSight(year: number): boolean {
    return this.options.allSeasons || year === this.seasonYear;
  }

  isDayInSight(day: number | undefined): boolean {
    return day !== undefined && this.isYearInSight(this.seasonOfDay(day));
  }

  isInSight(record: FactRecord): boolean {
    const day = dayOfRecord(record);
    // Of a season that is no calendar year, the field's crops may say more than the day does.
    const isOfField = isKind(record, "visits") || isKind(record, "samples");
    if (day === undefined || !this.seasonStart || !isOfField) return this.isDayInSight(day);
    const { field } = record.facts;
    const purpose = isKind(record, "visits") ? record.facts.purpose : undefined;
    const crops = field ? this.fieldHistory(field).crops : [];
    return this.isYearInSight(seasonOfVisit(day, purpose, crops, this.#turn));
  }

  /** The season a day belongs to, by the year of its harvest; days since 1970-01-01. */
  seasonOfDay(day: number): number {
    return seasonOfDay(day, this.seasonStart);
  }

  firstDayOfSeason(season: number): number {
    return firstDayOfSeason(season, this.seasonStart);
  }

  /** Dated, and not later than the as-of day. */
  hasHappened(record: FactRecord): boolean {
    const day = dayOfRecord(record);
    return day !== undefined && day <= this.asOf;
  }

  /** Every field that a record defines or speaks of, in the order of their ids. */
  fieldIds(): string[] {
    return [...new Set([...this.#index.ids("fields"), ...this.#index.fields])].sort(byCodeUnits);
  }

  carrierIds(): string[] {
    return [...this.#index.carriers].sort(byCodeUnits);
  }

  crewIds(): string[] {
    return [...this.#index.crew].sort(byCodeUnits);
  }

  /** Whether any record defines or speaks of what a name like `field long-meadow`, `carrier dig-kit` or `crew mo` stands for. */
  has(name: Cell): boolean {
    return this.#index.has(name);
  }

  fieldName(id: string): string {
    return this.record("fields", id)?.facts.name ?? id;
  }

  crewName(id: string): string {
    return this.season.crew?.find((member) => member.id === id)?.name ?? id;
  }

  fieldHistory(id: string): FieldHistory {
    this.#read(`field ${id}`);
    return this.#histories.field(id);
  }

  carrierHistory(id: string): CarrierHistory {
    this.#read(`carrier ${id}`);
    return this.#histories.carrier(id);
  }

  crewHistory(id: string): CrewHistory {
    this.#read(`crew ${id}`);
    return this.#histories.crew(id);
  }

  /** A crew member's visits of one day, in order of time; who asks for a day alone is not asked again for others. */
  crewVisitsOn(id: string, day: number): readonly CrewVisit[] {
    this.#read(dayCell("crew", id, day));
    return ofDay(this.#histories.crew(id).visits, day);
  }

  /** The same of a carrier's stays. */
  carrierStaysOn(id: string, day: number): readonly CarrierStay[] {
    this.#read(dayCell("carrier", id, day));
    // Whether it touches the soil at all is said by its record.
    this.#read(`equipment:${id}`);
    return ofDay(this.#histories.carrier(id).stays, day);
  }

  /** The equipment's record says that it stays off the soil. */
  touchesSoil(equipment: string): boolean {
    return this.record("equipment", equipment)?.facts.touches_soil !== false;
  }

  /** All of the soil's movements; who asks for one field alone asks `exposureOf`, and is not asked again for others. */
  soil(): SoilMovement {
    this.#read("soil");
    return (this.#soil ??= this.#makeSoil());
  }

  /** The chain that leads to a field from a confirmed one; undefined for a field that is confirmed itself. */
  exposureOf(field: string): Exposure | undefined {
    this.#read(`exposure ${field}`);
    return (this.#soil ??= this.#makeSoil()).exposed.get(field);
  }

  /** The record of a visit that a carriage names by its place among the carrier's stays. */
  visitOfCarrier(carrier: string, place: number): FactRecord<"visits"> | undefined {
    const visit = this.#soil?.carriers.get(carrier)?.stays[place]?.visit;
    if (visit) this.#read(`record visits ${visit.id}`);
    return visit;
  }

  /** The same of a clean-down; for disinfected boots that is the visit. */
  cleaningOfCarrier(carrier: string, place: number): FactRecord<"cleanings"> | FactRecord<"visits"> | undefined {
    const cleaning = this.#soil?.carriers.get(carrier)?.cleanings[place]?.record;
    if (cleaning) this.#read(`record ${cleaning.kind} ${cleaning.id}`);
    return cleaning;
  }

  #read(cell: Cell): void {
    this.#reads?.add(cell);
  }

  /** A record came into the book, or went: names what rests on it. */
  #recordChanged(record: FactRecord, came: boolean, changed: Set<Cell>): void {
    const { kind, id } = record;
    const isVisit = isKind(record, "visits");
    const fieldOfFacts = "field" in record.facts ? record.facts.field : undefined;
    const fields = isKind(record, "fields") ? [id] : fieldOfFacts ? [fieldOfFacts] : [];
    const carriers = isKind(record, "equipment")
      ? [id]
      : isVisit || isKind(record, "cleanings")
        ? carriersOf(record)
        : [];
    const crew = isVisit ? new Set(record.facts.crew) : [];
    this.#histories.recordChanged(record, came, { fields, carriers, crew });
    for (const cell of [`record ${kind} ${id}`, `${kind}:${id}`, `ids ${kind}`]) changed.add(cell);
    for (const field of fields) changed.add(`field ${field}`);
    const day = isVisit ? dayOfRecord(record) : undefined;
    for (const carrier of carriers) {
      changed.add(`carrier ${carrier}`);
      if (day !== undefined) changed.add(dayCell("carrier", carrier, day));
    }
    for (const member of crew) {
      changed.add(`crew ${member}`);
      if (day !== undefined) changed.add(dayCell("crew", member, day));
    }
  }

  #makeSoil(): SoilMovement {
    const carriers = this.carrierIds().map((id) => this.#histories.carrier(id));
    const confirmed = [...this.#fieldsThatMayBeConfirmed()].flatMap((id) => {
      const confirmed = this.#histories.confirmation(id);
      return confirmed ? [{ field: id, confirmedOn: confirmed.day }] : [];
    });
    return soilMovement(carriers, confirmed, this.region.trace?.look_back_days);
  }

  /** Those with an older find on their record, or with a sample in which a lab found it. */
  #fieldsThatMayBeConfirmed(): Set<string> {
    const fields = new Set<string>();
    for (const { id, facts } of this.#index.ofKind("fields")) if (id && facts.clubroot) fields.add(id);
    for (const { facts } of this.#index.ofKind("samples"))
      if (facts.field && facts.result?.finding === "detected") fields.add(facts.field);
    return fields;
  }

  /** Works the soil's movements out again, where what changed speaks of soil, and names the fields whose exposure did. */
  #moveSoil(changed: Set<Cell>): void {
    const before = this.#soil;
    if (!before) return;
    const carriers = new Map<string, CarrierHistory>();
    let isSameSoil = true;
    for (const cell of changed) {
      if (cell.startsWith("carrier ")) {
        const id = cell.slice("carrier ".length);
        carriers.set(id, this.#histories.carrier(id));
      } else if (cell.startsWith("field ")) {
        const id = cell.slice("field ".length);
        const confirmed = this.#histories.confirmation(id);
        isSameSoil &&= confirmed?.day === before.confirmed.get(id)?.confirmedOn;
      }
    }
    const same = isSameSoil ? withOtherRecords(before, carriers) : undefined;
    if (same) {
      this.#soil = same;
      for (const [id, history] of carriers)
        for (const record of replacedRecords(before.carriers.get(id), history))
          changed.add(`record ${record.kind} ${record.id}`);
      return;
    }
    const after = (this.#soil = this.#makeSoil());
    changed.add("soil");
    for (const field of new Set([...before.exposed.keys(), ...after.exposed.keys()])) {
      if (!sameExposure(field, before, after)) changed.add(`exposure ${field}`);
    }
  }
}

/** The records of two versions of a file, without those that both begin or end with. */
function recordsThatDiffer(
  before: RecordFile | undefined,
  after: RecordFile | undefined,
): [ReadonlySet<FactRecord>, ReadonlySet<FactRecord>] {
  const [old, fresh] = [before?.entries ?? [], after?.entries ?? []];
  const most = Math.min(old.length, fresh.length);
  let front = 0;
  while (front < most && old[front]!.body.record === fresh[front]!.body.record) front++;
  let back = 0;
  while (back < most - front && old.at(-1 - back)!.body.record === fresh.at(-1 - back)!.body.record) back++;
  const records = (entries: RecordFile["entries"]): ReadonlySet<FactRecord> =>
    new Set(entries.slice(front, entries.length - back).map(({ body }) => body.record));
  return [records(old), records(fresh)];
}

function dayCell(scope: "crew" | "carrier", id: string, day: number): Cell {
  return `on ${day} ${scope} ${id}`;
}

/** Those that began on a day, of a list in order of time. */
function ofDay<T extends { readonly arrived: number }>(stays: readonly T[], day: number): readonly T[] {
  const from = countBefore(stays, day * MINUTES_PER_DAY);
  return stays.slice(from, countBefore(stays, (day + 1) * MINUTES_PER_DAY));
}

function countBefore(stays: readonly { readonly arrived: number }[], minute: number): number {
  let low = 0;
  let high = stays.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (stays[middle]!.arrived < minute) low = middle + 1;
    else high = middle;
  }
  return low;
}

function normalCrop(crop: string): string {
  return crop.trim().toLowerCase();
}

/** A file that gives no record, and not because it holds none; of `season.yaml`, one that does not give all. */
function isUnread(file: RecordFile | undefined): boolean {
  if (!file) return false;
  const [entry] = file.entries;
  if (file.kind === "season" && entry && entry.body.syntaxProblems.length > 0) return true;
  return file.problems.length > 0 && (file.kind === "season" || !entry);
}
