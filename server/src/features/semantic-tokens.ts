import type { Span } from "../base/text.ts";
import type { FactRecord } from "../records/record.ts";
import { isRecordKind } from "../schema/kinds.ts";
import { date, "date-time-minutes" as dateTime } from "../schema/formats.ts";
import type { Shape } from "../schema/shape.ts";
import { keyName } from "../syntax/tree-queries.ts";
import type { ScalarNode, SyntaxNode } from "../syntax/tree.ts";
import type { FeatureContext } from "./context.ts";
import { commentsOf, partsOf } from "./file-parts.ts";
import { contentOf } from "./id-places.ts";
import { definitionOf, writtenIds, type WrittenId } from "./written-ids.ts";

/** All but `date` are the Language Server Protocol's own names, which colour themes know. */
export const SEMANTIC_TOKEN_TYPES = [
  "keyword",
  "property",
  "variable",
  "namespace",
  "number",
  "date",
  "enumMember",
  "macro",
] as const;
export type SemanticTokenType = (typeof SEMANTIC_TOKEN_TYPES)[number];

/**
 * `definition`: an id where it is given; `reference`: the key of a value that refers to another record; `unknown`: an id or key that
 * nothing defines; `measured`: a number with a unit, and its key; `required`: a key that may not be missing; `documentation`:
 * keys of the keeper's own (`x-`, `note`).
 */
export const SEMANTIC_TOKEN_MODIFIERS = [
  "definition",
  "reference",
  "unknown",
  "measured",
  "required",
  "documentation",
] as const;
export type SemanticTokenModifier = (typeof SEMANTIC_TOKEN_MODIFIERS)[number];

export interface SemanticToken {
  /** Within one line of the file's text. */
  readonly span: Span;
  readonly type: SemanticTokenType;
  readonly modifiers: readonly SemanticTokenModifier[];
}

/**
 * What the words of a file mean, in its order and without overlaps: keys, ids, dates, numbers, the words that a key allows, and
 * accept comments. With `span`, of the records alone that it touches.
 */
export function semanticTokens(context: FeatureContext, span?: Span): SemanticToken[] {
  const { file } = context;
  if (file.kind === "weather") return [];
  const tokens: SemanticToken[] = [];
  for (const part of partsOf(file, span)) {
    const painter = new Painter(context, part.start, tokens);
    if (part.root) {
      if (part.entry !== undefined) painter.record(part.root, file.entries[part.entry]!.body.record);
      else painter.file(part.root);
    }
    for (const comment of commentsOf(part)) painter.comment(comment.span);
  }
  return tokens.sort((a, b) => a.span.start - b.span.start);
}

class Painter {
  readonly #context: FeatureContext;
  readonly #start: number;
  readonly #tokens: SemanticToken[];
  #record: FactRecord | undefined;
  #ids = new Map<string, WrittenId[]>();

  constructor(context: FeatureContext, start: number, tokens: SemanticToken[]) {
    this.#context = context;
    this.#start = start;
    this.#tokens = tokens;
  }

  /** A whole file, or the first line of one: its key, and what records are below it. */
  file(root: SyntaxNode): void {
    const { kind, entries } = this.#context.file;
    if (!isRecordKind(kind)) return this.record(root, entries[0]?.body.record);
    if (root.type !== "map") return;
    let next = 0;
    for (const { key, value } of root.entries) {
      const isList = keyName(key) === kind;
      this.#paint(key.span, isList ? "keyword" : "property", isList ? [] : keysOwn(keyName(key)));
      if (!isList || value.type !== "list") continue;
      for (const item of value.items) this.record(item, entries[next++]?.body.record);
    }
  }

  record(root: SyntaxNode, record: FactRecord | undefined): void {
    this.#record = record;
    this.#ids = new Map();
    for (const written of record ? writtenIds(record) : []) {
      const name = nameOf(written.pointer);
      this.#ids.set(name, [...(this.#ids.get(name) ?? []), written]);
    }
    const { kind } = this.#context.file;
    if (kind !== "weather") this.#node(root, this.#context.book.formats[kind].shape, []);
  }

  comment(span: Span): void {
    const text = this.#text(span);
    const parts = /^(#\s*)(accept)(\s+)([^\s:]+)/.exec(text);
    if (!parts) return;
    const accept = span.start + parts[1]!.length;
    const code = accept + parts[2]!.length + parts[3]!.length;
    this.#paint({ start: accept, end: accept + parts[2]!.length }, "keyword");
    this.#paint({ start: code, end: code + parts[4]!.length }, "macro");
  }

  #node(node: SyntaxNode, shape: Shape | undefined, pointer: readonly (string | number)[]): void {
    // A repeat (`*name`) is painted where it is written out.
    if (node.type === "alias") return;
    if (node.type === "list") node.items.forEach((item, i) => this.#node(item, shape?.items, [...pointer, i]));
    else if (node.type === "scalar") this.#scalar(node, shape, nameOf(pointer));
    else {
      for (const { key, value } of node.entries) {
        const name = keyName(key);
        const child = childShape(shape, name);
        if (key.type === "scalar") this.#key(key, name, shape, child);
        this.#node(value, child, [...pointer, name]);
      }
    }
  }

  #key(key: ScalarNode, name: string, around: Shape | undefined, shape: Shape | undefined): void {
    // Under `rules:` each key is the code of a check.
    const isCode = around?.isDictionary === true && !around.isFree && name.includes("/");
    if (isCode) return this.#paint(key.span, "macro");
    const own = keysOwn(name);
    const modifiers: SemanticTokenModifier[] = [...own];
    if (own.length === 0 && around && !around.isFree && !shape) modifiers.push("unknown");
    if (shape?.schema["x-refers-to"] !== undefined || shape?.items?.schema["x-refers-to"] !== undefined)
      modifiers.push("reference");
    if (shape?.schema["x-unit"] !== undefined) modifiers.push("measured");
    if (around?.schema.required?.includes(name)) modifiers.push("required");
    this.#paint(key.span, "property", modifiers);
  }

  #scalar(node: ScalarNode, shape: Shape | undefined, name: string): void {
    const ids = this.#ids.get(name);
    if (ids && this.#idTokens(node, ids)) return;
    if (!shape || shape.isFree) {
      if (node.style === "plain" && typeof node.value === "number") this.#paint(node.span, "number");
      return;
    }
    const { schema } = shape;
    if (schema.enum?.includes(node.source)) this.#paint(node.span, "enumMember");
    else if (shape.wantsText) {
      const isDate =
        schema.format === "date" ? date(node.source) : schema["x-format"] !== undefined && dateTime(node.source);
      if (isDate) this.#paint(node.span, "date");
    } else if (typeof node.value === "number" && node.style === "plain")
      this.#paint(node.span, "number", schema["x-unit"] === undefined ? [] : ["measured"]);
    else if (typeof node.value === "boolean" && node.style === "plain") this.#paint(node.span, "enumMember");
  }

  /** The ids in a value, each by itself, and the `boots/` before one; false where the value is perhaps no id. */
  #idTokens(node: ScalarNode, ids: readonly WrittenId[]): boolean {
    const { book, file } = this.#context;
    const content = contentOf(file.text, node, this.#start);
    const known = ids.filter((one) => !one.isLoose || definitionOf(book, this.#record!, one) !== undefined);
    if (known.length === 0) return false;
    if (content === undefined) {
      this.#paint(node.span, "variable", this.#idModifiers(known[0]!));
      return true;
    }
    const start = content - this.#start;
    const [first] = known;
    if (first!.at > 0) this.#paint({ start, end: start + first!.at }, "namespace");
    for (const one of known)
      this.#paint({ start: start + one.at, end: start + one.at + one.id.length }, "variable", this.#idModifiers(one));
    return true;
  }

  #idModifiers(written: WrittenId): SemanticTokenModifier[] {
    if (written.isDefinition) return ["definition"];
    const { book } = this.#context;
    const { kind, within } = written;
    // Of a field or visit that is unknown itself nobody can tell what is in it.
    if (kind === "entrance" && !book.record("fields", within)) return [];
    if (kind === "dig" && within !== "" && !book.record("visits", within)) return [];
    return definitionOf(book, this.#record!, written) ? [] : ["unknown"];
  }

  #paint(span: Span, type: SemanticTokenType, modifiers: readonly SemanticTokenModifier[] = []): void {
    // The protocol's tokens do not run over the end of a line.
    if (span.end <= span.start || /[\r\n]/.test(this.#text(span))) return;
    this.#tokens.push({ span: { start: span.start + this.#start, end: span.end + this.#start }, type, modifiers });
  }

  #text(span: Span): string {
    return this.#context.file.text.slice(span.start + this.#start, span.end + this.#start);
  }
}

function keysOwn(name: string): SemanticTokenModifier[] {
  return name === "note" || name.startsWith("x-") ? ["documentation"] : [];
}

function childShape(shape: Shape | undefined, key: string): Shape | undefined {
  return shape?.keys.get(key) ?? shape?.patterns.find(([pattern]) => pattern.test(key))?.[1] ?? shape?.otherKeys;
}

function nameOf(pointer: readonly (string | number)[]): string {
  return JSON.stringify(pointer);
}
