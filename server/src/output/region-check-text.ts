import { oneLine } from "../base/safe-text.ts";
import { plural } from "../base/words.ts";
import { isAsExpected } from "../rules/region-examples.ts";
import type { Colours } from "./colours.ts";
import { printable } from "./printable.ts";
import { isSound, type RegionReport } from "./region-report.ts";

/** What there is to say of a region pack, for a terminal. */
export function regionCheckText(report: RegionReport, colours: Colours): string {
  const { file, region, title, parents, problems, changes, unknown, added, checks, levels, examples } = report;
  const lines: string[] = [];
  const say = (text: string): void => void lines.push(text);
  const safe = (text: string): string => printable(oneLine(text, 300));
  const named = title === "" ? region : `${region}, ${title}`;
  say(colours.strong(`${safe(file)}${named === "" ? "" : `: ${safe(named)}`}`));
  say(
    parents.length === 0 ? "It rests on no other pack." : `It rests on ${parents.map(safe).join(", which rests on ")}.`,
  );
  for (const { file: path, range, level, message } of problems)
    say(
      `\n${safe(path)}:${range.start.line + 1}:${range.start.character + 1} ${colours.level(level, level)}\n  ${safe(message)}`,
    );
  const section = (heading: string, rows: readonly string[]): void => {
    if (rows.length > 0) say(`\n${heading}\n${rows.map((row) => `  ${row}`).join("\n")}`);
  };
  section(
    parents[0] === undefined ? "Its figures:" : `Figures that differ from ${safe(parents[0])}:`,
    changes.map(
      ({ path, before, after, source }) =>
        `${safe(path)}: ${before !== undefined ? `${safe(before)} -> ` : parents.length > 0 ? "new " : ""}${safe(after ?? "")}${colours.faint(`  (${safe(source ?? "no source")})`)}`,
    ),
  );
  section(
    "Not known here:",
    unknown.map(({ path, reason }) => `${safe(path)}: ${safe(reason)}`),
  );
  section(
    "Keys it adds to the records:",
    added.map(
      ({ kind, key, type, isRequired }) => `${kind}: ${safe(key)} (${safe(type)})${isRequired ? ", required" : ""}`,
    ),
  );
  section(
    "Checks of its own:",
    checks.map(
      ({ code, on, level = "warning", message }) => `${safe(code!)} (${level}, ${on ?? ""}): ${safe(message!)}`,
    ),
  );
  section(
    "Levels it sets:",
    levels.map(({ code, level }) => `${safe(code)}: ${level}`),
  );
  section(
    "Examples:",
    examples.map((example) => {
      const verdict = isAsExpected(example) ? colours.good("as expected") : colours.level("error", "not as expected");
      return `${verdict}: ${safe(example.name)}`;
    }),
  );
  const errors = problems.filter(({ level }) => level === "error").length;
  const others = problems.length - errors;
  const counted = [errors > 0 ? plural(errors, "error") : "", others > 0 ? plural(others, "warning") : ""].filter(
    (part) => part !== "",
  );
  const verdict = isSound(report)
    ? colours.good(`The pack can be used${counted.length > 0 ? `; ${counted.join(", ")}` : ""}.`)
    : colours.level("error", `The pack has ${counted.join(" and ")}.`);
  say(`\n${verdict}${examples.length === 0 ? " It has no examples: add some, so that it stays right." : ""}`);
  return `${lines.join("\n")}\n`;
}
