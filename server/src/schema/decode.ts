import * as validators from "../../generated/validators.mjs";
import type { SyntaxNode } from "../syntax/tree.ts";
import { describeProblems, notARecord } from "./describe-problems.ts";
import type { FactsOfKind, SeasonRecord, RegionPack } from "./facts.ts";
import type { RecordKind, SchemaKind } from "./kinds.ts";
import { readValue } from "./read-value.ts";
import { removeBroken } from "./remove-broken.ts";
import type { SchemaProblem } from "./schema-problem.ts";
import { shapeOf } from "./shape.ts";

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
 */
export function decodeRecord<K extends RecordKind>(kind: K, node: SyntaxNode): Decoded<FactsOfKind[K]> {
  return decode<FactsOfKind[K]>(kind, node);
}

/** The same for a whole `season.yaml`; undefined stands for an empty file. */
export function decodeSeason(node: SyntaxNode | undefined): Decoded<SeasonRecord> {
  return decode<SeasonRecord>("season", node);
}

/** The same for a region pack. */
export function decodeRegion(node: SyntaxNode | undefined): Decoded<RegionPack> {
  return decode<RegionPack>("region", node);
}

function decode<T>(kind: SchemaKind, node: SyntaxNode | undefined): Decoded<T> {
  const root = node?.type === "alias" ? node.target : node;
  if (root?.type !== "map") return { value: undefined, problems: [notARecord(kind, root)] };
  const shape = shapeOf(kind);
  const { value, hasUnknownKeys } = readValue(root, shape);
  const validate = validators[kind];
  if (validate(value) && !hasUnknownKeys) return { value: value as T, problems: NO_PROBLEMS };
  const errors = validate.errors ?? [];
  const problems = describeProblems(kind, root, value, errors);
  removeBroken(value, errors, shape);
  return { value: value as T, problems };
}
