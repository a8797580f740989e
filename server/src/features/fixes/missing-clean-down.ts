import { formatMinute } from "../../base/days.ts";
import { dayInWords } from "../../base/words.ts";
import { movesBetweenFields } from "../../book/carrier-history.ts";
import { BOOTS_PREFIX } from "../../book/references.ts";
import { isKind } from "../../records/record.ts";
import { cleanDownRecord, dayOfMinute } from "../new-records.ts";
import { nextRecordId } from "../next-id.ts";
import { oneLine } from "../safe-text.ts";
import type { FindingSite, Remedy } from "./finding-site.ts";
import { homeFor } from "./home-file.ts";
import { newRecordEdit } from "./new-record-edit.ts";

const TO_CONFIRM = "to confirm: was it done so, when, and by whom?";

/**
 * Records the clean-down that is missing between two visits of a carrier, or that a partial one fell short of: right
 * after the field was left, or after the last partial one, with the region's figures. What was really done is the
 * keeper's to confirm, and a comment says so.
 */
export function missingCleanDown(site: FindingSite): Remedy[] {
  const { record, pointer, context, reserved } = site;
  const { book } = context;
  if (!isKind(record, "visits")) return [];
  const carriers =
    pointer[0] === "equipment"
      ? [record.facts.equipment?.[Number(pointer[1])] ?? ""]
      : (record.facts.crew ?? []).map((id) => BOOTS_PREFIX + id);
  return carriers.flatMap((carrier): Remedy[] => {
    const history = carrier === "" ? undefined : book.carrierHistory(carrier);
    const move = history && movesBetweenFields(history).find(({ to }) => to.visit === record);
    if (!history || !move || move.cleanings.some(({ result }) => result.full)) return [];
    // The finding on footwear is of one pair of boots; its words name them.
    if (pointer[0] !== "equipment" && !site.finding.message.includes(history.label)) return [];
    const at = Math.max(move.from.left, ...move.cleanings.map((cleaning) => cleaning.at));
    const day = dayOfMinute(at);
    const home = homeFor(book, "cleanings", formatMinute(at), move.from.visit);
    const id =
      nextRecordId(book, "cleanings", { day, field: move.from.field }, home.file, reserved) ?? `c-${record.id}`;
    const by = carrier.startsWith(BOOTS_PREFIX) ? carrier.slice(BOOTS_PREFIX.length) : move.from.visit.facts.crew?.[0];
    const clean = cleanDownRecord(book, { id, at, field: move.from.field, carriers: [carrier], by });
    const edit = newRecordEdit(home, "cleanings", clean, { steps: TO_CONFIRM });
    if (!edit) return [];
    const title = `Record the clean-down of ${oneLine(history.label, 60)} after ${oneLine(book.fieldName(move.from.field), 60)}, ${dayInWords(day, book.seasonYear)}: confirm its steps`;
    return [{ title, edit, newId: id, isPreferred: true }];
  });
}
