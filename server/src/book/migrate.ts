import { applyEdits, type TextEdit } from "../base/text.ts";
import { fileKind, type FileKind } from "../schema/kinds.ts";
import { insertEntry, replaceScalar } from "../syntax/edits.ts";
import { parseText } from "../syntax/parse.ts";
import { keyName, nodeAt, resolved } from "../syntax/tree-queries.ts";
import type { SyntaxNode } from "../syntax/tree.ts";
import { byCodeUnits } from "../base/code-units.ts";
import { FORMAT_VERSION } from "./newer-format.ts";

export interface MigratedFile {
  /** From the book's root. */
  readonly path: string;
  readonly kind: FileKind;
  readonly text: string;
}

/** One step from a version of the record format to the next. */
export interface MigrationStep {
  /** The version it starts from; it leads to the next. */
  readonly from: number;
  /** What becomes different, in words for the keeper. */
  readonly summary: string;
  /** Edits of one file's text; all that stands outside of them stays. */
  edits(file: MigratedFile, root: SyntaxNode | undefined): readonly TextEdit[];
}

/** The steps of the record format, the oldest first. There is one version so far. */
export const MIGRATION_STEPS: readonly MigrationStep[] = [];

export type Migration =
  | {
      readonly ok: true;
      readonly from: number;
      readonly to: number;
      readonly steps: readonly MigrationStep[];
      /** The files that become different, with their new text, by path. */
      readonly changed: ReadonlyMap<string, string>;
    }
  | { readonly ok: false; readonly message: string };

/**
 * Brings the files of a book to the newest version of the record format, step by step, by edits of their text alone.
 *
 * @param files every file of the book by its path, `season.yaml` among them
 */
export function migrateBook(
  files: ReadonlyMap<string, string>,
  steps: readonly MigrationStep[] = MIGRATION_STEPS,
  to: number = FORMAT_VERSION,
): Migration {
  const from = versionOf(files.get(SEASON) ?? "");
  if (from === undefined)
    return { ok: false, message: `${SEASON} cannot be read, so its format is not known; mend it first` };
  if (from > to)
    return {
      ok: false,
      message: `these records are written in format ${from}, and this Spadework knows format ${to}; take a newer Spadework`,
    };
  const texts = new Map(files);
  const taken: MigrationStep[] = [];
  for (let version = from; version < to; version++) {
    const step = steps.find((one) => one.from === version);
    if (!step) return { ok: false, message: `nothing leads from format ${version} to ${version + 1}` };
    for (const [path, text] of texts) {
      const kind = fileKind(path);
      if (!kind) continue;
      const after = applyEdits(
        text,
        step.edits({ path, kind, text }, kind === "weather" ? undefined : parseText(text).root),
      );
      texts.set(path, after);
    }
    taken.push(step);
  }
  if (taken.length > 0) {
    const season = withVersion(texts.get(SEASON)!, to);
    if (season === undefined)
      return {
        ok: false,
        message: `the format cannot be written into ${SEASON} as it stands; write "format: ${to}" into it, and undo nothing else`,
      };
    texts.set(SEASON, season);
  }
  const changed = [...texts].filter(([path, text]) => text !== files.get(path)).sort(([a], [b]) => byCodeUnits(a, b));
  return { ok: true, from, to, steps: taken, changed: new Map(changed) };
}

const SEASON = "season.yaml";

/** The version that a `season.yaml` names; 1 without one, undefined where the text is no season at all. */
function versionOf(text: string): number | undefined {
  const { root } = parseText(text);
  if (root?.type !== "map") return undefined;
  const found = nodeAt(root, ["format"])?.value;
  const node = found && resolved(found);
  if (node === undefined) return 1;
  return node.type === "scalar" && Number.isInteger(node.value) && Number(node.value) >= 1
    ? Number(node.value)
    : undefined;
}

function withVersion(text: string, version: number): string | undefined {
  const { root } = parseText(text);
  if (root?.type !== "map") return undefined;
  const entry = root.entries.find(({ key }) => keyName(key) === "format");
  const edits =
    entry?.value.type === "scalar"
      ? replaceScalar(text, entry.value, version, root.flow ? "flow" : "block")
      : entry
        ? []
        : insertEntry(text, root, "format", version);
  const after = applyEdits(text, edits);
  return versionOf(after) === version ? after : undefined;
}
