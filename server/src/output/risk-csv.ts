import { formatDay, formatMinute } from "../base/days.ts";
import { csvTable } from "./csv.ts";
import type { RiskReport } from "./risk-json.ts";

const COLUMNS = [
  "field",
  "name",
  "grower",
  "status",
  "last_scouted",
  "plants_dug",
  "detectable_incidence",
  "dsi_percent",
  "incidence_percent",
  "window_opens",
  "window_closes",
  "window_basis",
  "break_years",
  "exposed_from",
  "exposed_by",
  "exposed_arrived",
  "exposed_carriages",
  "exposed_soil_left",
  "samples_pending",
  "probability_free",
];

/** One line a field, for a spreadsheet (RFC 4180). What cannot be known is empty. */
export function riskCsv({ fields }: RiskReport): string {
  const rows = fields.map(({ risk }) => {
    const { window, exposure } = risk;
    return [
      risk.field,
      risk.name,
      risk.grower,
      risk.status,
      risk.lastScouted === undefined ? undefined : formatDay(risk.lastScouted),
      risk.plantsDug,
      risk.detectableIncidence,
      risk.dsiPercent,
      risk.incidencePercent,
      window && formatDay(window.opens),
      window && formatDay(window.closes),
      window?.basis,
      risk.breakYears,
      exposure?.chain[0]?.from,
      exposure?.chain.map((step) => step.carrier).join(" then "),
      exposure && formatMinute(exposure.arrived),
      exposure?.carriages,
      exposure?.soilLeft,
      risk.samplesPending,
      risk.probabilityFree,
    ];
  });
  return csvTable(COLUMNS, rows);
}
