import { mixingCautions, strengthFromVolumes } from "../../agronomy/mixing.ts";
import { strengthFormula } from "../../agronomy/mixing-formula.ts";
import { figure } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import { shortcomingsInWords } from "../../book/clean-down-words.ts";
import { soilLeftInWords } from "../../book/field-risk-words.ts";
import type { StepRecord } from "../../schema/facts.ts";
import { cleanDown } from "../../soil/clean-down.ts";
import { regionSources, type Figure } from "./figure.ts";

/** The strength from stock and water, beside the recorded one and the region's; with the cautions that go with a mix. */
export function strengthFigure(step: StepRecord, book: Book): Figure | undefined {
  const { stock_percent: stock, stock_l: stockLitres, water_l: waterLitres, strength_percent: recorded } = step;
  const mixed =
    stock === undefined || stockLitres === undefined || waterLitres === undefined
      ? undefined
      : strengthFromVolumes(stock, stockLitres, waterLitres);
  const asked = book.region.cleaning?.strength_percent;
  if (!mixed?.ok && recorded === undefined) return undefined;
  const said = [
    mixed?.ok ? `Stock and water make ${figure(mixed.value)} %` : undefined,
    recorded === undefined ? undefined : `${mixed?.ok ? "recorded is" : "Recorded is"} ${figure(recorded)} %`,
    asked === undefined ? undefined : `the region asks for ${figure(asked)} %`,
  ];
  const formula = mixed?.ok ? strengthFormula(stock!, stockLitres!, waterLitres!, mixed.value) : undefined;
  return {
    says: said.filter((part) => part !== undefined).join("; "),
    formulas: formula ? [formula.formula] : [],
    notes: cautionsFor(step, book),
    sources: [...(formula?.sources ?? []), ...regionSources(book, "cleaning.strength_percent")],
  };
}

/** The label goes before everything; what holds for bleach is said of bleach, and where the product is not named. */
function cautionsFor({ product }: StepRecord, book: Book): string[] {
  const [label, ...ofBleach] = mixingCautions(book.region.cleaning?.mix_keeps_hours).map(({ text }) => text);
  const isBleach = product === undefined || /bleach|hypochlorite|javel|chlorine/i.test(product.slice(0, 200));
  return [...(label === undefined ? [] : [label]), ...(isBleach ? ofBleach : [])];
}

export function contactFigure({ contact_minutes: minutes }: StepRecord, book: Book): Figure | undefined {
  const asked = book.region.cleaning?.contact_minutes;
  if (asked === undefined) return undefined;
  const short =
    minutes === undefined || minutes >= asked ? "" : `, ${figure(asked - minutes)} minutes more than recorded`;
  return {
    says: `The region asks for ${figure(asked)} minutes of contact${short}`,
    formulas: [],
    notes: [
      "The surface stays wet all the time. Follow the product's label and local rules; where they ask for more, they hold.",
    ],
    sources: regionSources(book, "cleaning.contact_minutes"),
  };
}

/** Full or partial and why, and how the share of soil left comes about, step by step. */
export function cleanDownFigure(steps: readonly StepRecord[], book: Book): Figure {
  const region = book.region.cleaning ?? {};
  const { full, soilLeft, shortcomings } = cleanDown(steps, region);
  if (full) {
    return {
      says: "A full clean-down: soil is taken not to be carried past it",
      formulas: [],
      notes: [],
      sources: regionSources(book, "cleaning.strength_percent", "cleaning.contact_minutes"),
    };
  }
  const factors = steps.map((step) => ({ step: step.step, left: cleanDown([step], region).soilLeft }));
  const known = factors.filter(({ left }) => left < 1).map(({ step }) => `cleaning.soil_left.${step ?? ""}`);
  const product = factors.map(({ step, left }) => `${figure(left, 4)} (${step ?? "no step named"})`).join(" · ");
  return {
    says: `A partial clean-down: ${shortcomingsInWords(shortcomings, steps)}; ${soilLeftInWords(soilLeft)}`,
    formulas: steps.length === 0 ? [] : [`share of soil left = ${product} = ${figure(soilLeft, 6)}`],
    sources: regionSources(book, ...new Set(known)),
  };
}
