import { formatMinute, parseDay, parseMinute } from "../../base/days.ts";
import { dayInWords } from "../../base/words.ts";
import type { JsonSchema } from "../../schema/json-schema.ts";
import { recordSchemaOf } from "../../schema/shape.ts";
import type { RecordKind } from "../../schema/kinds.ts";
import type { PlainValue } from "../../syntax/tree-queries.ts";
import { writeValue } from "../../syntax/write-scalar.ts";
import { dayOfMinute, fullSteps, sampleRecord, unsampledDigs } from "../new-records.ts";
import { dayOfText, nextPartId, nextRecordId } from "../next-id.ts";
import { oneLine } from "../safe-text.ts";
import { idProposals } from "./completion-ids.ts";
import { indentOf, snippetText, sortTextOf, tabStop, type Clock, type CompletionItem } from "./completion-item.ts";
import { USUAL_PART_IDS } from "./completion-values.ts";
import type { TypingPlace } from "./typing-place.ts";
import type { ValueSite } from "./value-site.ts";

/** A record as lines of a snippet, without dash and indentation. */
interface RecordSnippet {
  readonly label: string;
  readonly detail: string;
  readonly lines: readonly string[];
}

/** Stands for a field that is still to be chosen; no id has capitals. */
const FIELD = "FIELD";
const MOST_SAMPLES = 10;

/** Whole records that could be begun at a place in the list of a kind. */
export function recordItems(
  place: TypingPlace,
  kind: RecordKind,
  site: ValueSite,
  clock: Clock,
  lineEnding: string,
): CompletionItem[] {
  const snippets =
    kind === "visits"
      ? [visitSnippet(site, clock)]
      : kind === "cleanings"
        ? [cleanDownSnippet(site, clock)]
        : kind === "samples"
          ? [...digSnippets(site), sampleSnippet(site, clock)]
          : [plainSnippet(kind, site, clock)];
  return snippets.map((snippet, index) => recordItem(place, snippet, index, lineEnding));
}

function recordItem(
  place: TypingPlace,
  { label, detail, lines }: RecordSnippet,
  index: number,
  lineEnding: string,
): CompletionItem {
  const hasDash = place.what === "item";
  const column = hasDash ? place.column : place.column + place.step;
  const first = hasDash ? (place.needsSpace ? " " : "") : `${" ".repeat(indentOf(place))}- `;
  return {
    label,
    detail,
    documentation: "",
    kind: "record",
    insertText: first + lines.join(lineEnding + " ".repeat(column)),
    isSnippet: true,
    replace: place.replace,
    sortText: sortTextOf("0", index),
    filterText: label,
    asksAgain: false,
  };
}

function visitSnippet(site: ValueSite, clock: Clock): RecordSnippet {
  const { book } = site;
  const likeliest = idProposals("field", site, clock)[0]?.text ?? "";
  const pattern = nextRecordId(book, "visits", { day: parseDay(clock.today), field: FIELD }, site.file) ?? "";
  const isMirrored = pattern.includes(FIELD);
  const ownId = isMirrored ? pattern.replace(FIELD, likeliest) : pattern;
  // A second visit of the day to that field needs a number of its own, and then the id is not the field's alone.
  const isFree = book.record("visits", ownId) === undefined;
  const id = !isFree
    ? snippetText(nextRecordId(book, "visits", { day: parseDay(clock.today), field: likeliest }, site.file) ?? "")
    : isMirrored
      ? parted(pattern, tabStop(1, likeliest))
      : snippetText(pattern);
  const crew = idProposals("crew", site, clock)[0]?.text ?? "";
  const kit = crew ? book.crewHistory(crew).visits.at(-1)?.visit.facts : undefined;
  return {
    label: "visit",
    detail: "a new visit",
    lines: [
      `id: ${id}`,
      `field: ${tabStop(1, likeliest)}`,
      `arrived: ${tabStop(2, clock.now)}`,
      `left: ${tabStop(3)}`,
      `purpose: ${choice(4, "visits", ["purpose"])}`,
      `crew: [${tabStop(5, crew)}]`,
      `equipment: [${tabStop(6, (kit?.equipment ?? []).join(", "))}]`,
      `footwear: ${choice(7, "visits", ["footwear"])}`,
      `ground: ${choice(8, "visits", ["ground"])}`,
    ],
  };
}

/** Of the field's record, the last visit of whoever was out last. */
function cleanDownSnippet(site: ValueSite, clock: Clock): RecordSnippet {
  const { book } = site;
  const now = parseMinute(clock.now);
  const visits = book
    .crewIds()
    .flatMap((id) => book.crewHistory(id).visits.findLast((one) => now === undefined || one.left <= now) ?? []);
  const last = visits.sort((a, b) => b.left - a.left)[0];
  const at = last?.left ?? now;
  const id = nextRecordId(
    book,
    "cleanings",
    { day: at === undefined ? parseDay(clock.today) : dayOfMinute(at), field: last?.field },
    site.file,
  );
  const by = last?.visit.facts.crew?.[0] ?? "";
  return {
    label: "clean-down in full",
    detail: last
      ? `after ${oneLine(book.fieldName(last.field))}, ${dayInWords(dayOfMinute(last.left))}`
      : "remove soil, wash, disinfect",
    lines: [
      `id: ${snippetText(id ?? "")}`,
      `at: ${tabStop(1, at === undefined ? "" : formatMinute(at))}`,
      `place: ${choice(2, "cleanings", ["place"])}`,
      ...(last ? [`field: ${tabStop(3, last.field)}`] : []),
      `equipment: [${tabStop(4, (last?.visit.facts.equipment ?? []).join(", "))}]`,
      `by: ${tabStop(5, by)}`,
      "steps:",
      ...fullSteps(book, last?.visit.facts.equipment ?? []).map((step, index) => `  - ${stepText(step, 6 + index)}`),
    ],
  };
}

function stepText(step: PlainValue, number: number): string {
  const { product } = step as { product?: string };
  const text = snippetText(writeValue(step, "flow"));
  return product
    ? text.replace(`product: ${snippetText(writeValue(product, "flow"))}`, `product: ${tabStop(number, product)}`)
    : text;
}

function digSnippets(site: ValueSite): RecordSnippet[] {
  const { book } = site;
  return unsampledDigs(book, MOST_SAMPLES).map(({ visit, dig }) => {
    const day = dayOfText(visit.facts.arrived);
    const id = nextRecordId(book, "samples", { day, field: visit.facts.field }, site.file) ?? "";
    const record = sampleRecord(book, visit, dig, id);
    return {
      label: `sample of dig ${dig.id ?? ""} of ${visit.id}`,
      detail: `${oneLine(book.fieldName(visit.facts.field ?? ""))}${day === undefined ? "" : `, ${dayInWords(day)}`}`,
      lines: [
        ...Object.entries(record).map(([key, value]) => `${key}: ${snippetText(writeValue(value))}`),
        `sent: ${tabStop(1)}`,
      ],
    };
  });
}

function sampleSnippet(site: ValueSite, clock: Clock): RecordSnippet {
  const id = nextRecordId(site.book, "samples", { day: parseDay(clock.today), field: undefined }, site.file) ?? "";
  return {
    label: "sample",
    detail: "a new sample",
    lines: [
      `id: ${tabStop(1, id)}`,
      `field: ${tabStop(2)}`,
      `material: ${choice(3, "samples", ["material"])}`,
      `taken: ${tabStop(4, clock.today)}`,
      `packed: ${choice(5, "samples", ["packed"])}`,
    ],
  };
}

/** A record of the keys it must have. */
function plainSnippet(kind: RecordKind, site: ValueSite, clock: Clock): RecordSnippet {
  const { schema } = site.book.formats[kind];
  const noun = (schema["x-noun"] ?? "a record").replace(/^an? /, "");
  const id = nextRecordId(site.book, kind, { day: parseDay(clock.today), field: undefined }, site.file) ?? "";
  const usual = kind === "fields" ? ["id", "name", "grower"] : [];
  const keys = [...new Set([...usual, ...(schema.required ?? [])])];
  const lines = keys.map((key, index) => {
    const value = schema.properties?.[key];
    if (value?.type === "array") return `${key}:\n`;
    return `${key}: ${value?.enum ? choiceOf(index + 1, value.enum) : tabStop(index + 1, key === "id" ? id : "")}`;
  });
  return {
    label: noun,
    detail: `a new ${noun}`,
    lines: lines.flatMap((line) => (line.endsWith("\n") ? [line.trim(), "  - $0"] : [line])),
  };
}

/** A part of a record (a dig, a crop, a step) of the keys it must have, in brackets. */
export function partItem(
  place: TypingPlace,
  schema: JsonSchema,
  resolve: (schema: JsonSchema) => JsonSchema,
  site: ValueSite,
): CompletionItem | undefined {
  const required = schema.required ?? [];
  if (required.length === 0) return undefined;
  const noun = (schema["x-noun"] ?? schema.title ?? "part").replace(/^an? /, "").toLowerCase();
  const ids = site.listed.map((item) => (item as { id?: string } | null)?.id);
  const usual = USUAL_PART_IDS[site.key];
  const entries = required.map((key, index) => {
    const property = schema.properties?.[key] ? resolve(schema.properties[key]) : {};
    const known =
      key === "id" && usual !== undefined ? nextPartId(ids, usual) : key === "year" ? nextYear(site.listed) : "";
    return `${key}: ${property.enum ? choiceOf(index + 1, property.enum) : tabStop(index + 1, known)}`;
  });
  const dash = place.what === "dash" ? `${" ".repeat(indentOf(place))}- ` : place.needsSpace ? " " : "";
  return {
    label: noun,
    detail: `a new ${noun}`,
    documentation: schema.description ?? "",
    kind: "record",
    insertText: `${dash}{ ${entries.join(", ")} }`,
    isSnippet: true,
    replace: place.replace,
    sortText: sortTextOf("0", 0),
    filterText: noun,
    asksAgain: false,
  };
}

function nextYear(crops: readonly unknown[]): string {
  const years = crops.flatMap((crop) => {
    const year = (crop as { year?: unknown } | null)?.year;
    return typeof year === "number" ? [year] : [];
  });
  return years.length === 0 ? "" : String(Math.max(...years) + 1);
}

function choice(number: number, kind: RecordKind, [key]: [string]): string {
  return choiceOf(number, recordSchemaOf(kind).properties?.[key]?.enum ?? []);
}

function choiceOf(number: number, words: readonly string[]): string {
  return words.length === 0
    ? tabStop(number)
    : `\${${number}|${words.map((word) => word.replace(/[\\,|$}]/g, "\\$&")).join(",")}|}`;
}

function parted(pattern: string, stop: string): string {
  return pattern.split(FIELD).map(snippetText).join(stop);
}
