import { formatDay } from "../base/days.ts";
import { byCodeUnits } from "../base/code-units.ts";
import { fieldRisks } from "../book/field-risk.ts";
import { ANSI_COLOURS, NO_COLOURS } from "../output/colours.ts";
import { withoutLogCommands } from "../output/printable.ts";
import { riskCsv } from "../output/risk-csv.ts";
import { riskJson, type RiskReport } from "../output/risk-json.ts";
import { riskText } from "../output/risk-text.ts";
import { AS_OF_OPTION, asOfDay } from "./arguments.ts";
import type { Command, CommandContext } from "./command.ts";
import { EXIT_CLEAN, EXIT_FAILURE } from "./failure.ts";
import { loadBooks } from "./load-books.ts";

const FORMATS: Readonly<Record<string, (report: RiskReport, context: CommandContext) => string>> = {
  text: (report, { console }) => withoutLogCommands(riskText(report, console.hasColour ? ANSI_COLOURS : NO_COLOURS)),
  json: riskJson,
  csv: riskCsv,
};

export const riskCommand: Command = {
  name: "risk",
  usage: "[DIR ...]",
  summary: "each field's status, with the figures behind it",
  help:
    "Tells for every field whether it is confirmed, suspected, exposed, unscouted or clean, and why: the chain its soil came by,\n" +
    "the scouting window, plants dug and what they would have caught, severity, samples pending.",
  examples: ["spadework risk sample-workspace", "spadework risk sample-workspace --as-of 2026-08-20 --format csv"],
  options: {
    format: { type: "string", value: "FORMAT", help: "how the fields are written", choices: Object.keys(FORMATS) },
    "as-of": AS_OF_OPTION,
  },
  async run(args, context) {
    const asOf = asOfDay(args.text("as-of"), context.today);
    const { books, hasFailed } = await loadBooks(
      args.positionals,
      { asOf, today: context.today, allSeasons: false },
      context,
    );
    if (books.length === 0) return EXIT_FAILURE;
    const fields = books
      .flatMap(({ opened: { book } }) => fieldRisks(book).map((risk) => ({ risk, book })))
      .sort((a, b) => byCodeUnits(a.risk.field, b.risk.field));
    const report = { asOf: formatDay(asOf), fields };
    context.console.out(FORMATS[args.text("format") ?? "text"]!(report, context));
    return hasFailed ? EXIT_FAILURE : EXIT_CLEAN;
  },
};
