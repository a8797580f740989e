import { formatDay, parseDay } from "../../base/days.ts";
import { figure, plural } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import { labOf } from "../../book/labs.ts";
import type { FieldRecord, SampleRecord } from "../../schema/facts.ts";
import { regionSources, type Figure } from "./figure.ts";

/** From when on the soil of a field is taken to have been infested, and by when the find is to be told. */
export function findFigure({ clubroot }: FieldRecord, book: Book): Figure | undefined {
  const found = parseDay(clubroot?.found_on ?? "");
  const back = book.region.trace?.look_back_days;
  if (found === undefined || back === undefined) return undefined;
  const notice = noticeInWords(found, book);
  return {
    says: `The field's soil is taken to have been infested since ${formatDay(found - back)}, ${plural(back, "day")} before the find`,
    formulas: [],
    notes: notice === undefined ? [] : [notice],
    sources: [...regionSources(book, "trace.look_back_days"), ...(notice === undefined ? [] : noticeSources(book))],
  };
}

/** Whether the region asks for notice of a find, of whom and how soon. */
export function noticeFigure(book: Book): Figure | undefined {
  const says = noticeInWords(undefined, book);
  return says === undefined ? undefined : { says, formulas: [], sources: noticeSources(book) };
}

function noticeInWords(found: number | undefined, { region }: Book): string | undefined {
  const { required, within_days: within, authority } = region.notice ?? {};
  if (required !== true) return undefined;
  const whom = authority === undefined ? "" : `; who to ask: ${authority}`;
  if (within === undefined) return `the region asks for notice of a find${whom}`;
  const by = found === undefined ? "" : `, by ${formatDay(found + within)}`;
  return `the region asks for notice of a find within ${plural(within, "day")}${by}${whom}`;
}

function noticeSources(book: Book): string[] {
  return regionSources(book, "notice.required", "notice.within_days", "notice.authority");
}

/** How roots are to be packed: the lab's own word before the region's. */
export function packagingFigure({ material, lab }: SampleRecord, book: Book): Figure | undefined {
  const byLab = (labOf(book, lab)?.accepts ?? []).filter((one) => one !== "");
  const wanted = byLab.length > 0 ? byLab : (book.region.sample?.packaging ?? []).filter((one) => one !== "");
  if (material !== "roots" || wanted.length === 0) return undefined;
  return {
    says: `Roots go into ${wanted.map((one) => `a ${one}`).join(" or ")}${byLab.length > 0 ? ", by the lab's own word" : ""}`,
    formulas: [],
    sources: byLab.length > 0 ? [] : regionSources(book, "sample.packaging"),
  };
}

/** By when a sample is to be sent. */
export function sendingFigure({ taken }: SampleRecord, book: Book): Figure | undefined {
  const day = parseDay(taken ?? "");
  const within = book.region.sample?.send_within_days;
  if (day === undefined || within === undefined) return undefined;
  return {
    says: `To be sent by ${formatDay(day + within)}, ${plural(within, "day")} after it was taken`,
    formulas: [],
    sources: regionSources(book, "sample.send_within_days"),
  };
}

/** Which digs count as made at an entrance. */
export function entranceFigure(book: Book): Figure | undefined {
  const reach = book.region.scouting?.entrance_reach_m;
  if (reach === undefined) return undefined;
  return {
    says: `A dig at an entrance, or within ${figure(reach)} m of one, counts as made there`,
    formulas: [],
    sources: regionSources(book, "scouting.entrance_reach_m"),
  };
}
