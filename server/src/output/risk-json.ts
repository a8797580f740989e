import { formatDay } from "../base/days.ts";
import type { Book } from "../book/book.ts";
import type { FieldRisk } from "../book/field-risk.ts";
import { exposureJson } from "./trace-json.ts";

export interface RiskReport {
  readonly asOf: string;
  /** By field id; of several books together. */
  readonly fields: readonly ReportedField[];
}

export interface ReportedField {
  readonly risk: FieldRisk;
  readonly book: Book;
}

export function riskJson({ asOf, fields }: RiskReport): string {
  return `${JSON.stringify({ as_of: asOf, fields: fields.map(({ risk }) => fieldJson(risk)) }, null, 2)}\n`;
}

function fieldJson(risk: FieldRisk): object {
  const { window, exposure } = risk;
  return {
    field: risk.field,
    grower: risk.grower ?? null,
    status: risk.status,
    last_scouted: risk.lastScouted === undefined ? null : formatDay(risk.lastScouted),
    plants_dug: risk.plantsDug,
    detectable_incidence: risk.detectableIncidence ?? null,
    dsi_percent: risk.dsiPercent ?? null,
    incidence_percent: risk.incidencePercent ?? null,
    window: window ? { opens: formatDay(window.opens), closes: formatDay(window.closes), basis: window.basis } : null,
    break_years: risk.breakYears ?? null,
    exposure: exposure ? exposureJson(exposure) : null,
    samples_pending: risk.samplesPending,
    probability_free: risk.probabilityFree ?? null,
  };
}
