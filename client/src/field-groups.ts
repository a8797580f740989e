// The fields of the open books in groups. Knows no editor, so that plain tests can read it.
import type { FieldList, ListedField } from "./protocol.ts";

export interface FieldGroup {
  readonly name: string;
  /** Where they are grouped by it. */
  readonly status: string | undefined;
  readonly fields: readonly { readonly field: ListedField; readonly list: FieldList }[];
}

/** By status, the riskiest first as the server gives them, or by grower, by name; who has no grower stands last. */
export function fieldGroups(lists: readonly FieldList[], byGrower: boolean): FieldGroup[] {
  const groups = new Map<string, { field: ListedField; list: FieldList }[]>();
  for (const list of lists) {
    for (const field of list.fields) {
      const key = byGrower ? (field.grower ?? "") : field.status;
      const group = groups.get(key) ?? [];
      group.push({ field, list });
      groups.set(key, group);
    }
  }
  const named = [...groups].map(([key, fields]) => ({
    name: key === "" ? "No grower on record" : key,
    status: byGrower ? undefined : key,
    fields,
    key,
  }));
  if (byGrower) named.sort((a, b) => Number(a.key === "") - Number(b.key === "") || (a.key < b.key ? -1 : 1));
  else named.sort((a, b) => order.indexOf(a.key) - order.indexOf(b.key));
  return named.map(({ name, status, fields }) => ({ name, status, fields }));
}

/** Riskiest first: of several books each gives its own, and none may have them all. */
const order = ["confirmed", "suspected", "exposed", "unscouted", "not found", "no host this season", "waiting"];
