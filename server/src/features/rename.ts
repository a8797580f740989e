import type { Span, TextEdit } from "../base/text.ts";
import type { Book } from "../book/book.ts";
import { BOOTS_PREFIX } from "../book/references.ts";
import { writeScalar } from "../syntax/write-scalar.ts";
import { resolved } from "../syntax/tree-queries.ts";
import type { BookEdit, FeatureContext } from "./context.ts";
import { contentOf, idAt, kindInWords, placesOfId, type AskedId, type IdPlace } from "./id-places.ts";
import { definitionOf, type Definition, type WrittenId } from "./written-ids.ts";

/** Why a rename is not made, in a sentence for the keeper. */
export interface RenameRefusal {
  readonly problem: string;
}

export interface RenamePlace {
  /** The id under the cursor, in the file's text. */
  readonly span: Span;
  readonly id: string;
}

/** The format's pattern of ids. */
const ID = /^[a-z0-9][a-z0-9._/-]*$/;
const LONGEST_ID = 200;

/** Whether the id at an offset can be renamed, and what is to be edited. */
export function prepareRename(context: FeatureContext, at: number): RenamePlace | RenameRefusal {
  const asked = idAt(context, at);
  if (!asked) return { problem: "only ids can be renamed; put the cursor on the id of a record, or where it is used" };
  const { written, span } = asked.place;
  if (!asked.definition) {
    const what = `${kindInWords(written.kind)} "${written.id}"`;
    return { problem: `this book has no ${what} yet; correct the name here, or add the record first` };
  }
  return { span, id: written.id };
}

/**
 * Gives the id at an offset another name everywhere in the book: where it is defined, where it is referred to, as boots
 * (`boots/<id>`) and before or after the `#` of another visit's patch. Quotes stay as they are, comments are not looked at.
 */
export function rename(context: FeatureContext, at: number, newName: string): BookEdit | RenameRefusal {
  const prepared = prepareRename(context, at);
  if ("problem" in prepared) return prepared;
  const newId = newName.trim();
  const asked = idAt(context, at)!;
  if (newId === prepared.id) return new Map();
  const problem = troubleWith(newId, asked.definition!, context.book);
  return problem === undefined ? editsOf(context.book, asked, newId) : { problem };
}

function troubleWith(newId: string, old: Definition, book: Book): string | undefined {
  if (newId === "") return "an id cannot be empty; type the new id";
  if (newId.length > LONGEST_ID) return `an id of ${newId.length} letters is too long; use ${LONGEST_ID} at most`;
  if (!ID.test(newId)) {
    const like = likelyId(newId);
    const hint = like === undefined ? "" : `; "${like}" would do`;
    return `an id is made of small letters, digits and . _ / - and starts with a letter or a digit${hint}`;
  }
  const { kind, record } = old;
  if (kind === "equipment" && newId.startsWith(BOOTS_PREFIX))
    return `ids that start with ${BOOTS_PREFIX} stand for the boots of a person; choose another id`;
  const taken: Pick<WrittenId, "kind" | "id">[] = [{ kind, id: newId }];
  // A machine of that name would be taken for the person's boots.
  if (kind === "crew") taken.push({ kind: "equipment", id: BOOTS_PREFIX + newId });
  for (const { kind: other, id } of taken) {
    const written = { kind: other, id, pointer: [], at: 0, isDefinition: false, within: withinOf(old) };
    const known = definitionOf(book, record, written);
    if (known) return alreadyTaken(known);
  }
  return undefined;
}

/** The id of the record that parts of it are told apart in; a field's entrances, a visit's digs and patches. */
function withinOf({ kind, record }: Definition): string {
  return kind === "entrance" ? record.id : "";
}

function alreadyTaken({ kind, id, record, pointer }: Definition): string {
  const words = kindInWords(kind);
  const article = /^[aeiou]/.test(words) ? "an" : "a";
  const owner = pointer.length > 1 && record.id !== "" ? `${record.id}, in ` : "";
  return `there is already ${article} ${words} "${id}" in ${owner}${record.file}; choose an id that is free`;
}

/** What was meant by a name that is no id: `Long Meadow` gives `long-meadow`. */
function likelyId(name: string): string | undefined {
  const plain = name
    .normalize("NFKD")
    .replace(/[\u0300-\u036f]/g, "")
    .toLowerCase();
  const id = plain
    .replace(/[^a-z0-9._/-]+/g, "-")
    .replace(/^[^a-z0-9]+/, "")
    .replace(/-+$/, "");
  return ID.test(id) ? id : undefined;
}

function editsOf(book: Book, asked: AskedId, newId: string): BookEdit {
  const edits = new Map<string, Map<string, TextEdit>>();
  const places = placesOfId(book, asked);
  const written = new Set(places.filter(({ node }) => node.type === "scalar").map(keyOfNode));
  for (const place of places) {
    // A repeat (`*name`) of a value that is renamed where it stands follows by itself.
    if (place.node.type === "alias" && written.has(keyOfNode(place))) continue;
    const edit = editOf(place, newId);
    let inFile = edits.get(place.file.path);
    if (!inFile) edits.set(place.file.path, (inFile = new Map<string, TextEdit>()));
    // A list that several records repeat is written once.
    inFile.set(`${edit.span.start}`, edit);
  }
  return new Map([...edits].map(([path, inFile]) => [path, [...inFile.values()].sort(byPlace)]));
}

function keyOfNode({ file, node, offset }: IdPlace): string {
  return `${resolved(node).span.start + offset} ${file.path}`;
}

function editOf({ file, node, offset, span, written }: IdPlace, newId: string): TextEdit {
  const whole = { start: node.span.start + offset, end: node.span.end + offset };
  const scalar = resolved(node);
  if (scalar.type !== "scalar") return { span: whole, newText: newId };
  const { source } = scalar;
  const value = source.slice(0, written.at) + newId + source.slice(written.at + written.id.length);
  if (node.type === "alias") return { span: whole, newText: writeScalar(value, "plain", "flow") };
  // A new id that would be read as a number or as true or false needs quotes, and with them another whole value.
  const inQuotes = scalar.style === "single" || scalar.style === "double";
  const isPlain = scalar.style === "plain" && writeScalar(value, "plain", "flow") === value;
  if (contentOf(file.text, scalar, offset) !== undefined && (inQuotes || isPlain)) return { span, newText: newId };
  return { span: whole, newText: writeScalar(value, scalar.style, "flow") };
}

function byPlace(a: TextEdit, b: TextEdit): number {
  return a.span.start - b.span.start;
}
