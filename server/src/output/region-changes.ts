import { byCodeUnits } from "../base/code-units.ts";
import { flowText } from "../schema/flow-text.ts";
import type { RegionPack } from "../schema/facts.ts";
import { figureAt, figurePaths, figureSources, mergePacks, type FigureSources } from "../schema/merge-packs.ts";
import { RECORD_KINDS, type RecordKind } from "../schema/kinds.ts";
import type { ChainedPack, ResolvedRegion } from "../schema/region.ts";

/** A figure that two regions, or two versions of one, give otherwise. */
export interface FigureChange {
  readonly path: string;
  /** As written in a pack; undefined where there is none. */
  readonly before: string | undefined;
  readonly after: string | undefined;
  /** Of the figure as it is after. */
  readonly source: string | undefined;
}

/**
 * What a pack gives otherwise than its parents.
 *
 * @param chain parents first; the last is the pack that is looked at
 */
export function figureChanges(chain: readonly ChainedPack[]): FigureChange[] {
  const own = chain.at(-1)?.pack ?? {};
  const parent = mergePacks(chain.slice(0, -1).map(({ pack }) => pack));
  return changesAt(figurePaths(own), parent, own, figureSources([own]));
}

/** What holds in a region and did not before: figures changed, new, or not known any more. */
export function regionChanges(before: ResolvedRegion, after: ResolvedRegion): FigureChange[] {
  const paths = new Set([...figurePaths(before.pack), ...figurePaths(after.pack)]);
  return changesAt([...paths], before.pack, after.pack, figureSources(after.chain.map(({ pack }) => pack)));
}

function changesAt(paths: readonly string[], was: RegionPack, is: RegionPack, sources: FigureSources): FigureChange[] {
  return paths
    .map((path) => ({
      path,
      before: written(figureAt(was, path)),
      after: written(figureAt(is, path)),
      source: sources.get(path)?.source,
    }))
    .filter(({ before, after }) => before !== after)
    .sort((a, b) => byCodeUnits(a.path, b.path));
}

function written(value: unknown): string | undefined {
  return value === undefined ? undefined : flowText(value);
}

/** A key that a pack adds to a kind of record, or a word to one. */
export interface AddedKey {
  readonly kind: RecordKind;
  /** From the record, with dots; `[]` stands for the items of a list. */
  readonly key: string;
  readonly type: string;
  readonly isRequired: boolean;
}

/** What the last pack of a chain adds, as it writes it. */
export function addedKeyList(chain: readonly ChainedPack[]): AddedKey[] {
  const records = chain.at(-1)?.pack.records ?? {};
  const found: AddedKey[] = [];
  const look = (raw: unknown, kind: RecordKind, prefix: string): void => {
    const { properties, items } = group(raw);
    const required = Array.isArray(group(raw)["required"]) ? (group(raw)["required"] as unknown[]) : [];
    for (const [key, inner] of Object.entries(group(properties))) {
      const { type, enum: words, properties: own } = group(inner);
      const shown = Array.isArray(words)
        ? words.map(String).join(" | ")
        : typeof type === "string"
          ? type
          : own
            ? "object"
            : "any";
      found.push({ kind, key: prefix + key, type: shown, isRequired: required.includes(key) });
      look(inner, kind, `${prefix}${key}.`);
    }
    if (items !== undefined) look(items, kind, `${prefix.replace(/\.$/, "")}[].`);
  };
  for (const kind of RECORD_KINDS) if (Object.hasOwn(records, kind)) look(records[kind], kind, "");
  return found;
}

function group(value: unknown): Record<string, unknown> {
  return value !== null && typeof value === "object" && !Array.isArray(value) ? (value as Record<string, unknown>) : {};
}
