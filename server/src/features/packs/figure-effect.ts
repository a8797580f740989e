import { Book } from "../../book/book.ts";
import type { Finding, RecordPlace } from "../../records/finding.ts";
import type { RecordFile } from "../../records/record-file.ts";
import type { RegionPack } from "../../schema/facts.ts";
import { figureAt, figureSources, mergePacks } from "../../schema/merge-packs.ts";
import { runRules } from "../../rules/engine.ts";
import type { Rule } from "../../rules/rule.ts";

/** What a figure of a pack does to a book, against its parent's. */
export interface FigureEffect {
  /** Places of the findings that only the pack's figure gives, and of those that only the parent's does. */
  readonly more: readonly RecordPlace[];
  readonly fewer: readonly RecordPlace[];
}

/** Records times figures that are looked at for lenses; a book's lenses are to come at once. */
const MOST_WORK = 20_000;

const known = new WeakMap<readonly RecordFile[], Map<string, FigureEffect | undefined>>();

/**
 * Checks the book once more as if the pack did not give a figure, and compares. Undefined where the pack is none of the
 * book's region, or the book too large to be checked again for every figure.
 *
 * @param figures how many figures are asked for
 */
export function figureEffect(
  book: Book,
  pack: string,
  path: string,
  rules: readonly Rule[],
  figures: number,
): FigureEffect | undefined {
  // The list of files is another after every edit.
  let ofBook = known.get(book.files);
  if (!ofBook) known.set(book.files, (ofBook = new Map()));
  const name = `${pack}\n${path}`;
  if (!ofBook.has(name)) ofBook.set(name, effectOf(book, pack, path, rules, figures));
  return ofBook.get(name);
}

function effectOf(
  book: Book,
  pack: string,
  path: string,
  rules: readonly Rule[],
  figures: number,
): FigureEffect | undefined {
  const { chain } = book.resolvedRegion;
  const records = book.files.reduce((sum, { entries }) => sum + entries.length, 0);
  if (!chain.some(({ name }) => name === pack) || records * figures > MOST_WORK) return undefined;
  const without = chain.map((one) => (one.name === pack ? { ...one, pack: withoutFigure(one.pack, path) } : one));
  const packs = without.map((one) => one.pack);
  const merged: RegionPack = { ...mergePacks(packs), sources: book.region.sources ?? {} };
  const region = { ...book.resolvedRegion, chain: without, pack: merged, sources: figureSources(packs) };
  const other = new Book(book.files, book.season, region, book.options);
  const [is, was] = [findingsByName(book, rules), findingsByName(other, rules)];
  const only = (a: ReadonlyMap<string, RecordPlace>, b: ReadonlyMap<string, RecordPlace>): RecordPlace[] =>
    [...a].filter(([finding]) => !b.has(finding)).map(([, place]) => place);
  return { more: only(is, was), fewer: only(was, is) };
}

/** By what a finding says of which place, its figures aside. */
function findingsByName(book: Book, rules: readonly Rule[]): Map<string, RecordPlace> {
  const nameOf = ({ code, place: { record, pointer } }: Finding): string =>
    JSON.stringify([code, record.file, record.kind, record.id, pointer]);
  return new Map(runRules(book, rules).map((finding) => [nameOf(finding), finding.place]));
}

/** A pack without one of its figures; the pack itself stays. */
function withoutFigure(pack: RegionPack, path: string): RegionPack {
  if (figureAt(pack, path) === undefined) return pack;
  const take = (group: object, steps: readonly string[]): object => {
    const [step, ...rest] = steps;
    const copy = Object.assign(Object.create(null) as Record<string, unknown>, group);
    if (rest.length === 0) Reflect.deleteProperty(copy, step!);
    else copy[step!] = take(copy[step!] as object, rest);
    return copy;
  };
  return take(pack, path.split(".")) as RegionPack;
}
