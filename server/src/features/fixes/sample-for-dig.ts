import { formatDay } from "../../base/days.ts";
import { isKind } from "../../records/record.ts";
import { sampleRecord } from "../new-records.ts";
import { dayOfText, nextRecordId } from "../next-id.ts";
import { oneLine } from "../safe-text.ts";
import type { FindingSite, Remedy } from "./finding-site.ts";
import { homeFor } from "./home-file.ts";
import { newRecordEdit } from "./new-record-edit.ts";

/** Makes the record of a root sample from a dig with galls; it has not been sent yet. */
export function sampleForDig(site: FindingSite): Remedy[] {
  const { record, pointer, context, reserved } = site;
  if (!isKind(record, "visits") || pointer[0] !== "digs" || record.id === "") return [];
  const dig = record.facts.digs?.[Number(pointer[1])];
  const day = dayOfText(record.facts.arrived);
  if (!dig?.id || day === undefined) return [];
  const home = homeFor(context.book, "samples", formatDay(day), record);
  const id =
    nextRecordId(context.book, "samples", { day, field: record.facts.field }, home.file, reserved) ??
    `s-${record.id}-${dig.id}`;
  const edit = newRecordEdit(home, "samples", sampleRecord(context.book, record, dig, id), {
    taken: "to confirm; add the day it is sent",
  });
  return edit
    ? [{ title: `Record a root sample of dig ${oneLine(dig.id, 60)}`, edit, newId: id, isPreferred: true }]
    : [];
}
