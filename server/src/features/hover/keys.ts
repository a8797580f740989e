import type { Book } from "../../book/book.ts";
import type { FactRecord } from "../../records/record.ts";
import { flowText } from "../../schema/flow-text.ts";
import type { JsonSchema } from "../../schema/json-schema.ts";
import { isRecordKind, type SchemaKind } from "../../schema/kinds.ts";
import { schemaAt } from "../../schema/schema-at.ts";
import type { Pointer } from "../../syntax/tree-queries.ts";
import { codeText, markdownText } from "../safe-text.ts";

/** What a key means: its title, description, unit, the words it takes, and an example. Undefined for a key of the keeper's own. */
export function keyHelp(record: FactRecord, pointer: Pointer, book: Book): string | undefined {
  const schema = schemaOf(record, pointer) ?? regionsOwn(record, pointer, book);
  const name = pointer[pointer.length - 1];
  if (!schema || typeof name !== "string") return undefined;
  const parts = [heading(schema, name, isRequired(record, pointer))];
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
export function valueHelp(record: FactRecord, pointer: Pointer): string | undefined {
  const schema = schemaOf(record, pointer);
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

function schemaOf(record: FactRecord, pointer: Pointer): JsonSchema | undefined {
  return record.kind === "weather" ? undefined : schemaAt(record.kind as SchemaKind, pointer, record.facts);
}

/** A key that the region pack adds to the records of a kind. */
function regionsOwn({ kind }: FactRecord, pointer: Pointer, book: Book): JsonSchema | undefined {
  const [key] = pointer;
  if (pointer.length !== 1 || typeof key !== "string" || !isRecordKind(kind)) return undefined;
  const properties = book.region.records?.[kind]?.properties;
  const own = properties && Object.hasOwn(properties, key) ? properties[key] : undefined;
  if (own === null || typeof own !== "object") return undefined;
  // A pack is a keeper's text: of its schema only what is text is shown.
  const title = typeof own.title === "string" ? own.title : key;
  return typeof own.description === "string"
    ? { title, description: own.description }
    : { title, description: "A key of the region's own." };
}

function isRequired(record: FactRecord, pointer: Pointer): boolean {
  const parent = schemaOf(record, pointer.slice(0, -1));
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
