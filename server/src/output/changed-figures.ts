import { dayInWords, figure, figuresApart } from "../base/words.ts";
import type { FieldRisk } from "../book/field-risk.ts";

/** The figures of a field that moved, in words: `plants dug 0 → 60`, `free with 81 % → 95 %`, `window 13 Aug – 3 Sep → none`. */
export function changedFigures(before: FieldRisk, after: FieldRisk, impliedYear: number | undefined): string[] {
  const figures: string[] = [];
  if (before.plantsDug !== after.plantsDug) figures.push(`plants dug ${before.plantsDug} → ${after.plantsDug}`);
  if (before.dsiPercent !== after.dsiPercent)
    figures.push(`DSI ${percents(before.dsiPercent, after.dsiPercent, "not rated")}`);
  const [was, is] = [before.probabilityFree, after.probabilityFree].map((share) => share && share * 100);
  // A confirmed field is not free at all: its status says so.
  if (was !== is && before.status !== "confirmed" && after.status !== "confirmed")
    figures.push(`free with ${percents(was, is, "not known")}`);
  const windows = [before, after].map(({ window }) =>
    window ? `${dayInWords(window.opens, impliedYear)} – ${dayInWords(window.closes, impliedYear)}` : "none",
  );
  if (windows[0] !== windows[1]) figures.push(`window ${windows[0]!} → ${windows[1]!}`);
  return figures;
}

function percents(before: number | undefined, after: number | undefined, unknown: string): string {
  const [was, is] =
    before !== undefined && after !== undefined
      ? figuresApart(Number(before.toPrecision(9)), Number(after.toPrecision(9)))
      : [before, after].map((value) => (value === undefined ? undefined : figure(value, 1)));
  const word = (value: string | undefined): string => (value === undefined ? unknown : `${value} %`);
  return `${word(was)} → ${word(is)}`;
}
