import type { LabRecord } from "../schema/facts.ts";
import type { Book } from "./book.ts";

/** The lab an id stands for; where it was given twice, the first. */
export function labOf(book: Book, id: string | undefined): LabRecord | undefined {
  return id ? book.season.labs?.find((lab) => lab.id === id) : undefined;
}
