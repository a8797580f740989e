import type { ShownFormula } from "../../agronomy/calculated.ts";
import { printable } from "../../output/printable.ts";
import type { OptionDescription } from "../arguments.ts";
import type { Command, CommandContext } from "../command.ts";
import { EXIT_CLEAN } from "../failure.ts";
import { CalcInput } from "./input.ts";
import { RegionFigures, type UsedFigure } from "./region-figures.ts";

/** What a calculation comes to. */
export interface Answer {
  /** The result in words, in one sentence or a few. */
  readonly says: readonly string[];
  readonly formulas: readonly ShownFormula[];
  /** What is to be kept in mind: cautions, limits of the method. */
  readonly notes?: readonly string[];
  /** In full precision, by the names of the command line's JSON. */
  readonly values: Readonly<Record<string, unknown>>;
}

/** One calculation of `spadework calc`. */
export interface Calculation {
  readonly name: string;
  /** What follows the name in the usage line. */
  readonly usage: string;
  readonly summary: string;
  readonly help: string;
  readonly examples: readonly string[];
  readonly options: Readonly<Record<string, OptionDescription>>;
  answer(input: CalcInput, region: RegionFigures, context: CommandContext): Answer | Promise<Answer>;
}

const COMMON_OPTIONS: Command["options"] = {
  region: {
    type: "string",
    value: "NAME",
    help: "the region pack that figures not given come from: a shipped one, or a *.region.yaml file (base)",
  },
  format: { type: "string", value: "FORMAT", help: "how the answer is written", choices: ["text", "json"] },
};

export function commandOf(calculation: Calculation): Command {
  const { name, usage, summary, help, examples } = calculation;
  return {
    name,
    usage,
    summary,
    help,
    examples,
    options: { ...calculation.options, ...COMMON_OPTIONS },
    async run(args, context) {
      const region = new RegionFigures(args.text("region") ?? "base", context.workingFolder);
      const answer = await calculation.answer(new CalcInput(args), region, context);
      const write = args.text("format") === "json" ? answerJson : answerText;
      context.console.out(write(name, answer, region));
      return EXIT_CLEAN;
    },
  };
}

function answerText(_name: string, { says, formulas, notes = [] }: Answer, region: RegionFigures): string {
  const lines = [...says];
  for (const { formula, sources } of formulas) {
    lines.push(...formula.split("\n").map((line) => `  ${line}`), `  Source: ${[...new Set(sources)].join("; ")}`);
  }
  if (region.used.length > 0) lines.push(`From the region ${region.name}:`, ...region.used.map(figureText));
  lines.push(...notes.map((note) => `- ${note}`));
  return `${lines.map(printable).join("\n")}\n`;
}

function figureText({ path, value, source }: UsedFigure): string {
  return `  ${path} = ${valueInWords(value)} (${source ?? "no source given"})`;
}

/** `1000, 10000`, `low 0.26, high 0.62` */
function valueInWords(value: unknown): string {
  if (Array.isArray(value)) return value.map(String).join(", ");
  if (typeof value !== "object" || value === null) return String(value);
  return Object.entries(value)
    .map(([name, one]) => `${name.replaceAll("_", " ")} ${String(one)}`)
    .join(", ");
}

function answerJson(name: string, { formulas, notes = [], values }: Answer, region: RegionFigures): string {
  const figures = Object.fromEntries(region.used.map(({ path, value, source }) => [path, { value, source }]));
  const answer = { calculation: name, ...values, formulas, notes, region: { name: region.name, figures } };
  return `${JSON.stringify(answer, null, 2)}\n`;
}
