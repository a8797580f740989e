import { formatDay, MINUTES_PER_DAY } from "../base/days.ts";
import { carrierInWords, shareInWords } from "../book/exposure-words.ts";
import type { TraceAnswer } from "../book/trace.ts";
import type { Carriage } from "../soil/soil-records.ts";
import { printable } from "./printable.ts";

/**
 * The chains as a graph in the DOT language (https://graphviz.org/doc/info/lang.html), each carriage once.
 *
 * @param exposed every exposed field of the book, also those whose chains are not asked for
 */
export function traceDot(answer: TraceAnswer, exposed: ReadonlySet<string>, nameOf: (field: string) => string): string {
  const paths = [...answer.exposed, ...(answer.origins ?? []), ...(answer.destinations ?? [])];
  const carriages = new Map<string, Carriage>();
  for (const { chain } of paths)
    for (const step of chain)
      carriages.set(JSON.stringify([step.from, step.to, step.carrier, step.left, step.arrived]), step);
  const confirmed = new Set(answer.confirmed.map(({ field }) => field));
  const fields = [
    ...new Set([
      ...confirmed,
      ...paths.map(({ field }) => field),
      ...[...carriages.values()].flatMap(({ from, to }) => [from, to]),
    ]),
  ].sort();
  const nodeOf = new Map(fields.map((field, i) => [field, field.length > LONGEST ? `${cut(field)} ${i}` : field]));
  const nodes = fields.map((field) => {
    // Okabe-Ito colours; shape and word say the same for those who see no colour.
    const [shape, colour, word] = confirmed.has(field)
      ? ["doubleoctagon", "#D55E00", "confirmed"]
      : exposed.has(field)
        ? ["hexagon", "#E69F00", "exposed"]
        : ["ellipse", "#56B4E9", ""];
    const label = [nameOf(field), word].filter((line) => line !== "");
    return `  ${quoted(nodeOf.get(field)!)} [label=${labelled(label)}, shape=${shape}, color=${quoted(colour)}];`;
  });
  const edges = [...carriages.values()].map((step) => {
    const days = [step.left, step.arrived].map((minute) => formatDay(Math.floor(minute / MINUTES_PER_DAY)));
    const when = days[0] === days[1] ? days[0]! : days.join(" to ");
    const label = [carrierInWords(step.carrier), when, `${shareInWords(step.soilLeft)} left`];
    return `  ${quoted(nodeOf.get(step.from)!)} -> ${quoted(nodeOf.get(step.to)!)} [label=${labelled(label)}];`;
  });
  const legs = paths.flatMap((path) => {
    if (!("carrierLeg" in path) || !path.carrierLeg) return [];
    const { carrier, field, at, soilLeft } = path.carrierLeg;
    // No id has a colon in it, save by mistake.
    const ends = [quoted(`carrier: ${cut(carrier)}`), quoted(nodeOf.get(field) ?? field)];
    const label = [formatDay(Math.floor(at / MINUTES_PER_DAY)), `${shareInWords(soilLeft)} left`];
    return `  ${("arrived" in path ? ends : ends.reverse()).join(" -> ")} [label=${labelled(label)}];`;
  });
  const lines = [...nodes, ...edges, ...new Set(legs)].map((line) => `${line}\n`);
  return `digraph soil {\n  rankdir=LR;\n  node [penwidth=2];\n${lines.join("")}}\n`;
}

/** Graphviz reads no string of more than 16 KB, and a graph of long names shows nothing. */
const LONGEST = 80;

function cut(text: string): string {
  return text.length > LONGEST ? `${text.slice(0, LONGEST)}\u2026` : text;
}

/** A label of several lines. What looks like an HTML entity would be read as one, so its ampersand is written as one. */
function labelled(lines: readonly string[]): string {
  return `"${lines.map((line) => escaped(cut(line)).replaceAll("&", "&amp;")).join("\\n")}"`;
}

function quoted(text: string): string {
  return `"${escaped(text)}"`;
}

/** For within a quoted DOT string; a backslash would begin an escape there, so it is doubled. */
function escaped(text: string): string {
  return printable(text).replaceAll("\\", "\\\\").replaceAll('"', '\\"');
}
