import type { Book } from "../../book/book.ts";
import { dayOfRecord } from "../../book/dates.ts";
import { fieldIdOfRecord } from "../../book/references.ts";
import { isKind } from "../../records/record.ts";
import type { RecordKind } from "../../schema/kinds.ts";
import { replaceScalar } from "../../syntax/edits.ts";
import { nextRecordId } from "../next-id.ts";
import { oneLine } from "../safe-text.ts";
import { editOfRecord, nodeOfSite, textOfSite, type FindingSite, type Remedy } from "./finding-site.ts";
import { isInFlow } from "./flow-style.ts";

/** Gives what bears an id of another the next free one: what names the id still means the first that has it. */
export function freeId(site: FindingSite): Remedy[] {
  const { pointer } = site;
  const node = nodeOfSite(site, pointer);
  if (pointer[pointer.length - 1] !== "id" || node?.type !== "scalar") return [];
  const id = pointer.length === 1 ? freeIdOfRecord(site) : freeIdOfPart(site);
  if (id === undefined) return [];
  const edit = editOfRecord(site, replaceScalar(textOfSite(site), node, id, isInFlow(site) ? "flow" : "block"));
  return edit ? [{ title: `Give it a free id: ${oneLine(id, 80)}`, edit, newId: id, isPreferred: true }] : [];
}

/** In the way that visits, cleanings and samples are numbered; fields and equipment have names, and keep what they can of theirs. */
function freeIdOfRecord({ record, context: { book, file }, reserved }: FindingSite): string | undefined {
  const isDated = isKind(record, "visits") || isKind(record, "cleanings") || isKind(record, "samples");
  const parts = { day: dayOfRecord(record), field: fieldIdOfRecord(record) };
  const numbered = isDated ? nextRecordId(book, record.kind, parts, file, reserved) : undefined;
  return numbered ?? nextAfter(record.id, (id) => reserved.has(id) || isTaken(book, record.kind as RecordKind, id));
}

function isTaken(book: Book, kind: RecordKind, id: string): boolean {
  return book.recordsWithId(kind, id).length > 0;
}

/** Of a dig, a patch, an entrance, a member of the crew: free among its like. */
function freeIdOfPart({ record, pointer, reserved }: FindingSite): string | undefined {
  const [list, index] = pointer;
  const facts = record.facts as Readonly<Record<string, unknown>>;
  const items = Object.hasOwn(facts, String(list)) ? facts[String(list)] : undefined;
  if (!Array.isArray(items)) return undefined;
  const ids = items.map((item: { readonly id?: unknown } | null) => item?.id);
  const own = ids[Number(index)];
  return typeof own === "string" ? nextAfter(own, (id) => reserved.has(id) || ids.includes(id)) : undefined;
}

/** `d2` after `d1`, `north-gate-2` after `north-gate`. */
function nextAfter(id: string, isGiven: (id: string) => boolean): string {
  const [, lead, digits] = /^(.*?)(\d{1,9})$/.exec(id) ?? ["", `${id}-`, "1"];
  for (let number = Number(digits) + 1; ; number++) {
    const next = lead! + String(number).padStart(digits!.length, "0");
    if (!isGiven(next)) return next;
  }
}
