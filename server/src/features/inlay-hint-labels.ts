import { stageMeaning } from "../agronomy/bbch.ts";
import { strengthFromVolumes } from "../agronomy/mixing.ts";
import { severity } from "../agronomy/severity.ts";
import { parseMinute } from "../base/days.ts";
import { figure, plural } from "../base/words.ts";
import type { Book } from "../book/book.ts";
import { labOf } from "../book/labs.ts";
import { BOOTS_PREFIX, referencesOf, type Reference } from "../book/references.ts";
import { hostYears, yearsInWords, type RestFromHosts } from "../book/rotation.ts";
import type { FactRecord } from "../records/record.ts";
import type { Pointer } from "../syntax/tree-queries.ts";

/** What hints there are: the names of the editor's settings. */
export const INLAY_HINT_KINDS = ["severity", "strength", "stage", "breakYears", "hoursOnField", "names"] as const;
export type InlayHintKind = (typeof INLAY_HINT_KINDS)[number];

/** A hint by the value it stands after: of several pointers the one written last. */
export interface HintLabel {
  readonly after: readonly Pointer[];
  readonly label: string;
  readonly kind: InlayHintKind;
}

/** Severity after `ratings`, the meaning of `stage`, and the time on the field after `left`. */
export function visitHints({ facts }: FactRecord<"visits">): HintLabel[] {
  const hints: HintLabel[] = [];
  const meaning = facts.stage === undefined ? undefined : stageMeaning(facts.stage);
  if (meaning) hints.push({ after: [["stage"]], label: meaning, kind: "stage" });
  const time = timeOnField(facts.arrived, facts.left);
  if (time) hints.push({ after: [["left"]], label: time, kind: "hoursOnField" });
  facts.digs?.forEach(({ ratings }, i) => {
    const found = ratings && severity(ratings);
    if (!found?.ok) return;
    const label = `DSI ${figure(found.value.dsiPercent, 1)} %, incidence ${figure(found.value.incidencePercent, 1)} %`;
    hints.push({ after: [["digs", i, "ratings"]], label, kind: "severity" });
  });
  return hints;
}

/** `1 h 25 min`; undefined where a time is missing or the field was left before it was entered. */
function timeOnField(arrived: string | undefined, left: string | undefined): string | undefined {
  const [from, to] = [parseMinute(arrived ?? ""), parseMinute(left ?? "")];
  if (from === undefined || to === undefined || to < from) return undefined;
  const [hours, minutes] = [Math.floor((to - from) / 60), (to - from) % 60];
  if (hours === 0) return `${minutes} min`;
  return minutes === 0 ? `${hours} h` : `${hours} h ${minutes} min`;
}

/** The strength that stock and water make, after whichever of the three figures is written last. */
export function cleaningHints({ facts }: FactRecord<"cleanings">): HintLabel[] {
  return (facts.steps ?? []).flatMap(({ stock_percent, stock_l, water_l }, i): HintLabel[] => {
    if (stock_percent === undefined || stock_l === undefined || water_l === undefined) return [];
    const strength = strengthFromVolumes(stock_percent, stock_l, water_l);
    if (!strength.ok) return [];
    const after = ["stock_percent", "stock_l", "water_l"].map((key) => ["steps", i, key]);
    return [{ after, label: `makes ${figure(strength.value)} %`, kind: "strength" }];
  });
}

/** The break before each host crop, after the crop's name. */
export function rotationHints(record: FactRecord<"rotations">, book: Book): HintLabel[] {
  if (!record.facts.field) return [];
  return hostYears(book.fieldHistory(record.facts.field)).flatMap(({ crop, rest }): HintLabel[] => {
    if (crop.record !== record || !rest) return [];
    return [{ after: [["crops", crop.index, "crop"]], label: breakInWords(rest), kind: "breakYears" }];
  });
}

/** `break of 2 years`, `break of 1 year, 2024 not recorded` */
export function breakInWords({ years, missing }: RestFromHosts): string {
  const unknown = missing.length === 0 ? "" : `, ${yearsInWords(missing)} not recorded`;
  return `${years === 0 ? "no break" : `break of ${plural(years, "year")}`}${unknown}`;
}

/** The name after each id that has one and is not the name itself. */
export function namesOfIds(record: FactRecord, book: Book): HintLabel[] {
  return referencesOf(record).flatMap((reference): HintLabel[] => {
    const name = nameOf(reference, book);
    if (!name || name === reference.id) return [];
    return [{ after: [reference.pointer], label: name, kind: "names" }];
  });
}

function nameOf({ kind, id, within }: Reference, book: Book): string | undefined {
  switch (kind) {
    case "field":
      return book.record("fields", id)?.facts.name;
    case "entrance":
      return book.record("fields", within ?? "")?.facts.entrances?.find((entrance) => entrance.id === id)?.name;
    case "equipment":
      return book.record("equipment", id)?.facts.name;
    case "carrier":
      if (!id.startsWith(BOOTS_PREFIX)) return book.record("equipment", id)?.facts.name;
      return crewName(id.slice(BOOTS_PREFIX.length), book);
    case "crew":
      return crewName(id, book);
    case "grower":
      return book.season.growers?.find((grower) => grower.id === id)?.name;
    case "lab":
      return labOf(book, id)?.name;
    default:
      return undefined;
  }
}

function crewName(id: string, book: Book): string | undefined {
  return book.season.crew?.find((member) => member.id === id)?.name;
}
