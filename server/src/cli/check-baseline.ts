import { resolve } from "node:path";
import { plural } from "../base/words.ts";
import { readTextFile, writeTextFile } from "../host/text-files.ts";
import { baselineJson, readBaseline, withoutKnown } from "../output/baseline.ts";
import { printable } from "../output/printable.ts";
import type { CheckReport } from "../output/report.ts";
import { baselineRows } from "../output/summary-words.ts";
import type { ParsedArguments } from "./arguments.ts";
import type { CommandContext } from "./command.ts";
import { CommandFailure, EXIT_CLEAN } from "./failure.ts";

export interface BaselineAsked {
  readonly file: string;
  readonly isWritten: boolean;
}

/**
 * What is asked for with `--baseline`, `--write-baseline` and `--strict`.
 *
 * @throws {CommandFailure} where they do not go together
 */
export function baselineAsked(args: ParsedArguments): BaselineAsked | undefined {
  const [used, written] = [args.text("baseline"), args.text("write-baseline")];
  if (used !== undefined && written !== undefined)
    throw new CommandFailure("a baseline is either written or used: --write-baseline or --baseline, not both");
  if (args.text("since") !== undefined && (used ?? written) !== undefined)
    throw new CommandFailure("--since and a baseline both leave out what was there before: use one of them");
  if (args.flag("strict") && used === undefined)
    throw new CommandFailure("--strict looks at what of a baseline is gone: name the baseline with --baseline FILE");
  if (written !== undefined) return { file: written, isWritten: true };
  return used === undefined ? undefined : { file: used, isWritten: false };
}

/** Writes all findings of a report to a file, as known. */
export async function writeBaseline(file: string, report: CheckReport, context: CommandContext): Promise<number> {
  await writeTextFile(resolve(context.workingFolder, file), file, baselineJson(report.findings));
  const left = `--baseline ${file} leaves them out from now on`;
  context.console.out(
    `${plural(report.findings.length, "finding")} written to ${printable(file)}; ${printable(left)}.\n`,
  );
  return EXIT_CLEAN;
}

/**
 * The report without the findings that the file knows. Outputs that have no place for it tell on standard error what the
 * baseline did.
 *
 * @throws {CommandFailure} where the file holds no baseline
 */
export async function comparedWithBaseline(
  file: string,
  report: CheckReport,
  format: string,
  context: CommandContext,
): Promise<CheckReport> {
  const baseline = readBaseline(await readTextFile(resolve(context.workingFolder, file), file));
  if (typeof baseline === "string") throw new CommandFailure(`${file} ${baseline}`);
  const compared = withoutKnown(report, baseline);
  if (format !== "text" && format !== "github") {
    const [first, ...rest] = baselineRows(compared).map(printable);
    context.console.error([`spadework: ${first!}`, ...rest, ""].join("\n"));
  }
  return compared;
}
