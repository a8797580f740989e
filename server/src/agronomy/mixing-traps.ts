/**
 * Two ways of writing a mix that read stronger than they are: "1:10" and "10 % bleach".
 *
 * The arithmetic is that of `mixing.ts` (CDC, appendix E): 1 part of 5.25 % bleach to 10 parts of water is 0.48 %, and
 * a tenth part of it is 0.53 %; both are widely printed as a recipe for 1 %.
 */
import { numberText } from "./calculated.ts";
import { strengthFromVolumes } from "./mixing.ts";

export interface MixingTrap {
  readonly kind: "ratio" | "percent of bleach";
  /** Where in the text it stands, in UTF-16 code units. */
  readonly start: number;
  readonly end: number;
  readonly text: string;
  /** The strength it gives with that stock, in percent. */
  readonly strengthPercent: number;
  /** It gives less than the wanted strength, by more than the rounding of a recipe (one part in a hundred). */
  readonly tooWeak: boolean;
  /** One sentence, with the numbers. */
  readonly explanation: string;
}

// Digits are bounded, and nothing repeats inside a repetition, so that a hostile note costs no time. A ratio followed
// by am or pm is a time of day.
const RATIO = /(?<![\d:.,/-])(\d{1,3})[ ]?:[ ]?(\d{1,4})(?![\d:]|[.,]\d|[ ]?[ap]\.?m\b)/gi;
const PERCENT_BLEACH =
  /(?<![\d.,])(\d{1,3}(?:[.,]\d{1,4})?)[ ]?(?:%|percent|per cent)[ -]?(?:household )?(?:bleach|javel)\b/gi;

/**
 * Finds both in a text that is about a mix (a product's name, a note on a disinfect step), and says what each gives
 * with a stock of `stockPercent` where `wantedPercent` is wanted. A percentage that is the stock's own strength is
 * taken to name the stock. Strengths that are not above 0 and at most 100: nothing is found.
 */
export function mixingTraps(text: string, stockPercent: number, wantedPercent: number): readonly MixingTrap[] {
  if (!(stockPercent > 0 && stockPercent <= 100 && wantedPercent > 0)) return [];
  const wanted = `${numberText(wantedPercent)} %`;
  const stock = `${numberText(stockPercent)} % bleach`;
  const traps: MixingTrap[] = [];
  const add = (kind: MixingTrap["kind"], match: RegExpMatchArray, strengthPercent: number, meaning: string): void => {
    const start = match.index ?? 0;
    const tooWeak = strengthPercent < wantedPercent * 0.99;
    const verdict = tooWeak ? `, less than the ${wanted} wanted` : "";
    traps.push({
      kind,
      start,
      end: start + match[0].length,
      text: match[0],
      strengthPercent,
      tooWeak,
      explanation: `"${match[0]}" is ${meaning} ${stock}, which gives ${numberText(strengthPercent, 2)} %${verdict}.`,
    });
  };
  for (const match of text.matchAll(RATIO)) {
    const [parts, water] = [Number(match[1]), Number(match[2])];
    const strength = strengthFromVolumes(stockPercent, parts, water);
    if (parts === 0 || water === 0 || !strength.ok) continue;
    const counted = `${parts} ${parts === 1 ? "part" : "parts"} to ${water} of water, with`;
    add("ratio", match, strength.value, counted);
  }
  for (const match of text.matchAll(PERCENT_BLEACH)) {
    const percent = Number(match[1]!.replace(",", "."));
    if (!(percent > 0 && percent < 100) || percent === stockPercent) continue;
    add("percent of bleach", match, (stockPercent * percent) / 100, `${numberText(percent)} parts in 100 of`);
  }
  return traps.sort((a, b) => a.start - b.start);
}
