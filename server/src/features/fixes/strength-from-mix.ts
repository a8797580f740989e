import { strengthFromVolumes } from "../../agronomy/mixing.ts";
import { figure } from "../../base/words.ts";
import { isKind } from "../../records/record.ts";
import { insertEntry, replaceScalar } from "../../syntax/edits.ts";
import { editOfRecord, nodeOfSite, textOfSite, type FindingSite, type Remedy } from "./finding-site.ts";

/** Decimals of a strength in percent that a keeper would write. */
const DECIMALS = 3;

/** Records the strength that stock and water make: for a mix that does not agree, or a strength that was written too low. */
export function strengthFromMix(site: FindingSite): Remedy[] {
  const { record, pointer, finding, context } = site;
  if (!isKind(record, "cleanings") || pointer[0] !== "steps") return [];
  const place = ["steps", Number(pointer[1])];
  const step = record.facts.steps?.[Number(pointer[1])];
  const { stock_percent: stock, stock_l: stockLitres, water_l: water, strength_percent: recorded } = step ?? {};
  if (stock === undefined || stockLitres === undefined || water === undefined) return [];
  const made = strengthFromVolumes(stock, stockLitres, water);
  if (!made.ok) return [];
  const strength = Number(figure(made.value, DECIMALS));
  const asked = context.book.region.cleaning?.strength_percent;
  // A mix that is too weak by its own figures stays so: what would help is another mix, and not another number.
  if (strength === recorded || strength === 0) return [];
  if (finding.code === "cleaning/strength-too-low" && asked !== undefined && strength < asked) return [];
  const map = nodeOfSite(site, place);
  const known = nodeOfSite(site, [...place, "strength_percent"]);
  const text = textOfSite(site);
  const edits =
    known?.type === "scalar"
      ? replaceScalar(text, known, strength, "block")
      : map?.type === "map"
        ? insertEntry(text, map, "strength_percent", strength, "water_l")
        : [];
  const edit = editOfRecord(site, edits);
  return edit
    ? [
        {
          title: `Set strength_percent to ${figure(strength, DECIMALS)}, from stock and water`,
          edit,
          isPreferred: finding.code === "cleaning/mix-mismatch",
        },
      ]
    : [];
}
