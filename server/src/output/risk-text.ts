import { dayInWords, figure, plural } from "../base/words.ts";
import type { Book } from "../book/book.ts";
import type { FieldRisk } from "../book/field-risk.ts";
import { plantsDugInWords, reasonInWords, windowStandingInWords } from "../book/field-risk-words.ts";
import { FREEDOM_CAUTION, freeInWords } from "../book/freedom-words.ts";
import { RISK_STATUSES, suspicionOf, type RiskStatus } from "../book/field-status.ts";
import type { Colours } from "./colours.ts";
import { printable } from "./printable.ts";
import type { ReportedField, RiskReport } from "./risk-json.ts";

const MARKS: Readonly<Record<RiskStatus, string>> = {
  confirmed: "X",
  suspected: "?",
  exposed: ">",
  unscouted: "!",
  "not found": "o",
  "no host this season": "-",
  waiting: ".",
};

const WHAT_TO_DO: Readonly<Record<RiskStatus, string | undefined>> = {
  confirmed: "keep its soil on it; whatever has been on it gets a full clean-down before it leaves",
  suspected:
    "treat it as confirmed until a lab has looked at its roots; spadework trace --assume FIELD=DATE tells what a find would mean",
  exposed: "walk it after the clean fields, and dig first where the carrier came in; spadework trace tells the way",
  unscouted: "dig while its window is open; once that has passed, plan it for its next host crop",
  "not found": undefined,
  "no host this season": undefined,
  waiting: undefined,
};

/** Every field with its status and the figures behind it, riskiest first, and what to do about those that need it. */
export function riskText(report: RiskReport, colours: Colours): string {
  const { fields, asOf } = report;
  if (fields.length === 0) return `No fields are recorded, as of ${asOf}.\n`;
  const byRisk = [...fields].sort((a, b) => rank(a) - rank(b));
  const nameWidth = Math.max(...fields.map(({ risk }) => printable(risk.name).length));
  const statusWidth = Math.max(...fields.map(({ risk }) => risk.status.length));
  const rows = byRisk.map((field) => {
    const { status, name } = field.risk;
    const painted = paint(status, `${MARKS[status]} ${status.padEnd(statusWidth)}`, colours);
    return `${painted}  ${printable(name).padEnd(nameWidth)}  ${details(field)}`.trimEnd();
  });
  const blocks = [
    rows.join("\n"),
    adviceText(report),
    `${countsText(report, colours)}\n${freedomNote(report, colours)}`,
  ];
  return blocks.filter((block) => block !== "").join("\n\n");
}

function rank({ risk }: ReportedField): number {
  return RISK_STATUSES.indexOf(risk.status);
}

function paint(status: RiskStatus, text: string, colours: Colours): string {
  if (status === "not found") return colours.good(text);
  if (status === "confirmed") return colours.level("error", text);
  return colours.level(status === "suspected" || status === "exposed" ? "warning" : "information", text);
}

function details({ risk, book }: ReportedField): string {
  const parts = [
    reasonInWords(book.fieldHistory(risk.field), risk, book),
    risk.lastScouted === undefined ? undefined : `last scouted ${dayInWords(risk.lastScouted, book.seasonYear)}`,
    risk.window && windowStandingInWords(risk.window, book),
    plantsText(risk),
    pendingText(risk, book),
    breakText(risk),
    freedomText(risk),
  ];
  return parts
    .filter((part) => part !== undefined)
    .map(printable)
    .join(" · ");
}

/** With the interval of the severity, where galls were seen. */
function plantsText(risk: FieldRisk): string | undefined {
  const words = plantsDugInWords(risk);
  if (words === undefined || !risk.intervals || !risk.incidencePercent) return words;
  const { lower, upper } = risk.intervals.dsi.clopperPearson;
  return `${words} (${figure(lower, 1)} to ${figure(upper, 1)} %)`;
}

/** Of a single one the reason tells already, where it is that. */
function pendingText({ field, status, samplesPending }: FieldRisk, book: Book): string | undefined {
  const isTold = status === "suspected" && suspicionOf(book.fieldHistory(field), book)?.why === "pending";
  return samplesPending > (isTold ? 1 : 0) ? `${plural(samplesPending, "sample")} pending` : undefined;
}

function breakText({ breakYears }: FieldRisk): string | undefined {
  return breakYears === undefined ? undefined : `after a break of ${plural(breakYears, "year")}`;
}

function freedomText({ freedom }: FieldRisk): string | undefined {
  if (!freedom) return undefined;
  const dug = freedom.terms.some(({ plantsPerStop }) => plantsPerStop.length > 0);
  return `${freeInWords(freedom.probabilityFree)}${dug ? "" : ", no dig counted"}`;
}

function adviceText({ fields }: RiskReport): string {
  const present = RISK_STATUSES.filter((status) => fields.some(({ risk }) => risk.status === status));
  return present
    .flatMap((status) => (WHAT_TO_DO[status] ? [`What to do, ${status}: ${WHAT_TO_DO[status]}.`] : []))
    .join("\n");
}

/** What "free with" means, where any field has it. */
function freedomNote({ fields }: RiskReport, colours: Colours): string {
  const goal = fields.find(({ risk }) => risk.freedom)?.risk.freedom?.goal;
  if (!goal) return "";
  const share = `${figure(goal.designIncidence * 100, 1)} %`;
  const means = `"Free with" is the chance that clubroot is in fewer than ${share} of the plants: ${FREEDOM_CAUTION}.`;
  return `${colours.faint(means)}\n`;
}

function countsText({ fields, asOf }: RiskReport, colours: Colours): string {
  const counts = RISK_STATUSES.map(
    (status) => [status, fields.filter(({ risk }) => risk.status === status).length] as const,
  );
  const words = counts.filter(([, count]) => count > 0).map(([status, count]) => `${count} ${status}`);
  return `${colours.strong(plural(fields.length, "field"))} as of ${asOf}: ${words.join(", ")}.`;
}
