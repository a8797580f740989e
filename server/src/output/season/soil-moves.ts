import { MINUTES_PER_DAY } from "../../base/days.ts";
import { dayInWords, listed, plural } from "../../base/words.ts";
import { byCodeUnits } from "../../base/code-units.ts";
import { shareInWords } from "../../book/exposure-words.ts";
import type { Exposure } from "../../soil/exposure.ts";
import type { Carriage } from "../../soil/soil-records.ts";
import type { Viewpoint } from "./viewpoint.ts";

/** One step of the way that infested soil may have taken, numbered for the map and the table. */
export interface SoilMove {
  readonly number: number;
  readonly carriage: Carriage;
  /** The names of the fields whose exposure rests on it; of those that are not shown, what stands for each. */
  readonly exposes: readonly string[];
}

/** Every carriage of the chains that lead to exposed fields, in order of time; of a grower those that touch his fields. */
export function soilMoves({ book, isShown, fieldName }: Viewpoint): SoilMove[] {
  const found = new Map<string, { readonly carriage: Carriage; readonly exposes: Set<string> }>();
  for (const { field, chain } of book.soil().exposed.values()) {
    for (const carriage of chain) {
      const { from, to, carrier, left, arrived } = carriage;
      if (!isShown(from) && !isShown(to)) continue;
      const key = JSON.stringify([from, to, carrier, left, arrived]);
      const known = found.get(key) ?? { carriage, exposes: new Set<string>() };
      known.exposes.add(field);
      found.set(key, known);
    }
  }
  return [...found.entries()]
    .sort(([a, one], [b, other]) => one.carriage.arrived - other.carriage.arrived || byCodeUnits(a, b))
    .map(([, { carriage, exposes }], i) => ({ number: i + 1, carriage, exposes: [...exposes].map(fieldName) }));
}

/** `soil of Corner Quarter may have come here on ab-drill (left 8 May, arrived 10 May), about 1 % of it left` */
export function exposureSentence({ chain, soilLeft }: Exposure, view: Viewpoint): string {
  const [first] = chain;
  if (!first) return "soil of an infested field may have come here";
  const steps = chain.map((step, i) => {
    const to = i < chain.length - 1 ? `to ${view.fieldName(step.to)}` : "here";
    return `${to} on ${view.carrierName(step.carrier)} (${timesOf(step, view)})`;
  });
  return `soil of ${view.fieldName(first.from)} may have come ${steps.join(", then ")}, ${shareInWords(soilLeft)} of it left`;
}

/** `left 8 May, arrived 10 May`, `14 Aug` */
export function timesOf({ left, arrived }: Pick<Carriage, "left" | "arrived">, { book }: Viewpoint): string {
  const [from, to] = [left, arrived].map((minute) => dayInWords(Math.floor(minute / MINUTES_PER_DAY), book.seasonYear));
  return from === to ? to! : `left ${from}, arrived ${to}`;
}

export function moveLabel({ number, carriage }: SoilMove, view: Viewpoint): string {
  const { from, to, carrier, soilLeft, cleanings } = carriage;
  const cleaned = cleanings.length === 0 ? "nothing cleaned in between" : "a clean-down in between fell short";
  return `${number}: ${view.carrierName(carrier)} from ${view.fieldName(from)} to ${view.fieldName(to)}, ${timesOf(carriage, view)}; ${cleaned}, ${shareInWords(soilLeft)} of the soil left`;
}

/** `Long Meadow and 2 neighbouring fields`; names that stand for no field in particular are counted. */
export function exposedInWords(names: readonly string[], neighbour: string): string {
  const named = names.filter((name) => name !== neighbour);
  const others = names.length - named.length;
  return listed(others === 0 ? named : [...named, others === 1 ? neighbour : plural(others, "neighbouring field")]);
}
