import { RULES } from "../../../generated/rules.ts";
import { listed, plural } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import { spanOfPlace } from "../../records/places.ts";
import { isKind } from "../../records/record.ts";
import { isAsExpected, packsWithoutExamples, runExample } from "../../rules/region-examples.ts";
import type { ResolvedRegion } from "../../schema/region.ts";
import { flowText } from "../../schema/flow-text.ts";
import { figureAt, figurePaths } from "../../schema/merge-packs.ts";
import type { FeatureContext } from "../context.ts";
import { figureEffect, type FigureEffect } from "../packs/figure-effect.ts";
import { parentFigure, regionOfPack } from "../packs/parent-figures.ts";
import { plainTitle } from "../safe-text.ts";
import { placesTarget, type CodeLens } from "./lens.ts";

const MOST_LENSES = 40;

/** Over each figure that differs from the parent's, what that does to the findings of the book; over each example, what it comes to. */
export function packLenses(context: FeatureContext): CodeLens[] {
  return [...figureLenses(context), ...exampleLenses(context)];
}

const shownExamples = new WeakMap<ResolvedRegion, readonly string[]>();

function exampleLenses({ book, file }: FeatureContext): CodeLens[] {
  const region = regionOfPack(book, file.path);
  let titles = shownExamples.get(region);
  if (!titles) shownExamples.set(region, (titles = exampleTitles(book, file.path, region)));
  return titles.map((title, i) => ({
    span: spanOfPlace(file, 0, ["examples", i], "key"),
    title: plainTitle(title),
    opens: undefined,
  }));
}

function exampleTitles(book: Book, path: string, { chain }: ResolvedRegion): string[] {
  const own = chain.at(-1)?.pack;
  const packs = new Map<string, string>();
  for (const { name, isShipped } of chain) {
    const text = isShipped ? undefined : book.file(name)?.text;
    if (text !== undefined) packs.set(name, text);
  }
  const light = packsWithoutExamples(packs);
  const setting = { pack: path, packs: light, name: own?.region, rules: RULES, today: book.options.today };
  return (own?.examples ?? []).slice(0, MOST_LENSES).map((example) => {
    const result = runExample(example, setting);
    if (isAsExpected(result)) return "as expected";
    const { missing, unwanted, troubles } = result;
    const parts = [
      missing.length > 0 ? `must give ${listed(missing)}` : "",
      unwanted.length > 0 ? `must not give ${listed(unwanted)}` : "",
      ...troubles,
    ].filter((part) => part !== "");
    return `not as expected${parts.length > 0 ? `: ${parts.join("; ")}` : ""}`;
  });
}

function figureLenses({ book, file }: FeatureContext): CodeLens[] {
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
