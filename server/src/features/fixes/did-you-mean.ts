import { oneLine } from "../safe-text.ts";
import { schemaAt } from "../../schema/schema-at.ts";
import type { SchemaKind } from "../../schema/kinds.ts";
import { replaceScalar } from "../../syntax/edits.ts";
import { nodeAt } from "../../syntax/tree-queries.ts";
import { editOfRecord, textOfSite, type FindingSite, type Remedy } from "./finding-site.ts";
import { isInFlow } from "./flow-style.ts";

/** Writes what the finding suggests in the place of what stands there, in the quotes it has. */
export function didYouMean(site: FindingSite): Remedy[] {
  const { finding, context, part, span, pointer, root, record, offset } = site;
  const replacement = finding.suggestion?.replacement;
  if (replacement === undefined || span.start === span.end) return [];
  const found = nodeAt(root, pointer);
  const node = part === "key" ? found?.key : found?.value;
  // Where a value is missing its key is underlined: that is not what the suggestion would replace.
  if (!node || node.span.start + offset !== span.start || node.span.end + offset !== span.end) return [];
  if ((part === "key") !== (finding.code === "structure/unknown-key")) return [];
  const title = `Change to ${oneLine(replacement, 80)}`;
  const schema =
    part === "key" ? undefined : schemaAt(context.book.formats[record.kind as SchemaKind], pointer, record.facts);
  const isText = part === "key" || schema === undefined || schema.type === "string";
  if (isText && node.type === "scalar") {
    const asWritten = /^\d{4}-\d\d-\d\d(T\d\d:\d\d)?$/.test(replacement) && node.style === "plain";
    const edits = asWritten
      ? [{ span: node.span, newText: replacement }]
      : replaceScalar(textOfSite(site), node, replacement, isInFlow(site) ? "flow" : "block");
    const edit = editOfRecord(site, edits);
    return edit ? [{ title, edit, isPreferred: true }] : [];
  }
  // A number, a truth value or a list is written as it is suggested, without the quotes that made it wrong.
  return [{ title, edit: new Map([[context.file.path, [{ span, newText: replacement }]]]), isPreferred: true }];
}
