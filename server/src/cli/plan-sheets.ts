import { mkdir } from "node:fs/promises";
import { join, resolve } from "node:path";
import type { Book } from "../book/book.ts";
import type { Outline } from "../book/outlines.ts";
import { newVisitEdit } from "../features/new-visit.ts";
import { writeTextFile } from "../host/text-files.ts";
import { fieldSheet } from "../output/field-sheet/field-sheet.ts";
import { sheetName } from "../output/field-sheet/sheet-name.ts";
import type { Paper } from "../output/field-sheet/sheet-style.ts";
import type { SeasonPlan } from "../planning/season-plan.ts";
import { CommandFailure } from "./failure.ts";

export interface SheetsAsked {
  /** As the user named it. */
  readonly folder: string;
  readonly workingFolder: string;
  readonly paper: Paper;
  /** What stands before a record's path in the codes; empty: the path alone. */
  readonly links: string;
}

/**
 * Writes a sheet for every field of a plan into a folder, which is made where it is not there.
 *
 * @returns how many sheets there are
 */
export async function writeSheets(
  plan: SeasonPlan,
  book: Book,
  outlines: ReadonlyMap<string, Outline> | undefined,
  { folder, workingFolder, paper, links }: SheetsAsked,
): Promise<number> {
  const full = resolve(workingFolder, folder);
  try {
    await mkdir(full, { recursive: true });
  } catch (error) {
    throw new CommandFailure(
      `the folder ${folder} could not be made (${(error as NodeJS.ErrnoException).code ?? "?"})`,
    );
  }
  let count = 0;
  for (const day of plan.days) {
    for (const [i, field] of day.fields.entries()) {
      const id = field.work.field;
      const recordPath = newVisitEdit(book, id, field.arrived)?.path ?? "";
      const name = sheetName(day, i, id);
      const page = fieldSheet(day, field, book, { paper, links, recordPath, outline: outlines?.get(id) });
      await writeTextFile(join(full, name), `${folder}/${name}`, page);
      count++;
    }
  }
  return count;
}
