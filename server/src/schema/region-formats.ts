import { mergeAdded } from "./added-keys.ts";
import type { RegionPack } from "./facts.ts";
import type { JsonSchema } from "./json-schema.ts";
import { RECORD_KINDS, type RecordKind } from "./kinds.ts";
import { readAddedKeys, type PackProblem } from "./read-added-keys.ts";
import { formatsWith, SHIPPED_FORMATS, type RecordFormats } from "./record-format.ts";

export interface RegionFormats {
  /** The kinds with everything that the packs add. */
  readonly formats: RecordFormats;
  /** What each pack says that it may not, in the order of the packs. */
  readonly problems: readonly (readonly PackProblem[])[];
}

/**
 * What a chain of packs adds to the kinds of records, each pack on top of its parents.
 *
 * @param packs parents first
 */
export function regionFormats(packs: readonly RegionPack[]): RegionFormats {
  const added: Partial<Record<RecordKind, JsonSchema[]>> = {};
  const schemas: Partial<Record<RecordKind, JsonSchema>> = {};
  const problems = packs.map(({ records = {} }) => {
    const found: PackProblem[] = [];
    for (const kind of RECORD_KINDS) {
      if (!Object.hasOwn(records, kind) || records[kind] === undefined) continue;
      const base = schemas[kind] ?? SHIPPED_FORMATS[kind].schema;
      const read = readAddedKeys(kind, base, records[kind], ["records", kind]);
      found.push(...read.problems);
      (added[kind] ??= []).push(read.added);
      schemas[kind] = mergeAdded(base, read.added, kind);
    }
    return found;
  });
  return { formats: formatsWith(added), problems };
}
