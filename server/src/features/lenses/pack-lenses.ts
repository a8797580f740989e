import { RULES } from "../../../generated/rules.ts";
import { plural } from "../../base/words.ts";
import { spanOfPlace } from "../../records/places.ts";
import { isKind } from "../../records/record.ts";
import { flowText } from "../../schema/flow-text.ts";
import { figureAt, figurePaths } from "../../schema/merge-packs.ts";
import type { FeatureContext } from "../context.ts";
import { figureEffect, type FigureEffect } from "../packs/figure-effect.ts";
import { parentFigure } from "../packs/parent-figures.ts";
import { plainTitle } from "../safe-text.ts";
import { placesTarget, type CodeLens } from "./lens.ts";

const MOST_LENSES = 40;

/** Over each figure that differs from the parent's, what that does to the findings of the book. */
export function packLenses({ book, file }: FeatureContext): CodeLens[] {
  const record = file.entries[0]?.body.record;
  if (!record || !isKind(record, "region") || !book.resolvedRegion.chain.some(({ name }) => name === file.path))
    return [];
  const differing = figurePaths(record.facts).flatMap((path) => {
    const parent = parentFigure(book, file, path);
    return parent.text === flowText(figureAt(record.facts, path)) ? [] : [{ path, parent }];
  });
  const shown = differing.slice(0, MOST_LENSES);
  return shown.flatMap(({ path, parent }) => {
    const effect = figureEffect(book, file.path, path, RULES, shown.length);
    if (!effect) return [];
    const against = parent.text === undefined ? "without it" : `with ${parent.pack}'s ${parent.text}`;
    const span = spanOfPlace(file, 0, path.split("."), "key");
    const places = [...effect.more, ...effect.fewer];
    return [{ span, title: plainTitle(titleOf(effect, against)), opens: placesTarget(places, book) }];
  });
}

/** `changes 3 findings in this book: 2 more and 1 fewer than with base's 2` */
function titleOf({ more, fewer }: FigureEffect, against: string): string {
  const count = more.length + fewer.length;
  if (count === 0) return `changes no finding in this book: they are the same as ${against}`;
  const parts = [more.length > 0 ? `${more.length} more` : "", fewer.length > 0 ? `${fewer.length} fewer` : ""];
  return `changes ${plural(count, "finding")} in this book: ${parts.filter((part) => part !== "").join(" and ")} than ${against}`;
}
