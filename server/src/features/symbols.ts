import { parseDayOf } from "../base/days.ts";
import type { Span } from "../base/text.ts";
import { dayInWords, listed, plural } from "../base/words.ts";
import type { Book } from "../book/book.ts";
import { entryTree, firstPart } from "../records/record-file.ts";
import { isKind, type FactRecord } from "../records/record.ts";
import { recordIdKey, isRecordKind } from "../schema/kinds.ts";
import { entryOf, keyName, resolved } from "../syntax/tree-queries.ts";
import type { SyntaxNode } from "../syntax/tree.ts";
import type { FeatureContext } from "./context.ts";
import { oneLine } from "./safe-text.ts";

/** What a symbol stands for; the shell gives each an icon of the editor. `group` is a key with more below it. */
export type SymbolKind =
  | "field"
  | "entrance"
  | "equipment"
  | "rotation"
  | "crop"
  | "visit"
  | "patch"
  | "dig"
  | "cleaning"
  | "step"
  | "sample"
  | "grower"
  | "crew"
  | "lab"
  | "check"
  | "group";

export interface DocumentSymbol {
  /** One line, never empty. */
  readonly name: string;
  /** One line, perhaps empty. */
  readonly detail: string;
  readonly kind: SymbolKind;
  /** The record or part, in the file's text. */
  readonly span: Span;
  /** The id in it, or its first key. */
  readonly selection: Span;
  readonly children: readonly DocumentSymbol[];
}

/** The records of a file with their parts, in the order written. A record that is half typed is listed with what it has. */
export function documentSymbols(context: FeatureContext): DocumentSymbol[] {
  const { file, book } = context;
  return file.entries.flatMap((entry, index) => {
    const { node, offset } = entryTree(file, index);
    if (!node) return [];
    const { record } = entry.body;
    if (record.kind === "season" || record.kind === "region") return keySymbols(node, record, offset);
    const label = recordLabel(record, book);
    return label ? (symbolOf(node, node, { ...label, parts: partLabels(record) }, offset) ?? []) : [];
  });
}

/** What a symbol says, and the key of the value to select in it. */
export interface SymbolLabel {
  readonly name: string;
  readonly detail: string;
  readonly kind: SymbolKind;
  readonly nameKey: string;
}

interface TreeLabel extends SymbolLabel {
  /** The lists inside, each with a label for every item. */
  readonly parts: readonly PartLabels[];
}

type PartLabels = readonly [list: string, labels: readonly SymbolLabel[]];

function symbolOf(root: SyntaxNode, around: SyntaxNode, label: TreeLabel, offset: number): DocumentSymbol | undefined {
  // What a repeat (`*name`) brings in stands elsewhere.
  if (root.type === "alias" || !isWithin(root.span, around.span)) return undefined;
  const children = label.parts.flatMap(([list, labels]) => {
    const value = entryOf(root, list)?.value;
    const items = value?.type === "list" ? value.items : [];
    return labels.flatMap((part, i) => {
      const item = items[i];
      return item ? (symbolOf(item, root, { ...part, parts: [] }, offset) ?? []) : [];
    });
  });
  const named = entryOf(root, label.nameKey)?.value.span;
  const selection = named && named.end > named.start && isWithin(named, root.span) ? named : firstPart(root);
  return {
    name: oneLine(label.name, 100),
    detail: oneLine(label.detail, 120),
    kind: label.kind,
    span: moved(root.span, offset),
    selection: moved(isWithin(selection, root.span) ? selection : root.span, offset),
    children: children.sort((a, b) => a.span.start - b.span.start),
  };
}

/** The keys of `season.yaml` or a region pack, with the people, labs and checks below them. */
function keySymbols(root: SyntaxNode, record: FactRecord, offset: number): DocumentSymbol[] {
  if (root.type !== "map") return [];
  const lists = new Map(partLabels(record));
  return root.entries.flatMap(({ key, value }) => {
    const name = keyName(key);
    if (name === "" || key.type === "alias") return [];
    const items = value.type === "list" ? value.items : [];
    const children = (lists.get(name) ?? []).flatMap((label, i) => {
      const item = items[i];
      return item ? (symbolOf(item, value, { ...label, parts: [] }, offset) ?? []) : [];
    });
    const scalar = resolved(value);
    const detail = scalar.type === "scalar" ? scalar.source : items.length > 0 ? String(items.length) : "";
    const span = { start: key.span.start, end: Math.max(key.span.end, value.span.end) };
    return {
      name: oneLine(name, 100) || "a key without a name",
      detail: oneLine(detail, 120),
      kind: "group",
      span: moved(span, offset),
      selection: moved(key.span, offset),
      children,
    };
  });
}

/** What the list of symbols says of a record; undefined for files that hold no records. */
export function recordLabel(record: FactRecord, book: Book): SymbolLabel | undefined {
  if (!isRecordKind(record.kind)) return undefined;
  const { kind, noun, details } = aboutRecord(record, book);
  const name = oneLine(record.id) || `${noun} without an id`;
  return { name, detail: joined(details), kind, nameKey: recordIdKey(record.kind) };
}

interface AboutRecord {
  readonly kind: SymbolKind;
  readonly noun: string;
  readonly details: readonly (string | undefined)[];
}

function aboutRecord(record: FactRecord, book: Book): AboutRecord {
  const field = (id: string | undefined): string | undefined => id && book.fieldName(id);
  const day = (text: string | undefined): string | undefined => {
    const number = text === undefined ? undefined : parseDayOf(text);
    return number === undefined ? undefined : dayInWords(number, book.seasonYear);
  };
  if (isKind(record, "fields")) {
    const { name, area_ha: area } = record.facts;
    return { kind: "field", noun: "field", details: [name, area === undefined ? undefined : `${area} ha`] };
  }
  if (isKind(record, "equipment")) {
    const { name, kind, owner } = record.facts;
    return { kind: "equipment", noun: "equipment", details: [name, kind, owner] };
  }
  if (isKind(record, "rotations")) {
    const years = (record.facts.crops ?? []).flatMap(({ year }) => year ?? []);
    const span = years.length > 1 ? `${Math.min(...years)} to ${Math.max(...years)}` : years[0]?.toString();
    return { kind: "rotation", noun: "rotation", details: [field(record.facts.field), span] };
  }
  if (isKind(record, "visits")) {
    const { field: id, arrived, purpose } = record.facts;
    return { kind: "visit", noun: "visit", details: [field(id), day(arrived), purpose] };
  }
  if (isKind(record, "cleanings")) {
    const { at, place, equipment = [] } = record.facts;
    return { kind: "cleaning", noun: "clean-down", details: [day(at), place, listed(equipment.filter(Boolean))] };
  }
  if (isKind(record, "samples")) {
    const { field: id, material, taken, result } = record.facts;
    return { kind: "sample", noun: "sample", details: [field(id), material, day(taken), result?.finding] };
  }
  return { kind: "group", noun: record.kind, details: [] };
}

function partLabels(record: FactRecord): PartLabels[] {
  if (isKind(record, "fields")) {
    const entrances = (record.facts.entrances ?? []).map(({ id, name, usual }) =>
      label("entrance", id, "entrance", [name, usual ? "usual" : undefined]),
    );
    return [["entrances", entrances]];
  }
  if (isKind(record, "rotations")) {
    const crops = (record.facts.crops ?? []).map(({ year, crop, variety }) =>
      label("crop", year?.toString(), "crop", [crop, variety], "year"),
    );
    return [["crops", crops]];
  }
  if (isKind(record, "visits")) {
    const patches = (record.facts.patches ?? []).map(({ id, symptom, area_m2: area }) =>
      label("patch", id, "patch", [symptom, area === undefined ? undefined : `${area} m²`]),
    );
    const digs = (record.facts.digs ?? []).map(({ id, place, patch, plants }) =>
      label("dig", id, "dig", [place, patch, plants === undefined ? undefined : plural(plants, "plant")]),
    );
    return [
      ["patches", patches],
      ["digs", digs],
    ];
  }
  if (isKind(record, "cleanings")) {
    const steps = (record.facts.steps ?? []).map(({ step, with: means, product, contact_minutes: minutes }) =>
      label("step", step, "step", [means, product, minutes === undefined ? undefined : `${minutes} min`], "step"),
    );
    return [["steps", steps]];
  }
  if (isKind(record, "season")) {
    const { growers = [], crew = [], labs = [] } = record.facts;
    return [
      ["growers", growers.map(({ id, name }) => label("grower", id, "grower", [name]))],
      ["crew", crew.map(({ id, name }) => label("crew", id, "member of the crew", [name]))],
      ["labs", labs.map(({ id, name }) => label("lab", id, "lab", [name]))],
    ];
  }
  if (isKind(record, "region")) {
    const checks = (record.facts.checks ?? []).map(({ code, level }) => label("check", code, "check", [level], "code"));
    return [["checks", checks]];
  }
  return [];
}

function label(
  kind: SymbolKind,
  id: string | undefined,
  noun: string,
  details: readonly (string | undefined)[],
  nameKey = "id",
): SymbolLabel {
  const name = oneLine(id ?? "") || `${noun} without ${nameKey === "id" ? "an id" : `a ${nameKey}`}`;
  return { name, detail: joined(details), kind, nameKey };
}

function joined(details: readonly (string | undefined)[]): string {
  return details.filter((detail) => detail !== undefined && detail !== "").join(" · ");
}

function isWithin(inner: Span, outer: Span): boolean {
  return outer.start <= inner.start && inner.end <= outer.end;
}

function moved(span: Span, by: number): Span {
  return { start: span.start + by, end: span.end + by };
}
