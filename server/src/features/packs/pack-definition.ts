import { entryTree, readRecordFile, type RecordFile } from "../../records/record-file.ts";
import { isKind, type FactRecord } from "../../records/record.ts";
import { spanOfPlace } from "../../records/places.ts";
import type { Pointer } from "../../records/finding.ts";
import { figureAt } from "../../schema/merge-packs.ts";
import { shippedRegionText } from "../../schema/region.ts";
import { nodeAt } from "../../syntax/tree-queries.ts";
import type { FeatureContext } from "../context.ts";
import { cursorAt, type Cursor } from "../cursor.ts";
import type { DefinitionLink } from "../definition-link.ts";
import { documentLinks } from "../document-links.ts";
import { parentsOf, regionOfPack } from "./parent-figures.ts";

/**
 * Where something in a pack, or a pack's name in `season.yaml`, comes from: the pack that is named, the parent's place of a
 * figure, the figure of a source, the check of a code.
 */
export function packDefinition(context: FeatureContext, at: number): DefinitionLink | undefined {
  const cursor = cursorAt(context, at);
  if (!cursor) return undefined;
  const { record } = cursor;
  if (!isKind(record, "region") && !isKind(record, "season")) return undefined;
  const named = documentLinks(context).find(({ span }) => span.start <= at && at <= span.end);
  if (named) return linkTo(context, cursor, named.path, [], "value");
  const shipped = shippedPackNamed(record, cursor);
  if (shipped !== undefined) return linkToShipped(cursor, shipped, [], "value");
  const [group, name] = cursor.pointer;
  if (group === "rules" && typeof name === "string") return checkNamed(context, cursor, name);
  if (!isKind(record, "region")) return undefined;
  if (group === "sources" && typeof name === "string")
    return linkTo(context, cursor, context.file.path, name.split("."), "key");
  const path = group === "unknown" ? name : cursor.pointer.filter((step) => typeof step === "string").join(".");
  if (typeof path !== "string" || cursor.part !== "key") return undefined;
  const giver = parentsOf(context.book, context.file.path).findLast(({ pack }) => figureAt(pack, path) !== undefined);
  if (!giver) return undefined;
  return giver.isShipped
    ? linkToShipped(cursor, giver.name, path.split("."), "key")
    : linkTo(context, cursor, giver.name, path.split("."), "key");
}

/** The shipped pack that the value under the cursor names. */
function shippedPackNamed({ kind, facts }: FactRecord, { pointer, part }: Cursor): string | undefined {
  if (part !== "value" || pointer.length !== 1 || pointer[0] !== (kind === "season" ? "region" : "extends"))
    return undefined;
  const name = (facts as Readonly<Record<string, unknown>>)[pointer[0]];
  return typeof name === "string" && shippedRegionText(name) !== undefined ? name : undefined;
}

function checkNamed(context: FeatureContext, cursor: Cursor, code: string): DefinitionLink | undefined {
  const { book, file } = context;
  const { checks } = file.kind === "region" ? regionOfPack(book, file.path) : book.resolvedRegion;
  const check = checks.find((one) => one.code === code);
  if (!check) return undefined;
  const pointer = ["checks", check.index, "code"];
  return check.isShipped
    ? linkToShipped(cursor, check.pack, pointer, "value")
    : linkTo(context, cursor, check.pack, pointer, "value");
}

function linkToShipped(
  cursor: Cursor,
  name: string,
  pointer: Pointer,
  part: "key" | "value",
): DefinitionLink | undefined {
  const text = shippedRegionText(name);
  const path = `${name}.region.yaml`;
  const link = text === undefined ? undefined : linkIn(readRecordFile(path, "region", text), cursor, pointer, part);
  return link && { ...link, shippedPack: name };
}

function linkTo(
  { book }: FeatureContext,
  cursor: Cursor,
  path: string,
  pointer: Pointer,
  part: "key" | "value",
): DefinitionLink | undefined {
  return linkIn(book.file(path), cursor, pointer, part);
}

function linkIn(
  file: RecordFile | undefined,
  { span: origin }: Cursor,
  pointer: Pointer,
  part: "key" | "value",
): DefinitionLink | undefined {
  const root = file && entryTree(file, 0).node;
  if (!file || !root || (pointer.length > 0 && !nodeAt(root, pointer))) return undefined;
  const selection = spanOfPlace(file, 0, pointer, part);
  return { origin, path: file.path, target: spanOfPlace(file, 0, pointer.slice(0, -1), "value"), selection };
}
