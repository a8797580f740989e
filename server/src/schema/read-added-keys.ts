import { closest } from "../base/closest.ts";
import type { Pointer } from "../base/pointer.ts";
import { listed } from "./expected-words.ts";
import { flowText } from "./flow-text.ts";
import type { JsonSchema } from "./json-schema.ts";
import type { SchemaKind } from "./kinds.ts";
import { safePattern } from "./safe-pattern.ts";
import { resolvedSchema } from "./shape.ts";

/** Something that a region pack may not say, at its place. */
export interface PackProblem {
  readonly pointer: Pointer;
  readonly part: "key" | "value";
  readonly message: string;
  readonly suggestion?: string;
}

export interface ReadAddedKeys {
  /** What can be relied on of what the pack adds: every word of it known and of the right type. */
  readonly added: JsonSchema;
  readonly problems: readonly PackProblem[];
}

/** What an added key can hold. */
export const ADDED_KEY_TYPES = ["string", "integer", "number", "boolean", "array", "object"];
const TEXTS = ["title", "description", "x-unit", "x-expected", "x-noun"] as const;
const NUMBERS = ["minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum"] as const;
const LENGTHS = ["minLength", "maxLength", "minItems", "maxItems"] as const;
const KEYWORDS: ReadonlySet<string> = new Set([
  ...TEXTS,
  ...NUMBERS,
  ...LENGTHS,
  ..."type enum pattern format required properties additionalProperties items examples default $comment note".split(
    " ",
  ),
]);
/** The words by which a pack describes a key, with what each says. */
export const ADDED_KEY_WORDS: Readonly<Record<string, string>> = {
  type: "What the key holds: a text (string), a whole number (integer), a number, true or false (boolean), a list (array), or a group of keys (object).",
  title: "The key's name in plain words.",
  description: "What the key means.",
  enum: "The words that the key takes; of a key of the format, words beside its own.",
  minimum: "The least number.",
  maximum: "The greatest number.",
  minLength: "The fewest characters.",
  maxLength: "The most characters.",
  pattern: "A pattern that the text must match, in RE2's language.",
  format: "date for a day, date-time for a day and a time.",
  properties: "The keys of a group.",
  required: "The keys that must be there.",
  items: "What each item of a list holds.",
  examples: "Values as they could stand in a record.",
  "x-unit": "The unit of a number.",
  "x-expected": 'What the value must be, in words that follow "must be".',
  "x-enumDescriptions": "What each word of enum means, in the same order.",
};
const KEY_NAME = /^[a-z][a-z0-9_]{0,59}$/;
const MOST_PARTS = 500;
const DEEPEST = 8;
const MOST_PROBLEMS = 20;
const MOST_WORDS = 200;

/**
 * Reads what a pack adds to a kind. The pack may come from a stranger: of its text only the words of the subset are taken,
 * bounded in number and depth, and nothing else reaches the checks, the hovers or the completion.
 *
 * @param base the kind's schema as the pack's parents have it
 * @param pointer of the added keys, in the pack
 */
export function readAddedKeys(kind: SchemaKind, base: JsonSchema, raw: unknown, pointer: Pointer): ReadAddedKeys {
  const problems: PackProblem[] = [];
  const reader = new Reader(kind, problems);
  const added = reader.object(raw, base, pointer, 0);
  return { added, problems: problems.slice(0, MOST_PROBLEMS) };
}

class Reader {
  #parts = 0;

  constructor(
    readonly kind: SchemaKind,
    readonly problems: PackProblem[],
  ) {}

  #tell(pointer: Pointer, message: string, part: "key" | "value" = "value", suggestion?: string): void {
    this.problems.push({ pointer, part, message, ...(suggestion !== undefined && { suggestion }) });
  }

  /** One key's description, or the kind's own at the top. */
  object(raw: unknown, written: JsonSchema | undefined, pointer: Pointer, depth: number): JsonSchema {
    if (!isMap(raw)) {
      this.#tell(
        pointer,
        `what a key holds is described by a group of words such as { type: string }, not ${shownValue(raw)}`,
      );
      return {};
    }
    if (++this.#parts > MOST_PARTS || depth > DEEPEST) {
      if (this.#parts === MOST_PARTS + 1 || depth > DEEPEST)
        this.#tell(
          pointer,
          `a region pack adds at most ${MOST_PARTS} keys to a kind, ${DEEPEST} within one another; leave some out`,
        );
      return {};
    }
    const base = written && resolvedSchema(written, this.kind);
    this.#unknownWords(raw, pointer);
    const schema: Writable = {};
    for (const word of TEXTS) this.#take(raw, word, pointer, schema, isText, "a text");
    for (const word of NUMBERS) this.#take(raw, word, pointer, schema, isNumber, "a number");
    for (const word of LENGTHS) this.#take(raw, word, pointer, schema, isCount, "a whole number of 0 or more");
    if (Array.isArray(raw["examples"])) schema.examples = raw["examples"].slice(0, 5) as unknown[];
    // Of a key that is to be something else than it is, nothing further is meant.
    if (!this.#type(raw, base, pointer, schema)) return {};
    this.#words(raw, base, pointer, schema);
    this.#pattern(raw, pointer, schema);
    this.#children(raw, base, pointer, depth, schema);
    return schema as JsonSchema;
  }

  #unknownWords(raw: Group, pointer: Pointer): void {
    for (const word of Object.keys(raw)) {
      if (KEYWORDS.has(word) || word.startsWith("x-")) continue;
      const at = [...pointer, word];
      if (word.startsWith("$") && word !== "$comment") {
        this.#tell(at, `"${word}" would lead out of this pack; write what it stands for in its place`, "key");
        continue;
      }
      const meant = closest(word, KEYWORDS);
      const advice =
        meant === undefined ? `take it out; the words are ${listed([...KEYWORDS], "and")}` : `did you mean "${meant}"?`;
      this.#tell(
        at,
        `"${shorten(word)}" is not a word by which a region pack can describe a key; ${advice}`,
        "key",
        meant,
      );
    }
  }

  #take<T>(
    raw: Group,
    word: string,
    pointer: Pointer,
    into: Writable,
    isRight: (value: unknown) => value is T,
    expected: string,
  ): void {
    if (!Object.hasOwn(raw, word)) return;
    const value = raw[word];
    if (isRight(value)) into[word] = value;
    else this.#tell([...pointer, word], `"${word}" must be ${expected}, not ${shownValue(value)}`);
  }

  /** Whether what the key holds can be told, and is what the key holds already. */
  #type(raw: Group, base: JsonSchema | undefined, pointer: Pointer, into: Writable): boolean {
    const implied = isMap(raw["properties"])
      ? "object"
      : "items" in raw
        ? "array"
        : isTextual(raw)
          ? "string"
          : undefined;
    let type = implied;
    if (Object.hasOwn(raw, "type")) {
      const { type: written } = raw;
      if (typeof written === "string" && ADDED_KEY_TYPES.includes(written)) type = written;
      else
        this.#tell(
          [...pointer, "type"],
          `"type" must be one of ${listed(ADDED_KEY_TYPES)}, not ${shownValue(written)}`,
        );
    }
    if (pointer.length <= 2 && type !== undefined && type !== "object") {
      this.#tell([...pointer, "type"], "a record is a group of keys, so its type can only be object");
      return false;
    }
    if (
      base?.type !== undefined &&
      type !== undefined &&
      type !== base.type &&
      !(type === "integer" && base.type === "number")
    ) {
      const place = Object.hasOwn(raw, "type") ? [...pointer, "type"] : pointer;
      this.#tell(
        place,
        `${this.kind} have this key already, and it holds ${typeWords(base.type)}, not ${typeWords(type)}; take the type out or give the key another name`,
      );
      return false;
    }
    if (type !== undefined) into.type = type;
    if (raw["format"] === "date") Object.assign(into, { type: "string", format: "date" });
    else if (raw["format"] === "date-time") Object.assign(into, { type: "string", "x-format": "date-time-minutes" });
    else if (raw["format"] !== undefined)
      this.#tell(
        [...pointer, "format"],
        `"format" must be date (2026-08-14) or date-time (2026-08-14T09:40), not ${shownValue(raw["format"])}`,
      );
    return true;
  }

  #words(raw: Group, base: JsonSchema | undefined, pointer: Pointer, into: Writable): void {
    const words = raw["enum"];
    if (words === undefined) return;
    const isList = Array.isArray(words) && words.length > 0 && words.every((word) => isText(word) && word !== "");
    if (!isList || words.length > MOST_WORDS)
      return this.#tell([...pointer, "enum"], `"enum" must be a list of words, at least one and at most ${MOST_WORDS}`);
    if (base !== undefined && base.enum === undefined)
      return this.#tell(
        [...pointer, "enum"],
        `${this.kind} take any value in this key, which no list of words may narrow; take the list out`,
        "key",
      );
    into.enum = [...new Set(words as string[])];
    const meanings = raw["x-enumDescriptions"];
    if (Array.isArray(meanings) && meanings.every(isText)) into["x-enumDescriptions"] = meanings;
  }

  #pattern(raw: Group, pointer: Pointer, into: Writable): void {
    const { pattern } = raw;
    if (pattern === undefined) return;
    if (!isText(pattern))
      return this.#tell([...pointer, "pattern"], `"pattern" must be a text, not ${shownValue(pattern)}`);
    const compiled = safePattern(pattern);
    if (typeof compiled === "string") return this.#tell([...pointer, "pattern"], `this pattern ${compiled}`);
    into.pattern = pattern;
    if (into["x-expected"] !== undefined) return;
    const example = (into.examples as unknown[] | undefined)?.find((one) => isText(one) && one !== "");
    into["x-expected"] =
      example === undefined ? `written as the region asks (${pattern})` : `written like ${flowText(example)}`;
  }

  #children(raw: Group, base: JsonSchema | undefined, pointer: Pointer, depth: number, into: Writable): void {
    const properties: Record<string, JsonSchema> = {};
    if (isMap(raw["properties"])) {
      for (const [key, inner] of Object.entries(raw["properties"])) {
        const at = [...pointer, "properties", key];
        const known = base?.properties && Object.hasOwn(base.properties, key) ? base.properties[key] : undefined;
        if (known === undefined && (!KEY_NAME.test(key) || key in Object.prototype)) {
          this.#tell(
            at,
            `"${shorten(key)}" cannot be the name of a key; use small letters, digits and _, beginning with a letter`,
            "key",
          );
          continue;
        }
        properties[key] = this.object(inner, known, at, depth + 1);
      }
      into.properties = properties;
    } else if (raw["properties"] !== undefined && depth > 0)
      this.#tell(
        [...pointer, "properties"],
        `"properties" must be a group of keys, not ${shownValue(raw["properties"])}`,
      );
    if (raw["items"] !== undefined)
      into.items = this.object(raw["items"], base?.items || undefined, [...pointer, "items"], depth + 1);
    this.#required(raw, { ...base?.properties, ...properties }, pointer, into);
    if (into.type === "object" && base === undefined) this.#others(raw, pointer, depth, into);
  }

  #required(raw: Group, known: Readonly<Record<string, JsonSchema>>, pointer: Pointer, into: Writable): void {
    const { required } = raw;
    if (required === undefined) return;
    if (!Array.isArray(required)) return this.#tell([...pointer, "required"], `"required" must be a list of keys`);
    const keys: string[] = [];
    required.forEach((key: unknown, i) => {
      if (isText(key) && Object.hasOwn(known, key)) {
        keys.push(key);
        return;
      }
      const meant = isText(key) ? closest(key, Object.keys(known)) : undefined;
      const advice = meant === undefined ? `describe it under "properties" as well` : `did you mean "${meant}"?`;
      this.#tell(
        [...pointer, "required", i],
        `${shownValue(key)} is required, but is no key here; ${advice}`,
        "value",
        meant,
      );
    });
    if (keys.length > 0) into.required = keys;
  }

  /** A group of keys of the region's own is closed, as those of the format are: what is not named in it is a mistake. */
  #others(raw: Group, pointer: Pointer, depth: number, into: Writable): void {
    const others = raw["additionalProperties"];
    const named = (into.properties ?? {}) as Record<string, JsonSchema>;
    if (isMap(others))
      into.additionalProperties = this.object(others, undefined, [...pointer, "additionalProperties"], depth + 1);
    else if (others !== true && (others === false || Object.keys(named).length > 0)) into.additionalProperties = false;
    if (into.additionalProperties === false) {
      into.patternProperties = { "^x-": true };
      into.properties = Object.hasOwn(named, "note") ? named : { ...named, note: NOTE };
    }
  }
}

const NOTE: JsonSchema = { title: "Note", description: "Anything worth keeping, in your own words.", type: "string" };

type Group = Record<string, unknown>;
type Writable = { [word: string]: unknown } & { -readonly [K in keyof JsonSchema]?: unknown };

function isMap(value: unknown): value is Group {
  return value !== null && typeof value === "object" && !Array.isArray(value);
}

function isText(value: unknown): value is string {
  return typeof value === "string";
}

function isNumber(value: unknown): value is number {
  return typeof value === "number" && Number.isFinite(value);
}

function isCount(value: unknown): value is number {
  return isNumber(value) && Number.isInteger(value) && value >= 0;
}

function isTextual(raw: Group): boolean {
  return ["enum", "pattern", "minLength", "maxLength", "format"].some((word) => word in raw);
}

function typeWords(type: string): string {
  return (
    {
      integer: "a whole number",
      number: "a number",
      boolean: "true or false",
      array: "a list",
      object: "a group of keys",
    }[type] ?? "a text"
  );
}

function shorten(text: string): string {
  return text.length > 40 ? `${text.slice(0, 40)}…` : text;
}

function shownValue(value: unknown): string {
  if (value === null || value === undefined) return "nothing";
  if (Array.isArray(value)) return "a list";
  if (typeof value === "object") return "a group of keys";
  return isText(value) ? `"${shorten(value)}"` : String(value);
}
