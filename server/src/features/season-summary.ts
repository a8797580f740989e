import { formatDay } from "../base/days.ts";
import type { Book } from "../book/book.ts";
import { RISK_STATUSES, riskStatus, type RiskStatus } from "../book/field-status.ts";
import { LEVELS, type Level } from "../records/finding.ts";
import { oneLine } from "./safe-text.ts";

export interface FieldStanding {
  readonly id: string;
  /** One line, safe to show. */
  readonly name: string;
  readonly grower: string | undefined;
  readonly status: RiskStatus;
}

/** Where a book's season stands on its as-of day. */
export interface SeasonSummary {
  readonly season: number | undefined;
  /** `YYYY-MM-DD` */
  readonly asOf: string;
  readonly findings: Readonly<Record<Level, number>>;
  /** Fields that a file defines: the riskiest first, then by name. */
  readonly fields: readonly FieldStanding[];
  /** How many fields stand at each status that any stands at, riskiest first. */
  readonly statuses: Readonly<Partial<Record<RiskStatus, number>>>;
  /** Undefined for a book without fields. */
  readonly worst: RiskStatus | undefined;
}

export function seasonSummary(book: Book, levels: Iterable<Level>): SeasonSummary {
  const findings = Object.fromEntries(LEVELS.map((level) => [level, 0])) as Record<Level, number>;
  for (const level of levels) findings[level]++;
  const growers = new Map((book.season.growers ?? []).map(({ id, name }) => [id, name ?? id]));
  const fields = [...book.ids("fields")]
    .filter((id) => id !== "")
    .map((id): FieldStanding => {
      const field = book.fieldHistory(id);
      const grower = field.record?.facts.grower;
      const growerName = grower === undefined ? undefined : oneLine(growers.get(grower) ?? grower);
      return { id, name: oneLine(field.name), grower: growerName, status: riskStatus(field, book) };
    });
  const rank = ({ status }: FieldStanding): number => RISK_STATUSES.indexOf(status);
  fields.sort((a, b) => rank(a) - rank(b) || (a.name < b.name ? -1 : a.name > b.name ? 1 : 0));
  const statuses: Partial<Record<RiskStatus, number>> = {};
  for (const { status } of fields) statuses[status] = (statuses[status] ?? 0) + 1;
  return { season: book.seasonYear, asOf: formatDay(book.asOf), findings, fields, statuses, worst: fields[0]?.status };
}
