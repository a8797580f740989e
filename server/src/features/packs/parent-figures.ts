import type { Book } from "../../book/book.ts";
import type { Pointer } from "../../records/finding.ts";
import type { RecordFile } from "../../records/record-file.ts";
import type { RegionPack } from "../../schema/facts.ts";
import { flowText } from "../../schema/flow-text.ts";
import { figureAt, figurePaths, figureSources, mergePacks } from "../../schema/merge-packs.ts";
import { resolveRegion, type ChainedPack, type ResolvedRegion } from "../../schema/region.ts";
import { codeText, markdownText } from "../safe-text.ts";

const chains = new WeakMap<ResolvedRegion, Map<string, ResolvedRegion>>();

/** A pack of the book with the packs it rests on, whether or not the book asks for it. */
export function regionOfPack(book: Book, path: string): ResolvedRegion {
  let known = chains.get(book.resolvedRegion);
  if (!known) chains.set(book.resolvedRegion, (known = new Map()));
  let region = known.get(path);
  if (!region) known.set(path, (region = resolveRegion(path, (name) => textOf(book, name))));
  return region;
}

function textOf(book: Book, path: string): string | undefined {
  const file = book.file(path);
  return file?.kind === "region" ? file.text : undefined;
}

/** Its parents, the nearest last. */
export function parentsOf(book: Book, path: string): readonly ChainedPack[] {
  return regionOfPack(book, path).chain.slice(0, -1);
}

/** The path of the figure that a key or a value of a pack is, or is part of; undefined for what is none. */
export function figurePath(pack: RegionPack, pointer: Pointer): string | undefined {
  const steps = pointer.filter((step) => typeof step === "string").join(".");
  return figurePaths(pack).find((path) => path === steps);
}

export interface ParentFigure {
  /** As written in a pack; undefined where no parent gives it. */
  readonly text: string | undefined;
  /** The parent that gives it, by its name or its path. */
  readonly pack: string;
  readonly source: string | undefined;
}

/** What the parents of a pack say of a figure. */
export function parentFigure(book: Book, { path: file }: RecordFile, path: string): ParentFigure {
  const parents = parentsOf(book, file);
  const value = figureAt(mergePacks(parents.map(({ pack }) => pack)), path);
  const giver = parents.findLast(({ pack }) => figureAt(pack, path) !== undefined);
  const from = giver ?? parents.at(-1);
  return {
    text: value === undefined ? undefined : flowText(value),
    pack: from?.name ?? "",
    source: giver && figureSources([giver.pack]).get(path)?.source,
  };
}

/** What a figure of a pack is in its parent, in Markdown; undefined for a pack that has none. */
export function parentHelp(book: Book, file: RecordFile, path: string): string | undefined {
  const { text, pack, source } = parentFigure(book, file, path);
  if (pack === "") return undefined;
  if (text === undefined) return `No parent gives ${codeText(path)}.`;
  return `In ${codeText(pack)}: ${codeText(text)}. Source: ${source === undefined ? "none is named" : markdownText(source, 300)}`;
}
