import type { SyntaxNode } from "../../syntax/tree.ts";
import { entryOf, resolved } from "../../syntax/tree-queries.ts";
import type { FindingSite } from "./finding-site.ts";

/** Whether the place lies between brackets, where a comma would end a value. */
export function isInFlow({ root, pointer, context: { file } }: FindingSite): boolean {
  let node: SyntaxNode | undefined = root;
  for (const step of pointer) {
    if (node === undefined) return false;
    const here = resolved(node);
    if (here.type === "scalar") return false;
    if (here.flow) return true;
    node = here.type === "list" ? here.items[Number(step)] : entryOf(here, String(step))?.value;
  }
  // A file that is not a plain list of records may hold them in brackets.
  return !file.isSliced && file.kind !== "season" && file.kind !== "region";
}
