/** Asked between steps of long work; when `cancelled` is true the work stops with `Cancelled`. */
export interface CancellationSignal {
  readonly cancelled: boolean;
}

export class Cancelled extends Error {
  constructor() {
    super("cancelled");
  }
}

export const NEVER_CANCELLED: CancellationSignal = { cancelled: false };

export function throwIfCancelled(signal: CancellationSignal): void {
  if (signal.cancelled) throw new Cancelled();
}
