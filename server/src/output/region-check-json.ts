import { isAsExpected } from "../rules/region-examples.ts";
import type { RegionReport } from "./region-report.ts";

/** The same as JSON, two spaces deep: the same pack gives the same bytes. */
export function regionCheckJson(report: RegionReport): string {
  const { file, region, title, parents, problems, changes, unknown, added, checks, levels, examples } = report;
  const value = {
    file,
    region,
    title,
    extends: parents,
    problems: problems.map(({ file: path, range, level, message }) => ({ file: path, range, level, message })),
    changes: changes.map(({ path, before, after, source }) => ({
      path,
      from: before ?? null,
      to: after,
      source: source ?? null,
    })),
    unknown,
    adds: added.map(({ kind, key, type, isRequired }) => ({ kind, key, type, required: isRequired })),
    checks: checks.map(({ code, on, level, when, message, source }) => ({
      code,
      on: on ?? null,
      level: level ?? "warning",
      when,
      message,
      source: source ?? null,
    })),
    rules: levels,
    examples: examples.map((example) => ({
      name: example.name,
      as_of: example.asOf,
      passed: isAsExpected(example),
      found: example.found,
      missing: example.missing,
      unwanted: example.unwanted,
    })),
  };
  return `${JSON.stringify(value, null, 2)}\n`;
}
