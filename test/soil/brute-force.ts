/**
 * Carriages, chains and exposure written out from the definitions of the record format, by trying everything. Shares no
 * code with `server/src/soil`: only the shape of its input and, for comparing, of what it reports.
 */

export interface NaiveStay {
  field: string;
  carrier: string;
  arrived: number;
  left: number;
  visit: number;
}

export interface NaiveCleanDown {
  carrier: string;
  at: number;
  full: boolean;
  soilLeft: number;
  cleaning: number;
}

export interface NaiveCarriage {
  from: string;
  to: string;
  carrier: string;
  left: number;
  arrived: number;
  visitLeft: number;
  visitArrived: number;
  partial: NaiveCleanDown[];
}

/** `from` is null where the chain starts with what a carrier has on board, `to` where it ends with that. */
export interface NaiveLeg extends Omit<NaiveCarriage, "from" | "to"> {
  from: string | null;
  to: string | null;
}

/** Every carriage there is: every departure with every arrival of the same carrier. */
export function allCarriages(stays: NaiveStay[], cleanDowns: NaiveCleanDown[]): NaiveCarriage[] {
  const found: NaiveCarriage[] = [];
  for (const leaving of stays) {
    for (const reaching of stays) {
      if (leaving.carrier !== reaching.carrier || leaving.field === reaching.field) continue;
      const between = cleaningsBetween(cleanDowns, leaving.carrier, leaving.left, reaching.arrived);
      if (leaving.left > reaching.arrived || between.some((cleaning) => cleaning.full)) continue;
      found.push({
        from: leaving.field,
        to: reaching.field,
        carrier: leaving.carrier,
        left: leaving.left,
        arrived: reaching.arrived,
        visitLeft: leaving.visit,
        visitArrived: reaching.visit,
        partial: between,
      });
    }
  }
  return found;
}

/** A carrier's clean-downs within a stretch of time, both ends included, in order; of one minute, what leaves most first. */
export function cleaningsBetween(all: NaiveCleanDown[], carrier: string, from: number, to: number): NaiveCleanDown[] {
  return all
    .filter((cleaning) => cleaning.carrier === carrier && from <= cleaning.at && cleaning.at <= to)
    .sort((a, b) => a.at - b.at || b.soilLeft - a.soilLeft || a.cleaning - b.cleaning);
}

/** Thrown where a book holds too many chains to try them all. */
export class TooManyChains extends Error {}

const MOST_CHAINS = 20_000;

/** Each chain with each leg that may follow it. */
export function longerByOne(chains: NaiveLeg[][], all: NaiveLeg[]): NaiveLeg[][] {
  const longer: NaiveLeg[][] = [];
  for (const chain of chains) {
    const last = chain[chain.length - 1];
    for (const leg of all) {
      if (leg.from !== last.to || leg.left < last.arrived) continue;
      // A chain that comes back to a field it has left is never among those with the fewest legs to its end.
      if (chain.some((earlier) => earlier.from === leg.to)) continue;
      longer.push([...chain, leg]);
      if (longer.length > MOST_CHAINS) throw new TooManyChains();
    }
  }
  return longer;
}

/** Every chain of up to as many legs as it takes to reach every field that soil can be carried to, by the field it ends on. */
export function allChains(carriages: NaiveLeg[], mayStart: (leg: NaiveLeg) => boolean): Map<string, NaiveLeg[][]> {
  const starts = new Set(carriages.filter(mayStart).map((leg) => leg.from));
  const targets = [...earliestArrivals(carriages, mayStart).keys()].filter((field) => !starts.has(field));
  const byEnd = new Map<string, NaiveLeg[][]>();
  let chains: NaiveLeg[][] = carriages.filter(mayStart).map((leg) => [leg]);
  for (;;) {
    for (const chain of chains) {
      const end = chain[chain.length - 1].to!;
      if (!byEnd.has(end)) byEnd.set(end, []);
      byEnd.get(end)!.push(chain);
    }
    if (chains.length === 0 || targets.every((field) => byEnd.has(field))) return byEnd;
    chains = longerByOne(chains, carriages);
  }
}

/** The earliest arrival on each field by any chain of any length, by letting soil go on until nothing changes. */
export function earliestArrivals(carriages: NaiveLeg[], mayStart: (leg: NaiveLeg) => boolean): Map<string, number> {
  const earliest = new Map<string, number>();
  for (let changed = true; changed;) {
    changed = false;
    for (const leg of carriages) {
      const reached = leg.from === null ? undefined : earliest.get(leg.from);
      if (!mayStart(leg) && !(reached !== undefined && reached <= leg.left)) continue;
      const known = earliest.get(leg.to!);
      if (known !== undefined && known <= leg.arrived) continue;
      earliest.set(leg.to!, leg.arrived);
      changed = true;
    }
  }
  return earliest;
}

/** Tens of times by which soil has become less; nothing left counts as a thousand tens. */
export function decadesLost(legs: NaiveLeg[]): number {
  let sum = 0;
  for (const leg of legs) for (const { soilLeft } of leg.partial) sum += soilLeft === 0 ? 1000 : -Math.log10(soilLeft);
  return sum;
}

export function shareLeft(legs: NaiveLeg[]): number {
  let share = 1;
  for (const leg of legs) {
    let ofLeg = 1;
    for (const { soilLeft } of leg.partial) ofLeg *= soilLeft;
    share *= ofLeg;
  }
  return share;
}

/** The order among chains to one field, as documented: the smallest is the one that is reported. */
export function compareForward(a: NaiveLeg[], b: NaiveLeg[]): number {
  const rank = (chain: NaiveLeg[]): Rank[] => {
    const ranks: Rank[] = [
      chain.length,
      chain[chain.length - 1].arrived,
      ...chain.map((leg) => leg.from ?? ""),
      decadesLost(chain),
    ];
    for (let n = chain.length; n >= 1; n--) {
      const leg = chain[n - 1];
      ranks.push(leg.carrier, leg.arrived, -leg.left, leg.visitLeft, leg.visitArrived);
    }
    return ranks;
  };
  return compareRanks(rank(a), rank(b));
}

/** The same for chains from one field, looked at backward. */
export function compareBackward(a: NaiveLeg[], b: NaiveLeg[]): number {
  const rank = (chain: NaiveLeg[]): Rank[] => {
    const fieldsBack = chain.map((leg) => leg.to ?? "").reverse();
    const ranks: Rank[] = [chain.length, -chain[0].left, ...fieldsBack, decadesLost(chain)];
    for (let n = 0; n < chain.length; n++) {
      const leg = chain[n];
      ranks.push(leg.carrier, -leg.left, leg.arrived, leg.visitArrived, leg.visitLeft);
    }
    return ranks;
  };
  return compareRanks(rank(a), rank(b));
}

type Rank = number | string;

function compareRanks(a: Rank[], b: Rank[]): number {
  for (let i = 0; i < Math.min(a.length, b.length); i++) {
    const [x, y] = [a[i], b[i]];
    if (typeof x === "number" && typeof y === "number") {
      if (Math.abs(x - y) > 1e-4) return x - y;
    } else if (x !== y) return x < y ? -1 : 1;
  }
  return a.length - b.length;
}
