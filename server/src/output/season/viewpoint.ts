import type { Book } from "../../book/book.ts";
import { BOOTS_PREFIX } from "../../book/references.ts";

/**
 * From where a season is looked at: the whole book, by those who keep it, or one grower's part of it. A grower is told of
 * others' fields only that there is one: neither its name, nor its place, nor how it stands, nor whose machine came from it.
 */
export interface Viewpoint {
  readonly book: Book;
  /** Undefined for the whole book. */
  readonly grower: string | undefined;
  isShown(field: string): boolean;
  fieldName(field: string): string;
  /** `ab-drill`, `the boots of M. Okafor`, `another carrier` */
  carrierName(carrier: string): string;
}

export const NEIGHBOURING_FIELD = "a neighbouring field";

export function wholeBook(book: Book): Viewpoint {
  return {
    book,
    grower: undefined,
    isShown: () => true,
    fieldName: (field) => book.fieldName(field),
    carrierName: (carrier) => carrierName(carrier, book),
  };
}

export function ofGrower(book: Book, grower: string): Viewpoint {
  const growers = new Set((book.season.growers ?? []).map(({ id }) => id));
  const isShown = (field: string): boolean => book.record("fields", field)?.facts.grower === grower;
  const isNamed = (carrier: string): boolean => {
    const owner = book.record("equipment", carrier)?.facts.owner;
    if (owner === grower) return true;
    if (owner !== undefined && growers.has(owner)) return false;
    return book.carrierHistory(carrier).stays.some(({ field }) => isShown(field));
  };
  return {
    book,
    grower,
    isShown,
    fieldName: (field) => (isShown(field) ? book.fieldName(field) : NEIGHBOURING_FIELD),
    carrierName: (carrier) => (isNamed(carrier) ? carrierName(carrier, book) : strangersCarrier(carrier, book)),
  };
}

function carrierName(carrier: string, book: Book): string {
  if (carrier.startsWith(BOOTS_PREFIX)) return `the boots of ${book.crewName(carrier.slice(BOOTS_PREFIX.length))}`;
  return book.record("equipment", carrier)?.facts.name ?? carrier;
}

function strangersCarrier(carrier: string, book: Book): string {
  if (carrier.startsWith(BOOTS_PREFIX)) return "boots that came from elsewhere";
  const kind = book.record("equipment", carrier)?.facts.kind;
  return kind === undefined || kind === "other" || kind === "hand tools" ? "another carrier" : `another farm's ${kind}`;
}
