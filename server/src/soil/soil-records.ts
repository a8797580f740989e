/**
 * What the records say of soil, as plain values. Times are whole minutes and days whole days, as in `base/days.ts`. A stay and
 * a clean-down are told by their places in their carrier's lists, counted from 0, so that a chain can be walked to its records.
 */

/** A carrier on a field, from `arrived` to `left`. */
export interface Stay {
  readonly field: string;
  readonly arrived: number;
  /** Where a visit does not say when it ended: `arrived`. */
  readonly left: number;
}

/** A cleaning; disinfected footwear gives two full ones, at the visit's `arrived` and at its `left`. */
export interface CleanDown {
  readonly at: number;
  readonly result: {
    readonly full: boolean;
    /** The share of soil left on the carrier, 0 to 1; not looked at when `full`. */
    readonly soilLeft: number;
  };
}

/** What can carry soil from field to field: boots, a tool, a machine. */
export interface Carrier {
  readonly id: string;
  readonly stays: readonly Stay[];
  /** In order of time. */
  readonly cleanings: readonly CleanDown[];
}

export interface ConfirmedField {
  readonly field: string;
  /** Days since 1970-01-01. */
  readonly confirmedOn: number;
}

/** A partial cleaning that lies within a carriage, ends included. */
export interface CleaningBetween {
  /** Its place among the carrier's clean-downs. */
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
  /** The places, among the carrier's stays, of the one that left and the one that arrived. */
  readonly visitLeft: number;
  readonly visitArrived: number;
  /** In order of time; of one minute, what leaves most first. */
  readonly cleanings: readonly CleaningBetween[];
}
