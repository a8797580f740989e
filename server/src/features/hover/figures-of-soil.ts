import { figure } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import { regionSources, type Figure } from "./figure.ts";

/** A soil's pH beside the one that liming against clubroot aims at in the region. */
export function acidityFigure(ph: number | undefined, book: Book): Figure | undefined {
  const target = book.region.disease?.liming_target_ph;
  if (ph === undefined || target === undefined) return undefined;
  const short = target - ph;
  const standing = short > 0 ? `${figure(short, 2)} below` : short < 0 ? `${figure(-short, 2)} above` : "at";
  return {
    says: `pH ${figure(ph, 2)} is ${standing} the ${figure(target, 2)} or more that liming aims at`,
    formulas: [],
    notes: ["a high pH hinders clubroot, and does not keep it out"],
    sources: regionSources(book, "disease.liming_target_ph"),
  };
}
