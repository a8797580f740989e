import type { SyntaxNode } from "../syntax/tree.ts";
import { describeProblems, notARecord } from "./describe-problems.ts";
import type { FactsOfKind, SeasonRecord, RegionPack } from "./facts.ts";
import type { RecordKind } from "./kinds.ts";
import { readValue } from "./read-value.ts";
import { SHIPPED_FORMATS, type RecordFormat } from "./record-format.ts";
import { removeBroken } from "./remove-broken.ts";
import type { SchemaProblem } from "./schema-problem.ts";

export type { SchemaProblem } from "./schema-problem.ts";

export interface Decoded<T> {
  /** What can be relied on; undefined where the node is no record at all. */
  readonly value: T | undefined;
  readonly problems: readonly SchemaProblem[];
}

const NO_PROBLEMS: readonly SchemaProblem[] = [];

/**
 * Reads one record from its tree. Never fails: what breaks the format is told in `problems`, and the value is without it,
 * so that whoever computes with the value meets only values of the right type and range. Missing keys stay missing; in a
 * list, a broken text is "" and a broken record {}, so that indices stay what they are in the file.
 *
 * @param format what the book's region adds to the kind included; without it, as the kind is shipped
 */
export function decodeRecord<K extends RecordKind>(
  kind: K,
  node: SyntaxNode,
  format: RecordFormat = SHIPPED_FORMATS[kind],
): Decoded<FactsOfKind[K]> {
  return decode<FactsOfKind[K]>(format, node);
}

/** The same for a whole `season.yaml`; undefined stands for an empty file. */
export function decodeSeason(node: SyntaxNode | undefined): Decoded<SeasonRecord> {
  return decode<SeasonRecord>(SHIPPED_FORMATS.season, node);
}

/** The same for a region pack. */
export function decodeRegion(node: SyntaxNode | undefined): Decoded<RegionPack> {
  return decode<RegionPack>(SHIPPED_FORMATS.region, node);
}

function decode<T>(format: RecordFormat, node: SyntaxNode | undefined): Decoded<T> {
  const root = node?.type === "alias" ? node.target : node;
  if (root?.type !== "map") return { value: undefined, problems: [notARecord(format, root)] };
  const { shape } = format;
  const { value, hasUnknownKeys } = readValue(root, shape);
  const errors = format.errors(value);
  if (errors.length === 0 && !hasUnknownKeys) return { value: value as T, problems: NO_PROBLEMS };
  const problems = describeProblems(format, root, value, errors);
  removeBroken(value, errors, shape);
  return { value: value as T, problems };
}
