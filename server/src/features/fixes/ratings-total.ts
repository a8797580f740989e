import { plural } from "../../base/words.ts";
import { isKind } from "../../records/record.ts";
import { replaceScalar } from "../../syntax/edits.ts";
import { editOfRecord, nodeOfSite, textOfSite, type FindingSite, type Remedy } from "./finding-site.ts";

/** Takes the number of plants from the ratings; or, where all plants had one rating, that rating from the plants. */
export function ratingsTotal(site: FindingSite): Remedy[] {
  const { record, pointer } = site;
  const index = Number(pointer[1]);
  if (!isKind(record, "visits") || pointer[0] !== "digs") return [];
  const dig = record.facts.digs?.[index];
  if (!dig?.ratings || dig.plants === undefined) return [];
  const rated = dig.ratings.reduce((total, count) => total + count, 0);
  const remedies: Remedy[] = [];
  const setNumber = (at: readonly (string | number)[], value: number, title: string, isPreferred: boolean): void => {
    const node = nodeOfSite(site, at);
    if (node?.type !== "scalar") return;
    const edit = editOfRecord(site, replaceScalar(textOfSite(site), node, value, "block"));
    if (edit) remedies.push({ title, edit, isPreferred });
  };
  if (rated > 0) setNumber(["digs", index, "plants"], rated, `Set plants to ${rated}, as many as were rated`, true);
  const classes = dig.ratings.flatMap((count, rating) => (count > 0 ? [rating] : []));
  const only = classes.length === 1 ? classes[0] : undefined;
  if (only !== undefined) {
    const title = `Set the plants rated ${only} to ${dig.plants}: ${plural(dig.plants, "plant")} dug`;
    setNumber(["digs", index, "ratings", only], dig.plants, title, false);
  }
  return remedies;
}
