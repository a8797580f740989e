import { element, type Markup } from "../markup.ts";
import { textWidth } from "./picture.ts";

/** What a sign of a drawing means. */
export interface LegendEntry {
  readonly words: string;
  /** The sign around a point. */
  readonly sign: (x: number, y: number) => Markup;
}

const ROW = 26;
const SIGN = 40;

/** Signs and words in columns below a drawing; `height` is what they take up. */
export function legend(
  entries: readonly LegendEntry[],
  { x, y, width }: { readonly x: number; readonly y: number; readonly width: number },
): { readonly markup: Markup; readonly height: number } {
  const widest = Math.max(...entries.map(({ words }) => textWidth(words, 12)), 60) + SIGN + 14;
  const columns = Math.max(1, Math.floor(width / widest));
  const rows = Math.ceil(entries.length / columns);
  const columnWidth = width / columns;
  const items = entries.map(({ words, sign }, i) => {
    const left = x + Math.floor(i / rows) * columnWidth;
    const middle = y + (i % rows) * ROW + ROW / 2;
    return element(
      "g",
      {},
      sign(left + SIGN / 2, middle),
      element("text", { class: "small", x: left + SIGN + 4, y: middle + 4 }, words),
    );
  });
  return { markup: element("g", { class: "legend" }, items), height: rows * ROW + 6 };
}
