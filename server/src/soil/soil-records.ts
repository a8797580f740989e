/**
 * What the records say of soil, as plain values. Times are whole minutes and days whole days, as in `base/days.ts`;
 * handles (`visit`, `cleaning`) are the caller's own numbers, given back so that a chain can be walked to its records.
 */

/** A carrier on a field, from `arrived` to `left`. */
export interface Stay {
  readonly field: string;
  readonly carrier: string;
  readonly arrived: number;
  /** Where a visit does not say when it ended: `arrived`. */
  readonly left: number;
  readonly visit: number;
}

/** A cleaning of a carrier; disinfected footwear gives two full ones, at the visit's `arrived` and at its `left`. */
export interface CleanDown {
  readonly carrier: string;
  readonly at: number;
  readonly full: boolean;
  /** The share of soil left on the carrier, 0 to 1; not looked at when `full`. */
  readonly soilLeft: number;
  readonly cleaning: number;
}

export interface ConfirmedField {
  readonly field: string;
  /** Days since 1970-01-01. */
  readonly confirmedOn: number;
}

/** A partial cleaning that lies within a carriage, ends included. */
export interface CleaningBetween {
  readonly cleaning: number;
  readonly at: number;
  readonly soilLeft: number;
}

/** Soil may have gone from one field to another on one carrier, with no full clean-down from `left` to `arrived`. */
export interface Carriage {
  readonly from: string;
  readonly to: string;
  readonly carrier: string;
  /** When the carrier left `from`, and when it arrived on `to`; minutes. */
  readonly left: number;
  readonly arrived: number;
  /** The share of soil left after the partial cleanings in between, 0 to 1. */
  readonly soilLeft: number;
  readonly visitLeft: number;
  readonly visitArrived: number;
  /** In order of time; of one minute, what leaves most first. */
  readonly cleanings: readonly CleaningBetween[];
}
