import { isKind, type FactRecord } from "../records/record.ts";
import { spanOfPlace } from "../records/places.ts";
import { cleaningLenses } from "./lenses/cleaning-lenses.ts";
import type { FeatureContext } from "./context.ts";
import { fieldCountLens, fieldLenses } from "./lenses/field-lenses.ts";
import type { CodeLens, LensText } from "./lenses/lens.ts";
import { packLenses } from "./lenses/pack-lenses.ts";
import { sampleLenses } from "./lenses/sample-lenses.ts";
import { visitLenses } from "./lenses/visit-lenses.ts";

export type { CodeLens, LensTarget } from "./lenses/lens.ts";

/** The lenses of a file, in the order of the file; of a record, the one that says most first. Asks the book, and no clock. */
export function codeLenses(context: FeatureContext): CodeLens[] {
  const { file } = context;
  if (file.kind === "region") return packLenses(context);
  const lenses = file.entries.flatMap((entry, i) => {
    const texts = lensesOf(entry.body.record, context);
    if (texts.length === 0) return [];
    const span = spanOfPlace(file, i, [], "key");
    return texts.map((text) => ({ span, ...text }));
  });
  const count = file.kind === "fields" ? fieldCountLens(context) : undefined;
  return count ? [{ span: { start: 0, end: 0 }, ...count }, ...lenses] : lenses;
}

function lensesOf(record: FactRecord, { book }: FeatureContext): readonly LensText[] {
  if (record.id === "") return [];
  if (isKind(record, "fields")) return fieldLenses(record, book);
  if (isKind(record, "visits")) return visitLenses(record, book);
  if (isKind(record, "cleanings")) return cleaningLenses(record, book);
  if (isKind(record, "samples")) return sampleLenses(record, book);
  return [];
}
