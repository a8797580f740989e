import { formatDay, formatMinute, MINUTES_PER_DAY } from "../base/days.ts";
import type { Book } from "../book/book.ts";
import { plantsWithGalls } from "../book/field-history.ts";
import type { FactRecord } from "../records/record.ts";
import type { DigRecord } from "../schema/facts.ts";
import { SHIPPED_FORMATS } from "../schema/record-format.ts";
import { schemaAt } from "../schema/schema-at.ts";
import type { PlainValue } from "../syntax/tree-queries.ts";
import { dayOfText } from "./next-id.ts";

/** A record still to be written; keys in the order of the format. */
export type NewRecord = Readonly<Record<string, PlainValue>>;

export interface NewCleanDown {
  readonly id: string;
  /** Minutes since 1970-01-01. */
  readonly at: number;
  readonly field: string | undefined;
  readonly carriers: readonly string[];
  readonly by: string | undefined;
}

/** A full clean-down by the region's figures. What the region gives no figure for is left out. */
export function cleanDownRecord(book: Book, { id, at, field, carriers, by }: NewCleanDown): NewRecord {
  return {
    id,
    at: formatMinute(at),
    ...(field ? { place: "field entrance", field } : {}),
    equipment: [...carriers],
    ...(by ? { by } : {}),
    steps: fullSteps(book, carriers),
  };
}

/** Remove soil, wash, disinfect: with the product used last on these carriers, at the region's strength, for the region's minutes. */
export function fullSteps(book: Book, carriers: readonly string[]): PlainValue[] {
  const { strength_percent: strength, contact_minutes: minutes } = book.region.cleaning ?? {};
  return [
    { step: "remove soil" },
    { step: "wash", with: "water" },
    {
      step: "disinfect",
      product: usualProduct(book, carriers),
      ...(strength === undefined ? {} : { strength_percent: strength }),
      ...(minutes === undefined ? {} : { contact_minutes: minutes }),
    },
  ];
}

export interface NewVisit {
  readonly id: string;
  readonly field: string;
  /** Minutes since 1970-01-01. */
  readonly arrived: number;
  /** Who walks, in place of whoever scouted last. */
  readonly crew?: readonly string[] | undefined;
}

/**
 * A scouting visit that begins: by the usual entrance, with whoever scouted last, or who is said to, and what they took along
 * then. What only the one who is there can tell, such as the ground, is left out.
 */
export function visitRecord(book: Book, { id, field, arrived, crew: named }: NewVisit): NewRecord {
  const entrances = book.record("fields", field)?.facts.entrances ?? [];
  const entrance = entrances.length === 1 ? entrances[0] : entrances.find(({ usual }) => usual === true);
  const last = lastScouting(book, named);
  const known = new Set((book.season.crew ?? []).map((member) => member.id));
  const crew = (named ?? last?.facts.crew ?? []).filter((member) => known.has(member));
  const only = book.season.crew?.length === 1 ? book.season.crew[0]?.id : undefined;
  const equipment = (last?.facts.equipment ?? []).filter((kit) => book.record("equipment", kit));
  return {
    id,
    field,
    ...(entrance?.id ? { entrance: entrance.id } : {}),
    arrived: formatMinute(arrived),
    purpose: "scouting",
    ...(crew.length > 0 ? { crew } : only ? { crew: [only] } : {}),
    ...(equipment.length > 0 ? { equipment } : {}),
  };
}

/** @param crew only visits on which one of these took part, where given */
function lastScouting(book: Book, crew: readonly string[] | undefined): FactRecord<"visits"> | undefined {
  let last: FactRecord<"visits"> | undefined;
  for (const visit of book.records("visits")) {
    if (visit.facts.purpose !== "scouting" || !book.hasHappened(visit)) continue;
    if (crew && !visit.facts.crew?.some((member) => crew.includes(member))) continue;
    // ISO times are in order when their characters are.
    if (!last || (visit.facts.arrived ?? "") >= (last.facts.arrived ?? "")) last = visit;
  }
  return last;
}

/** What these carriers were disinfected with last, else what the format's own example names. */
function usualProduct(book: Book, carriers: readonly string[]): string {
  for (const id of carriers) {
    for (const { record } of [...book.carrierHistory(id).cleanings].reverse()) {
      const { facts } = record as FactRecord;
      const steps = "steps" in facts ? (facts.steps ?? []) : [];
      const product = steps.findLast((one) => one.step === "disinfect" && one.product)?.product;
      if (product) return product;
    }
  }
  return String(schemaAt(SHIPPED_FORMATS.cleanings, ["steps", 0, "product"])?.examples?.[0] ?? "");
}

/** The roots of a dig with galls, or with swellings that may be look-alikes, packed for the lab and not sent yet. */
export function sampleRecord(book: Book, visit: FactRecord<"visits">, dig: DigRecord, id: string): NewRecord {
  const day = dayOfText(visit.facts.arrived);
  const lab = usualLab(book);
  const plants = plantsWithGalls(dig) + (dig.look_alikes ?? 0);
  const accepted = book.season.labs?.find((one) => one.id === lab)?.accepts ?? book.region.sample?.packaging;
  const packed = accepted?.find((packaging) => packaging !== "");
  return {
    id,
    field: visit.facts.field ?? "",
    visit: visit.id,
    dig: dig.id ?? "",
    material: "roots",
    ...(plants > 0 ? { plants } : {}),
    ...(day === undefined ? {} : { taken: formatDay(day) }),
    ...(packed ? { packed } : {}),
    ...(lab ? { lab } : {}),
  };
}

/** The lab to which a sample went last, else the book's only one. */
function usualLab(book: Book): string | undefined {
  let last: { lab: string; on: string } | undefined;
  for (const { facts } of book.records("samples")) {
    const on = facts.sent ?? facts.taken ?? "";
    if (facts.lab && (!last || on >= last.on)) last = { lab: facts.lab, on };
  }
  const labs = book.season.labs ?? [];
  const known = labs.find(({ id }) => id !== undefined && id === last?.lab);
  return known?.id ?? (labs.length === 1 ? labs[0]!.id : undefined);
}

/** A dig of the season with galls or look-alikes of which no roots went to a lab. */
export interface UnsampledDig {
  readonly visit: FactRecord<"visits">;
  readonly dig: DigRecord;
}

/** The latest first, at most `most`. */
export function unsampledDigs(book: Book, most: number): UnsampledDig[] {
  const sampled = new Set<string>();
  for (const { facts } of book.records("samples")) {
    if (facts.material === "roots" && facts.visit && facts.dig) sampled.add(`${facts.visit}#${facts.dig}`);
  }
  const visits = [...book.records("visits")].filter(
    (visit) => visit.id !== "" && book.isInSight(visit) && book.hasHappened(visit),
  );
  visits.sort((a, b) => (dayOfText(b.facts.arrived) ?? 0) - (dayOfText(a.facts.arrived) ?? 0));
  const found: UnsampledDig[] = [];
  for (const visit of visits) {
    for (const dig of visit.facts.digs ?? []) {
      if (found.length >= most) return found;
      const isSwollen = plantsWithGalls(dig) + (dig.look_alikes ?? 0) > 0;
      if (isSwollen && dig.id && !sampled.has(`${visit.id}#${dig.id}`)) found.push({ visit, dig });
    }
  }
  return found;
}

export function dayOfMinute(minute: number): number {
  return Math.floor(minute / MINUTES_PER_DAY);
}
