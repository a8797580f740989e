import type { Book } from "../../book/book.ts";
import type { FactRecord } from "../../records/record.ts";
import { flowText } from "../../schema/flow-text.ts";
import type { JsonSchema } from "../../schema/json-schema.ts";
import { schemaAt } from "../../schema/schema-at.ts";
import type { Pointer } from "../../syntax/tree-queries.ts";
import { codeText, markdownText } from "../safe-text.ts";

/** What a key means: its title, description, unit, the words it takes, and an example. Undefined for a key of the keeper's own. */
export function keyHelp(record: FactRecord, pointer: Pointer, book: Book): string | undefined {
  const schema = schemaOf(record, pointer, book);
  const name = pointer[pointer.length - 1];
  if (!schema || typeof name !== "string") return undefined;
  const parts = [heading(schema, name, isRequired(record, pointer, book))];
  if (schema.description) parts.push(markdownText(schema.description, 600));
  const words = (schema.enum ?? []).map((word, i) => {
    const meaning = schema["x-enumDescriptions"]?.[i];
    return `- ${codeText(word)}${meaning ? `: ${markdownText(meaning)}` : ""}`;
  });
  if (words.length > 0) parts.push(words.join("\n"));
  const example = schema.examples?.[0];
  if (example !== undefined && example !== "") parts.push(`Example: ${codeText(`${name}: ${flowText(example)}`)}`);
  return parts.join("\n\n");
}

/** `**Area** (ha, required)` */
function heading(schema: JsonSchema, name: string, required: boolean): string {
  const facts = [schema["x-unit"], required ? "required" : undefined].filter((fact) => fact !== undefined);
  return `**${markdownText(schema.title ?? name)}**${facts.length > 0 ? ` (${markdownText(facts.join(", "))})` : ""}`;
}

/** What a word of a list means, or what a number with a unit counts; undefined for what speaks for itself, as dates do. */
export function valueHelp(record: FactRecord, pointer: Pointer, book: Book): string | undefined {
  const schema = schemaOf(record, pointer, book);
  const value = valueOf(record.facts, pointer);
  if (!schema) return undefined;
  if (typeof value === "string") {
    const meaning = schema["x-enumDescriptions"]?.[schema.enum?.indexOf(value) ?? -1];
    return meaning === undefined ? undefined : `**${markdownText(value)}**: ${markdownText(meaning)}`;
  }
  const unit = schema["x-unit"];
  if (typeof value !== "number" || unit === undefined || schema.title === undefined) return undefined;
  const description = schema.description ? `: ${markdownText(schema.description, 600)}` : "";
  return `**${markdownText(schema.title)}** (${markdownText(unit)})${description}`;
}

function schemaOf({ kind, facts }: FactRecord, pointer: Pointer, book: Book): JsonSchema | undefined {
  return kind === "weather" ? undefined : schemaAt(book.formats[kind], pointer, facts);
}

function isRequired(record: FactRecord, pointer: Pointer, book: Book): boolean {
  const parent = schemaOf(record, pointer.slice(0, -1), book);
  return parent?.required?.includes(String(pointer[pointer.length - 1])) ?? false;
}

function valueOf(facts: object, pointer: Pointer): unknown {
  let at: unknown = facts;
  for (const step of pointer) {
    if (at === null || typeof at !== "object" || !Object.hasOwn(at, step)) return undefined;
    at = (at as Record<string | number, unknown>)[step];
  }
  return at;
}
