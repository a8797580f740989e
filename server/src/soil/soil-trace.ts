import type { ChainEnd } from "./chain-order.ts";
import { ChainReport } from "./chain-report.ts";
import { lazily } from "./lazily.ts";
import type { Carriage, CleaningBetween } from "./soil-records.ts";
import type { SoilTimeline } from "./soil-timeline.ts";
import { spread, type SoilSource } from "./spread.ts";

/** Where soil is followed from, or back from: a field, or what a carrier has on board. */
export type SoilPlace = { readonly field: string } | { readonly carrier: string };

/** Between a carrier's load at the moment that was asked about and a field: where it came off, or came on. */
export interface CarrierLeg {
  readonly carrier: string;
  readonly field: string;
  /** Forward: when the carrier arrived on the field. Backward: when it left it. */
  readonly at: number;
  /** The place of the stay among the carrier's. */
  readonly visit: number;
  readonly soilLeft: number;
  readonly cleanings: readonly CleaningBetween[];
}

interface SoilPath {
  /** The field it may have gone to, or come from. */
  readonly field: string;
  /** Legs of the chain, the carrier's own counted. */
  readonly carriages: number;
  /** The share of soil left over the whole chain, the carrier's own leg counted; 0 to 1. */
  readonly soilLeft: number;
  /** In order of time; written out when it is first looked at. */
  readonly chain: readonly Carriage[];
  /** Where a carrier's load was asked about: forward, the leg before the chain; backward, the leg after it. */
  readonly carrierLeg: CarrierLeg | undefined;
}

export interface SoilDestination extends SoilPath {
  /** The earliest arrival by any chain; minutes. */
  readonly arrived: number;
}

export interface SoilOrigin extends SoilPath {
  /** The latest departure by any chain; minutes. */
  readonly left: number;
}

/**
 * The fields that a field's soil, or what a carrier has on board, may have reached since a moment, by id. The chain given for
 * each is chosen as for an exposure, see `exposures`. A carrier's load is followed to its next full clean-down; the carrier's
 * arrival on a field then counts as the chain's first leg.
 *
 * @param from the moment in minutes; without it, since before the records
 */
export function soilFrom(timeline: SoilTimeline, place: SoilPlace, from = -Infinity): SoilDestination[] {
  const source = sourceOf(timeline, place, from, 1);
  if (!source) return [];
  const { firstArrival, fewestCarriages } = spread(timeline, timeline.forward, [source]);
  const report = new ChainReport(timeline, "forward");
  return fewestCarriages.flatMap((end, field) => {
    if (!end || isSource(source, field)) return [];
    const chain = lazily(() => report.chain(end));
    const { firstLeg, soilLeft } = report.summary(end);
    const carrierLeg = legOnto(timeline, firstLeg, from);
    const destination: SoilDestination = {
      field: timeline.fieldIds[field]!,
      arrived: firstArrival[field]!,
      carriages: end.carriages,
      soilLeft: soilLeft * (carrierLeg?.soilLeft ?? 1),
      carrierLeg,
      get chain() {
        return chain();
      },
    };
    return [destination];
  });
}

/**
 * The fields whose soil a field may have got, or a carrier may have on board, by a moment, by id; whether or not they are
 * confirmed. This is `soilFrom` with time running the other way, and so is the choice of the chain: fewest carriages; the
 * latest departure; the field ids in order, from the last field back; the most soil left; and then from the first carriage
 * on, carrier id, later departure, earlier arrival, and the places of the stays.
 *
 * @param upTo the moment in minutes; without it, after the records
 */
export function soilTo(timeline: SoilTimeline, place: SoilPlace, upTo = Infinity): SoilOrigin[] {
  const source = sourceOf(timeline, place, upTo, -1);
  if (!source) return [];
  const { firstArrival, fewestCarriages } = spread(timeline, timeline.backward, [source]);
  const report = new ChainReport(timeline, "backward");
  return fewestCarriages.flatMap((end, field) => {
    if (!end || isSource(source, field)) return [];
    const chain = lazily(() => report.chain(end));
    const { firstLeg, soilLeft } = report.summary(end);
    const carrierLeg = legOff(timeline, firstLeg, upTo);
    const origin: SoilOrigin = {
      field: timeline.fieldIds[field]!,
      left: 0 - firstArrival[field]!,
      carriages: end.carriages,
      soilLeft: soilLeft * (carrierLeg?.soilLeft ?? 1),
      carrierLeg,
      get chain() {
        return chain();
      },
    };
    return [origin];
  });
}

function sourceOf(timeline: SoilTimeline, place: SoilPlace, moment: number, sign: 1 | -1): SoilSource | undefined {
  if ("field" in place) {
    const field = timeline.fieldNumber(place.field);
    return field === undefined ? undefined : { field, since: sign * moment };
  }
  const cleanings = timeline.cleaningsOf(place.carrier);
  if (!cleanings) return undefined;
  return { stretch: cleanings.stretchAt(moment), since: sign * moment };
}

function isSource(source: SoilSource, field: number): boolean {
  return "field" in source && source.field === field;
}

/** Where a chain starts with what a carrier had on board at a moment: how that came onto its first field. */
function legOnto(timeline: SoilTimeline, { stayLeft, stayArrived }: ChainEnd, from: number): CarrierLeg | undefined {
  if (stayLeft >= 0) return undefined;
  const { arrived } = timeline.stay(stayArrived);
  return legOf(timeline, stayArrived, arrived, [from, arrived]);
}

/** The same looking back: how what a carrier had on board at a moment came off the last field. */
function legOff(timeline: SoilTimeline, { stayLeft, stayArrived }: ChainEnd, upTo: number): CarrierLeg | undefined {
  if (stayLeft >= 0) return undefined;
  const { left } = timeline.stay(stayArrived);
  return legOf(timeline, stayArrived, left, [left, upTo]);
}

function legOf(timeline: SoilTimeline, stay: number, at: number, [from, to]: [number, number]): CarrierLeg {
  const carrier = timeline.carrierIds[timeline.carrierOf[stay]!]!;
  const cleanings = timeline.cleaningsOf(carrier)!;
  const between = lazily(() => cleanings.partialBetween(from, to));
  return {
    carrier,
    field: timeline.stay(stay).field,
    at,
    visit: timeline.placeOf(stay),
    soilLeft: cleanings.shareLeftBetween(from, to),
    get cleanings() {
      return between();
    },
  };
}
