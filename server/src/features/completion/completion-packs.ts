import { RULE_CODES } from "../../../generated/rule-codes.ts";
import type { Book } from "../../book/book.ts";
import type { Pointer } from "../../records/finding.ts";
import type { RecordFile } from "../../records/record-file.ts";
import type { RegionPack } from "../../schema/facts.ts";
import { flowText } from "../../schema/flow-text.ts";
import { isRecordKind } from "../../schema/kinds.ts";
import { figureAt, figurePaths, mergePacks } from "../../schema/merge-packs.ts";
import { ADDED_KEY_WORDS, ADDED_KEY_TYPES } from "../../schema/read-added-keys.ts";
import { parentsOf, regionOfPack } from "../packs/parent-figures.ts";
import { oneLine } from "../safe-text.ts";

interface NamedKey {
  readonly name: string;
  readonly detail: string;
  readonly documentation: string;
}

/** Keys of a pack that no schema lists: paths of figures, and the words that describe an added key. */
export function packKeys(pack: RegionPack, pointer: Pointer, book: Book, file: RecordFile): NamedKey[] | undefined {
  const [group, kind] = pointer;
  if (group === "unknown" && pointer.length === 1) {
    const parent = mergePacks(parentsOf(book, file.path).map((one) => one.pack));
    return figurePaths(parent).map((path) => keyOf(path, parent, "of the parent"));
  }
  if (group === "sources" && pointer.length === 1) {
    const told = pack.sources ?? {};
    return figurePaths(pack)
      .filter((path) => !Object.hasOwn(told, path))
      .map((path) => keyOf(path, pack, "of this pack"));
  }
  // records/visits/properties/permit: what is said of a key.
  if (group === "records" && typeof kind === "string" && isRecordKind(kind) && isDescription(pointer))
    return Object.entries(ADDED_KEY_WORDS).map(([name, documentation]) => ({ name, detail: "", documentation }));
  return undefined;
}

function isDescription(pointer: Pointer): boolean {
  return pointer.length >= 4 && (pointer.at(-2) === "properties" || pointer.at(-1) === "items");
}

function keyOf(path: string, pack: RegionPack, of: string): NamedKey {
  return { name: path, detail: oneLine(flowText(figureAt(pack, path)), 60), documentation: `A figure ${of}.` };
}

/** Words that a value of a pack could be, where no schema lists them. */
export function packWords(pointer: Pointer, pack: RegionPack, book: Book, file: RecordFile): readonly string[] {
  const [group, index, key] = pointer;
  if (group === "records" && pointer.at(-1) === "type") return ADDED_KEY_TYPES;
  if (group === "checks" && key === "at" && typeof index === "number") {
    const on = pack.checks?.[index]?.on;
    return on && isRecordKind(on) ? [...regionOfPack(book, file.path).formats[on].shape.keys.keys()] : [];
  }
  if (group === "examples" && (key === "expect" || key === "never") && pointer.length === 4)
    return [...RULE_CODES, ...regionOfPack(book, file.path).checkCodes];
  return [];
}
