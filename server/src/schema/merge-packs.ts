import type { RegionPack } from "./facts.ts";

/**
 * One pack of a chain, its parents first: groups of figures merge key by key, a list or a single value replaces the one
 * before, and what a pack calls unknown is no longer there. Keys of every name are safe: the groups of the result have no prototype.
 */
export function mergePacks(chain: readonly RegionPack[]): RegionPack {
  let merged: Group = emptyGroup();
  for (const pack of chain) {
    for (const path of unknownPaths(pack)) remove(merged, path.split("."));
    merged = mergeGroups(merged, pack as Group);
  }
  return merged as RegionPack;
}

/** Where each figure of a merged pack comes from, by its path, as `rotation.break_years` or `growth.degree_days.60`. */
export type FigureSources = ReadonlyMap<string, FigureSource>;

export interface FigureSource {
  /** The pack that gives the figure, by its own name or, without one, its place in the chain. */
  readonly pack: string;
  /** What that pack says of it; undefined where it does not say. */
  readonly source: string | undefined;
}

/**
 * The source of every figure, from the pack that gives it: a pack that changes a figure and names no source does not
 * borrow its parent's.
 */
export function figureSources(chain: readonly RegionPack[]): FigureSources {
  const sources = new Map<string, FigureSource>();
  chain.forEach((pack, i) => {
    for (const path of unknownPaths(pack))
      for (const known of [...sources.keys()])
        if (known === path || known.startsWith(`${path}.`)) sources.delete(known);
    for (const path of figurePaths(pack)) {
      sources.set(path, { pack: pack.region ?? `pack ${i + 1}`, source: sourceFor(pack, path) });
    }
  });
  return sources;
}

const NOT_FIGURES = new Set([
  "region",
  "title",
  "extends",
  "unknown",
  "sources",
  "note",
  "rules",
  "records",
  "checks",
  "examples",
]);

/** The figures of its parents that a pack says do not hold and are not known. */
function unknownPaths(pack: RegionPack): string[] {
  return Object.keys(pack.unknown ?? {}).filter((path) => !NOT_FIGURES.has(path));
}

/** Takes a figure or a group of them out of a merged pack, whose groups are its own. */
function remove(group: Group, [key, ...rest]: readonly string[]): void {
  if (key === undefined) return;
  if (rest.length === 0) Reflect.deleteProperty(group, key);
  else if (isGroup(group[key])) remove(group[key], rest);
}

/** The path of every figure in a pack. A list is one figure. */
export function figurePaths(pack: RegionPack): string[] {
  const paths: string[] = [];
  const look = (group: Group, prefix: string): void => {
    for (const [key, value] of Object.entries(group)) {
      if (key === "note" || key.startsWith("x-") || (prefix === "" && NOT_FIGURES.has(key))) continue;
      if (isGroup(value)) look(value, `${prefix}${key}.`);
      else paths.push(prefix + key);
    }
  };
  look(pack as Group, "");
  return paths;
}

/** The value at a path of keys with dots. */
export function figureAt(pack: object, path: string): unknown {
  let at: unknown = pack;
  for (const step of path.split(".")) {
    if (at === null || typeof at !== "object" || !Object.hasOwn(at, step)) return undefined;
    at = (at as Record<string, unknown>)[step];
  }
  return at;
}

/** What a pack says of a figure, or of the nearest group around it. */
function sourceFor(pack: RegionPack, path: string): string | undefined {
  for (let end = path.length; end > 0; end = path.lastIndexOf(".", end - 1)) {
    const key = path.slice(0, end);
    if (pack.sources && Object.hasOwn(pack.sources, key)) return pack.sources[key];
  }
  return undefined;
}

type Group = Record<string, unknown>;

function mergeGroups(parent: Group, child: Group): Group {
  const merged = emptyGroup();
  for (const [key, value] of Object.entries(parent)) merged[key] = value;
  for (const [key, value] of Object.entries(child)) {
    const before = merged[key];
    merged[key] = isGroup(value) ? mergeGroups(isGroup(before) ? before : emptyGroup(), value) : value;
  }
  return merged;
}

function isGroup(value: unknown): value is Group {
  return value !== null && typeof value === "object" && !Array.isArray(value);
}

function emptyGroup(): Group {
  return Object.create(null) as Group;
}
