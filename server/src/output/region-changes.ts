import { byCodeUnits } from "../book/book.ts";
import { flowText } from "../schema/flow-text.ts";
import { figureAt, figurePaths, figureSources, mergePacks } from "../schema/merge-packs.ts";
import { RECORD_KINDS, type RecordKind } from "../schema/kinds.ts";
import type { ChainedPack } from "../schema/region.ts";

/** A figure that a pack gives otherwise than its parents. */
export interface FigureChange {
  readonly path: string;
  /** As written in a pack; undefined where the parents give none. */
  readonly before: string | undefined;
  readonly after: string;
  readonly source: string | undefined;
}

/** @param chain parents first; the last is the pack that is looked at */
export function figureChanges(chain: readonly ChainedPack[]): FigureChange[] {
  const own = chain.at(-1)?.pack ?? {};
  const parent = mergePacks(chain.slice(0, -1).map(({ pack }) => pack));
  const sources = figureSources([own]);
  return figurePaths(own)
    .map((path) => ({
      path,
      before: written(figureAt(parent, path)),
      after: written(figureAt(own, path)) ?? "",
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
