import { plural } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import { placesOfChain } from "../../book/exposure-words.ts";
import type { FieldHistory } from "../../book/field-history.ts";
import { fieldRisk, type FieldRisk } from "../../book/field-risk.ts";
import { RISK_STATUSES, riskStatus, suspicionOf, type RiskStatus } from "../../book/field-status.ts";
import { plantsDugInWords, statusInBrief, windowInBrief } from "../../book/field-risk-words.ts";
import type { RecordPlace } from "../../records/finding.ts";
import { isKind, type FactRecord } from "../../records/record.ts";
import type { FeatureContext } from "../context.ts";
import { placesTarget, valueAt, type LensTarget, type LensText } from "./lens.ts";
import { filePlacesOf } from "../places.ts";
import { plainTitle } from "../safe-text.ts";

/**
 * The field's status, its window and what was dug, in one line which opens the status' reason: all else stands in the hover of
 * its id. Then where its soil may have gone; then the season's visits.
 */
export function fieldLenses(record: FactRecord<"fields">, book: Book): LensText[] {
  // Of an id given twice the first record is the field; the other has its own finding.
  if (book.record("fields", record.id) !== record) return [];
  const field = book.fieldHistory(record.id);
  const risk = fieldRisk(field, book);
  const parts = [
    statusInBrief(field, risk, book),
    risk.window && windowInBrief(risk.window, book),
    plantsDugInWords(risk),
  ];
  const title = plainTitle(parts.filter((part) => part !== undefined).join(" · "));
  return [{ title, opens: reasonTarget(field, risk, book) }, ...soilLens(field, book), ...visitsLens(field, book)];
}

function reasonTarget(field: FieldHistory, { status, exposure }: FieldRisk, book: Book): LensTarget | undefined {
  if (status === "confirmed" && field.confirmed) return placesTarget([field.confirmed.place], book);
  if (status === "suspected") {
    const suspicion = suspicionOf(field, book);
    return suspicion && placesTarget([suspicion.place], book);
  }
  if (status === "exposed" && exposure) {
    const places = placesOfChain(exposure.chain, book).map(({ place }) => place);
    return { kind: "soil", field: field.id, places: filePlacesOf(book, places) };
  }
  const digs = field.visits
    .filter(({ year, isScouting, digs }) => year === book.seasonYear && isScouting && digs.length > 0)
    .map((visit) => valueAt(visit.record, "digs"));
  return placesTarget(digs.length > 0 ? digs : cropPlaces(field, book), book);
}

function cropPlaces(field: FieldHistory, book: Book): RecordPlace[] {
  const crop = field.crops.findLast(({ year }) => year === book.seasonYear);
  return crop ? [valueAt(crop.record, "crops", crop.index, "crop")] : [];
}

/** On a confirmed field: to how many fields its soil may have gone, by the chains that lead to each from the nearest source. */
function soilLens(field: FieldHistory, book: Book): LensText[] {
  if (!field.confirmed) return [];
  const reached = [...book.soil().exposed.values()].filter(({ chain }) => chain[0]?.from === field.id);
  if (reached.length === 0) return [];
  const places = reached.flatMap(({ chain }) => placesOfChain(chain, book).map(({ place }) => place));
  const opens = { kind: "soil", field: field.id, places: filePlacesOf(book, places) } as const;
  return [{ title: `its soil may have gone to ${plural(reached.length, "field")}`, opens }];
}

function visitsLens(field: FieldHistory, book: Book): LensText[] {
  const visits = field.visits.filter(({ year }) => year === book.seasonYear);
  if (visits.length === 0) return [];
  const opens = placesTarget(
    visits.map((visit) => valueAt(visit.record, "arrived")),
    book,
  );
  return [{ title: `${plural(visits.length, "visit")} in ${seasonInWords(book)}`, opens }];
}

/** `2026`, or where it began the year before, `season 2026`. */
function seasonInWords({ seasonYear, seasonStart }: Book): string {
  return seasonYear === undefined ? "the season" : seasonStart ? `season ${seasonYear}` : String(seasonYear);
}

/** `6 fields: 1 confirmed, 2 exposed, 3 waiting`: the fields of one file, which it opens riskiest first. */
export function fieldCountLens({ file, book }: FeatureContext): LensText | undefined {
  const fields = file.entries.flatMap(({ body: { record } }) => {
    if (!isKind(record, "fields") || book.record("fields", record.id) !== record) return [];
    return [{ record, status: riskStatus(book.fieldHistory(record.id), book) }];
  });
  if (fields.length === 0) return undefined;
  const rank = ({ status }: { status: RiskStatus }): number => RISK_STATUSES.indexOf(status);
  const counts = RISK_STATUSES.map((status) => ({
    status,
    count: fields.filter((one) => one.status === status).length,
  }));
  const words = counts.filter(({ count }) => count > 0).map(({ status, count }) => `${count} ${status}`);
  const byRisk = [...fields].sort((a, b) => rank(a) - rank(b));
  return {
    title: `${plural(fields.length, "field")}: ${words.join(", ")}`,
    opens: placesTarget(
      byRisk.map(({ record }) => valueAt(record, "id")),
      book,
    ),
  };
}
