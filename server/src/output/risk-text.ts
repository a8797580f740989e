import { parseDay } from "../base/days.ts";
import { dayInWords, figure, plural } from "../base/words.ts";
import type { FieldRisk } from "../book/field-risk.ts";
import { carrierInWords, shareInWords } from "../book/exposure-words.ts";
import { FREEDOM_CAUTION, freeInWords } from "../book/freedom-words.ts";
import { RISK_STATUSES, type RiskStatus } from "../book/field-status.ts";
import type { Colours } from "./colours.ts";
import { printable } from "./printable.ts";
import type { RiskReport } from "./risk-json.ts";

const MARKS: Readonly<Record<RiskStatus, string>> = {
  confirmed: "X",
  suspected: "?",
  exposed: ">",
  unscouted: "!",
  "not found": "o",
  "no host this season": "-",
  waiting: ".",
};

/** Every field with its status and the figures behind it, riskiest first, and what to do about each kind. */
export function riskText(report: RiskReport, colours: Colours): string {
  const { fields, asOf } = report;
  if (fields.length === 0) return `No fields are recorded, as of ${asOf}.\n`;
  const byRisk = [...fields].sort((a, b) => RISK_STATUSES.indexOf(a.status) - RISK_STATUSES.indexOf(b.status));
  const nameWidth = Math.max(...fields.map((risk) => printable(risk.name).length));
  const statusWidth = Math.max(...fields.map((risk) => risk.status.length));
  const rows = byRisk.map((risk) => {
    const status = `${MARKS[risk.status]} ${risk.status.padEnd(statusWidth)}`;
    const level =
      risk.status === "confirmed"
        ? "error"
        : risk.status === "suspected" || risk.status === "exposed"
          ? "warning"
          : "information";
    const painted = risk.status === "not found" ? colours.good(status) : colours.level(level, status);
    return `${painted}  ${printable(risk.name).padEnd(nameWidth)}  ${details(risk, report)}`.trimEnd();
  });
  return `${rows.join("\n")}\n\n${countsText(report, colours)}\n${freedomNote(report, colours)}`;
}

function details(risk: FieldRisk, report: RiskReport): string {
  const parts = [
    exposureText(risk, report),
    windowText(risk, report),
    plantsText(risk),
    severityText(risk),
    pendingText(risk),
    breakText(risk),
    freedomText(risk),
  ];
  return parts
    .filter((part) => part !== undefined)
    .map(printable)
    .join(" · ");
}

function exposureText({ exposure }: FieldRisk, { seasonYear }: RiskReport): string | undefined {
  const [first] = exposure?.chain ?? [];
  if (!exposure || !first) return undefined;
  const day = dayInWords(Math.floor(exposure.chain.at(-1)!.arrived / 1440), seasonYear);
  const way =
    exposure.carriages === 1 ? `on ${carrierInWords(first.carrier)}` : `in ${plural(exposure.carriages, "carriage")}`;
  return `from ${first.from} ${way}, ${day}, ${shareInWords(exposure.soilLeft)} left`;
}

function windowText({ window }: FieldRisk, { asOf, seasonYear }: RiskReport): string | undefined {
  const today = parseDay(asOf);
  if (!window || today === undefined) return undefined;
  const basis = window.basis === "recorded" ? "" : " (forecast)";
  if (today < window.opens)
    return `window opens ${dayInWords(window.opens, seasonYear)}, in ${plural(window.opens - today, "day")}${basis}`;
  if (today <= window.closes)
    return `window open, closes ${dayInWords(window.closes, seasonYear)}, in ${plural(window.closes - today, "day")}${basis}`;
  return `window closed ${dayInWords(window.closes, seasonYear)}${basis}`;
}

function plantsText(risk: FieldRisk): string | undefined {
  if (risk.plantsDug === 0) return risk.window ? "no plants dug" : undefined;
  const caught =
    risk.detectableIncidence === undefined
      ? ""
      : `, would catch ${figure(risk.detectableIncidence * 100, 1)} % or more`;
  return `${plural(risk.plantsDug, "plant")} dug${caught}`;
}

function severityText({ dsiPercent, incidencePercent, intervals }: FieldRisk): string | undefined {
  if (dsiPercent === undefined || incidencePercent === undefined || incidencePercent === 0) return undefined;
  const range = intervals
    ? ` (${figure(intervals.dsi.clopperPearson.lower, 1)}–${figure(intervals.dsi.clopperPearson.upper, 1)})`
    : "";
  return `DSI ${figure(dsiPercent, 1)} %${range}, ${figure(incidencePercent, 1)} % of plants`;
}

function pendingText({ samplesPending }: FieldRisk): string | undefined {
  return samplesPending === 0 ? undefined : `${plural(samplesPending, "sample")} pending`;
}

function breakText({ breakYears }: FieldRisk): string | undefined {
  return breakYears === undefined ? undefined : `${plural(breakYears, "year")} without a host before`;
}

function freedomText({ freedom }: FieldRisk): string | undefined {
  if (!freedom) return undefined;
  const dug = freedom.terms.some(({ plantsPerStop }) => plantsPerStop.length > 0);
  return `${freeInWords(freedom.probabilityFree)}${dug ? "" : ", no dig counted"}`;
}

/** What "free with" means, where any field has it. */
function freedomNote({ fields }: RiskReport, colours: Colours): string {
  const goal = fields.find(({ freedom }) => freedom)?.freedom?.goal;
  if (!goal) return "";
  const share = `${figure(goal.designIncidence * 100, 1)} %`;
  const means = `"Free with" is the chance that clubroot is in fewer than ${share} of the plants: ${FREEDOM_CAUTION}.`;
  return `${colours.faint(means)}\n`;
}

function countsText({ fields, asOf }: RiskReport, colours: Colours): string {
  const counts = RISK_STATUSES.map(
    (status) => [status, fields.filter((risk) => risk.status === status).length] as const,
  );
  const words = counts.filter(([, count]) => count > 0).map(([status, count]) => `${count} ${status}`);
  return `${colours.strong(plural(fields.length, "field"))} as of ${asOf}: ${words.join(", ")}.`;
}
