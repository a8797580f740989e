import { MINUTES_PER_DAY } from "../base/days.ts";
import type { Exposure, InfestedField } from "../soil/exposure.ts";
import { soilFrom, soilTo, type SoilDestination, type SoilOrigin, type SoilPlace } from "../soil/soil-trace.ts";
import type { ConfirmedField } from "../soil/soil-records.ts";
import type { Book } from "./book.ts";
import { exposuresByRegion } from "./soil-movement.ts";

/** What is asked of a book's soil. */
export interface TraceQuestion {
  /** Without a place: every exposure of the book. */
  readonly place: SoilPlace | undefined;
  /** The first day that counts going forward; days since 1970-01-01. */
  readonly from: number | undefined;
  readonly direction: "back" | "forward" | "both";
  /** Fields to be taken for confirmed from a day, whatever the records say. */
  readonly assumed: readonly ConfirmedField[];
}

export interface TraceAnswer {
  readonly confirmed: readonly InfestedField[];
  readonly exposed: readonly Exposure[];
  /** With a place: where its soil may have gone, and where soil on it may have come from. */
  readonly destinations: readonly SoilDestination[] | undefined;
  readonly origins: readonly SoilOrigin[] | undefined;
}

export function traceSoil(book: Book, { place, from, direction, assumed }: TraceQuestion): TraceAnswer {
  const { timeline, confirmed } = book.soil();
  const known = [...confirmed.values()].map(({ field, confirmedOn }) => ({ field, confirmedOn }));
  const found = exposuresByRegion(timeline, [...known, ...assumed], book.region.trace?.look_back_days);
  const since = from === undefined ? undefined : from * MINUTES_PER_DAY;
  return {
    confirmed: found.confirmed,
    exposed: found.exposed,
    destinations: place && direction !== "back" ? soilFrom(timeline, place, since) : undefined,
    origins: place && direction !== "forward" ? soilTo(timeline, place) : undefined,
  };
}
