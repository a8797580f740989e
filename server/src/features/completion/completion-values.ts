import { parseDay } from "../../base/days.ts";
import { figure } from "../../base/words.ts";
import { strengthFromVolumes } from "../../agronomy/mixing.ts";
import type { Pointer } from "../../records/finding.ts";
import { isKind } from "../../records/record.ts";
import type { JsonSchema } from "../../schema/json-schema.ts";
import { isRecordKind } from "../../schema/kinds.ts";
import { shippedRegionNames } from "../../schema/region.ts";
import { dayOfText, nextPartId, nextRecordId } from "../next-id.ts";
import { oneLine } from "../safe-text.ts";
import type { Clock, Proposal } from "./completion-item.ts";
import { idProposals } from "./completion-ids.ts";
import { dayProposals, timeProposals } from "./completion-times.ts";
import type { ValueSite } from "./value-site.ts";

/** What a value could be, the likeliest first. */
export function valueProposals(schema: JsonSchema, site: ValueSite, clock: Clock): Proposal[] {
  if (schema.enum) {
    return schema.enum.map((text, index) => ({
      text,
      documentation: schema["x-enumDescriptions"]?.[index] ?? "",
      kind: "word",
    }));
  }
  if (schema.type === "boolean") return ["true", "false"].map((text) => ({ text, isPlain: true, kind: "word" }));
  if (schema["x-refers-to"] !== undefined) {
    const listed = new Set(site.listed);
    return idProposals(schema["x-refers-to"], site, clock).filter(({ text }) => !listed.has(text));
  }
  if (schema["x-format"] !== undefined) return timeProposals(site, clock);
  if (schema.format === "date") return dayProposals(site, clock);
  if (site.key === "id") return newIds(site, clock);
  if (schema.type === "number" || schema.type === "integer") return figures(site, clock);
  if (schema.type === "string") return [...packNames(site), ...wordsInUse(site)];
  return [];
}

function newIds({ book, file, record, pointer, around }: ValueSite, clock: Clock): Proposal[] {
  const { kind, facts } = record;
  if (!isRecordKind(kind) || pointer.length > 1) {
    const listPointer = pointer.slice(0, -2);
    const list = at(facts, listPointer);
    const ids = Array.isArray(list) ? list.map((item) => (item as { id?: string } | null)?.id) : [];
    const usual = USUAL_PART_IDS[String(listPointer.at(-1))];
    const place = typeof around["place"] === "string" ? around["place"] : "";
    return usual === undefined
      ? []
      : [{ text: nextPartId(ids, usual), detail: place || "the next free one", kind: "id" }];
  }
  const dated = facts as { arrived?: string; at?: string; taken?: string; field?: string };
  const day = dayOfText(dated.arrived ?? dated.at ?? dated.taken) ?? parseDay(clock.today);
  const id = nextRecordId(book, kind, { day, field: dated.field }, file);
  return id === undefined ? [] : [{ text: id, detail: "the next free one", kind: "id" }];
}

/** What the first of a record's parts is called. */
export const USUAL_PART_IDS: Readonly<Record<string, string>> = { digs: "d1", patches: "p1" };

function figures({ book, record, key, around, pointer }: ValueSite, clock: Clock): Proposal[] {
  const found: Proposal[] = [];
  const add = (value: number | undefined, detail: string): void => {
    if (value === undefined || !Number.isFinite(value)) return;
    const text = figure(value, 3);
    if (!found.some((one) => one.text === text)) found.push({ text, detail, isPlain: true, kind: "figure" });
  };
  const { region } = book;
  const today = parseDay(clock.today);
  if (record.kind === "cleanings") {
    if (key === "strength_percent") {
      const [stock, stockLitres, water] = [around["stock_percent"], around["stock_l"], around["water_l"]];
      if (typeof stock === "number" && typeof stockLitres === "number" && typeof water === "number") {
        const made = strengthFromVolumes(stock, stockLitres, water);
        if (made.ok) add(made.value, "% from stock and water");
      }
      add(region.cleaning?.strength_percent, "% asked by the region");
    }
    if (key === "contact_minutes") add(region.cleaning?.contact_minutes, "minutes asked by the region");
  }
  if (key === "plants" && Array.isArray(around["ratings"])) add(sum(around["ratings"]), "the plants rated");
  if (key === "plants" && record.kind === "visits")
    add(region.scouting?.plants_per_stop, "plants at a stop, by the region");
  if (key === "year" && isKind(record, "rotations")) {
    const years = (record.facts.crops ?? []).flatMap(({ year }) => year ?? []);
    add(years.length > 0 ? Math.max(...years) + 1 : book.seasonYear, "the next year");
  }
  if (key === "season" && pointer.length === 1 && today !== undefined)
    add(book.seasonOfDay(today), book.seasonStart ? "the season of today" : "this year");
  return found;
}

function packNames({ book, file, record, key, pointer }: ValueSite): Proposal[] {
  const wantsPack = (record.kind === "season" && key === "region") || (record.kind === "region" && key === "extends");
  if (!wantsPack || pointer.length > 1) return [];
  const folder = file.path.slice(0, file.path.lastIndexOf("/") + 1);
  const files = book.files.filter(
    ({ kind, path }) => kind === "region" && path !== file.path && path.startsWith(folder),
  );
  return [
    ...shippedRegionNames().map((text): Proposal => ({ text, detail: "comes with Spadework", kind: "word" })),
    ...files.map(({ path }): Proposal => ({
      text: path.slice(folder.length),
      detail: "a pack of this book",
      kind: "word",
    })),
  ];
}

/** Words that are told once, not chosen again. */
const OWN_WORDS: ReadonlySet<string> = new Set([
  "note",
  "name",
  "contact",
  "reference",
  "message",
  "when",
  "title",
  "source",
  "code",
  "region",
  "extends",
]);
const RECORDS_LOOKED_AT = 3000;
const MOST_WORDS = 50;

/** What stands under the same key elsewhere in the book, the commonest first. */
function wordsInUse({ book, record, key, pointer }: ValueSite): Proposal[] {
  const { kind } = record;
  if (OWN_WORDS.has(key) || !isRecordKind(kind)) return [];
  const counts = new Map<string, number>();
  if (key === "crop") for (const host of book.region.hosts ?? []) counts.set(host, 0);
  if (key === "owner")
    for (const { id } of [...(book.season.growers ?? []), ...(book.season.crew ?? [])]) if (id) counts.set(id, 0);
  let looked = 0;
  for (const { facts } of book.records(kind)) {
    if (++looked > RECORDS_LOOKED_AT) break;
    for (const word of textsAt(facts, pointer)) if (word !== "") counts.set(word, (counts.get(word) ?? 0) + 1);
  }
  const words = [...counts].sort((a, b) => b[1] - a[1]).slice(0, MOST_WORDS);
  return words.map(([text, count]) => ({
    text,
    label: oneLine(text),
    detail: count === 0 ? "" : `written ${count} times before`.replace(" 1 times", " once"),
    kind: "word",
  }));
}

/** The texts at a pointer, whatever its indices. */
function textsAt(value: unknown, pointer: Pointer): string[] {
  const [step, ...rest] = pointer;
  if (step === undefined) return typeof value === "string" ? [value] : [];
  if (Array.isArray(value)) return value.flatMap((item) => textsAt(item, rest));
  if (value === null || typeof value !== "object" || !Object.hasOwn(value, step)) return [];
  return textsAt((value as Record<string, unknown>)[step], rest);
}

export function at(value: unknown, pointer: Pointer): unknown {
  let here = value;
  for (const step of pointer) {
    if (here === null || typeof here !== "object" || !Object.hasOwn(here, step)) return undefined;
    here = (here as Record<string | number, unknown>)[step];
  }
  return here;
}

function sum(list: readonly unknown[]): number | undefined {
  let total = 0;
  for (const item of list) {
    if (typeof item !== "number") return undefined;
    total += item;
  }
  return total;
}
