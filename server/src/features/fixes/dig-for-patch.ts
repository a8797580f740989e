import { oneLine } from "../safe-text.ts";
import { isKind } from "../../records/record.ts";
import type { TextEdit } from "../../base/text.ts";
import { appendItem, insertEntry } from "../../syntax/edits.ts";
import { entryOf, type PlainMap, type PlainValue } from "../../syntax/tree-queries.ts";
import { writeValue } from "../../syntax/write-scalar.ts";
import { nextPartId } from "../next-id.ts";
import { editOfRecord, nodeOfSite, textOfSite, type FindingSite, type Remedy } from "./finding-site.ts";

/** Adds a dig that names the patch to the visit that saw it; the plants and their ratings are the keeper's to fill in. */
export function digForPatch(site: FindingSite): Remedy[] {
  const { record, pointer, root, context } = site;
  if (!isKind(record, "visits") || pointer[0] !== "patches") return [];
  const patch = record.facts.patches?.[Number(pointer[1])]?.id;
  if (!patch) return [];
  const digs = record.facts.digs ?? [];
  const plants = digs.at(-1)?.plants ?? context.book.region.scouting?.plants_per_stop ?? 1;
  const id = nextPartId(
    digs.map((dig) => dig.id),
    "d1",
  );
  const dig: PlainMap = { id, place: "patch", patch, plants };
  const edit = editOfRecord(site, withComment(digEdits(site, dig)));
  const title = `Add a dig in patch ${oneLine(patch, 60)}: correct its plants, and add their ratings`;
  return edit && root.type === "map" ? [{ title, edit, isPreferred: true }] : [];
}

function digEdits(site: FindingSite, dig: PlainValue): readonly TextEdit[] {
  const { root } = site;
  const text = textOfSite(site);
  const digs = nodeOfSite(site, ["digs"]);
  if (digs?.type === "list" && (digs.flow || digs.items.length > 0)) return appendItem(text, digs, dig);
  // A key without a value is left to the keeper: it would be given twice.
  if (root.type !== "map" || entryOf(root, "digs") !== undefined) return [];
  const [edit, ...others] = insertEntry(text, root, "digs", [dig], "patches");
  if (!edit || others.length > 0) return [];
  // In block style the list stands below its key, as lists of digs do everywhere.
  const inline = `digs: [${writeValue(dig, "flow")}]`;
  if (root.flow || !edit.newText.includes(inline)) return [edit];
  const [before, after] = edit.newText.split(inline) as [string, string];
  const margin = /( *)$/.exec(before)![1]!;
  const lineEnding = /^(\r\n|\n|\r)/.exec(before + after)?.[0] ?? "\n";
  return [{ ...edit, newText: `${before}digs:${lineEnding}${margin}  - ${writeValue(dig, "flow")}${after}` }];
}

const TO_CONFIRM = " # to confirm: plants and ratings";

/** Marks a line of its own as one to be looked at; between brackets on one line there is no room for that. */
function withComment(edits: readonly TextEdit[]): readonly TextEdit[] {
  return edits.map((edit) => {
    const ended = /^(.*?)([\r\n]*)$/s.exec(edit.newText)!;
    return /^[\r\n]|[\r\n]$/.test(edit.newText) ? { ...edit, newText: ended[1]! + TO_CONFIRM + ended[2]! } : edit;
  });
}
