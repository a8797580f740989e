import { isAbsolute, relative, resolve } from "node:path";
import { withSlashes } from "../host/find-books.ts";
import type { CheckReport } from "../output/report.ts";
import type { CommandContext } from "./command.ts";

/**
 * The report with its paths as a service knows them that knows files by their place in the repository: from the workspace
 * of the GitHub workflow, else from the folder the command was started in. What lies outside keeps its path.
 *
 * @param folders as named on the command line
 */
export function toldFromRepository(
  report: CheckReport,
  folders: readonly string[],
  { workingFolder, environment }: CommandContext,
): CheckReport {
  // Paths are told from the folder named where it is the only one, and from the working folder where there are several.
  const from = resolve(workingFolder, folders.length === 1 ? folders[0]! : ".");
  const bases = [environment.GITHUB_WORKSPACE, workingFolder].filter((path) => path !== undefined && path !== "");
  const known = new Map<string, string>();
  const told = (file: string): string => {
    let path = known.get(file);
    if (path === undefined) known.set(file, (path = pathInside(bases as string[], resolve(from, file)) ?? file));
    return path;
  };
  const findings = report.findings.map((finding) => ({
    ...finding,
    file: told(finding.file),
    related: finding.related.map((one) => ({ ...one, file: told(one.file) })),
  }));
  return { ...report, findings, files: report.files.map(told) };
}

function pathInside(bases: readonly string[], file: string): string | undefined {
  const paths = bases.map((base) => relative(base, file));
  const inside = paths.find((path) => path !== "" && !/^\.\.(?:[\\/]|$)/.test(path) && !isAbsolute(path));
  return inside === undefined ? undefined : withSlashes(inside);
}
