import { formatDay, MINUTES_PER_DAY } from "../base/days.ts";
import { carrierInWords, shareInWords } from "../book/exposure-words.ts";
import type { TraceAnswer } from "../book/trace.ts";
import type { Carriage } from "../soil/soil-records.ts";

/** The chains as a graph in the DOT language (https://graphviz.org/doc/info/lang.html), each carriage once. */
export function traceDot(answer: TraceAnswer, nameOf: (field: string) => string): string {
  const paths = [...answer.exposed, ...(answer.origins ?? []), ...(answer.destinations ?? [])];
  const carriages = new Map<string, Carriage>();
  for (const { chain } of paths)
    for (const step of chain)
      carriages.set(JSON.stringify([step.from, step.to, step.carrier, step.left, step.arrived]), step);
  const confirmed = new Set(answer.confirmed.map(({ field }) => field));
  const exposed = new Set(answer.exposed.map(({ field }) => field));
  const fields = [
    ...new Set([
      ...confirmed,
      ...exposed,
      ...paths.map(({ field }) => field),
      ...[...carriages.values()].flatMap(({ from, to }) => [from, to]),
    ]),
  ].sort();
  const nodes = fields.map((field) => {
    // Okabe-Ito colours; shape and word say the same for those who see no colour.
    const [shape, colour, word] = confirmed.has(field)
      ? ["doubleoctagon", "#D55E00", "confirmed"]
      : exposed.has(field)
        ? ["hexagon", "#E69F00", "exposed"]
        : ["ellipse", "#56B4E9", ""];
    return `  ${quoted(field)} [label=${quoted(word ? `${nameOf(field)}\n${word}` : nameOf(field))}, shape=${shape}, color=${quoted(colour)}];`;
  });
  const edges = [...carriages.values()].map((step) => {
    const days = [step.left, step.arrived].map((minute) => formatDay(Math.floor(minute / MINUTES_PER_DAY)));
    const when = days[0] === days[1] ? days[0]! : days.join(" to ");
    return `  ${quoted(step.from)} -> ${quoted(step.to)} [label=${quoted(`${carrierInWords(step.carrier)}\n${when}\n${shareInWords(step.soilLeft)} left`)}];`;
  });
  return `digraph soil {\n  rankdir=LR;\n  node [penwidth=2];\n${[...nodes, ...edges].join("\n")}${nodes.length > 0 ? "\n" : ""}}\n`;
}

/** A quoted DOT string; a backslash would begin an escape there, so it is doubled. */
function quoted(text: string): string {
  // eslint-disable-next-line no-control-regex
  const safe = text.replace(/[\u0000-\u0009\u000B-\u001F\u007F]/g, "\uFFFD");
  return `"${safe.replaceAll("\\", "\\\\").replaceAll('"', '\\"').replaceAll("\n", "\\n")}"`;
}
