import { flowText } from "./flow-text.ts";
import type { JsonSchema } from "./json-schema.ts";

/** What a value must be, in words that follow "must be". */
export function expectedWords(schema: JsonSchema): string {
  if (schema["x-expected"] !== undefined) return schema["x-expected"];
  if (schema.enum) return listed(schema.enum);
  if (schema["x-refers-to"] !== undefined) return `the id of ${withArticle(schema["x-refers-to"])}`;
  if (schema["x-format"] !== undefined) return "a day and a time, written YYYY-MM-DDTHH:MM";
  if (schema.format !== undefined) return "a date, written YYYY-MM-DD";
  switch (schema.type) {
    case "integer":
      return `a whole number${range(schema)}`;
    case "number":
      return `a number${range(schema)}`;
    case "boolean":
      return "true or false";
    case "array":
      return "a list";
    case "object":
      return "a group of keys";
    default:
      return "a text";
  }
}

/** The range a number must lie in, in words that follow "must be". */
export function rangeWords(schema: JsonSchema): string {
  if (schema["x-expected"] !== undefined) return schema["x-expected"];
  const { minimum, exclusiveMinimum, maximum, exclusiveMaximum } = schema;
  if (minimum !== undefined && maximum !== undefined)
    return minimum === maximum ? `${minimum}` : `from ${minimum} to ${maximum}`;
  if (minimum !== undefined) return `${minimum} or more`;
  if (maximum !== undefined) return `${maximum} or less`;
  return exclusiveMinimum !== undefined ? `more than ${exclusiveMinimum}` : `less than ${exclusiveMaximum}`;
}

function range(schema: JsonSchema): string {
  const { minimum, maximum } = schema;
  if (minimum !== undefined && maximum !== undefined) return ` from ${minimum} to ${maximum}`;
  return minimum !== undefined ? ` of ${minimum} or more` : "";
}

/** An example of a key with its value, as it would stand in a record, or undefined where none is short enough. */
export function exampleText(key: string, schema: JsonSchema): string | undefined {
  const example = schema.examples?.find((one) => one !== "");
  if (example === undefined) return undefined;
  const text = `${key}: ${flowText(example)}`;
  return text.length > 70 ? undefined : text;
}

/** The first sentence of what a key means, to stand after a colon. */
export function meaning(schema: JsonSchema): string {
  const description = schema.description ?? "";
  const end = description.search(/\.( |$)/);
  const sentence = end < 0 ? description : description.slice(0, end);
  // A name or an abbreviation at the start keeps its capitals.
  return /^[A-Z][a-z]/.test(sentence) ? sentence[0]!.toLowerCase() + sentence.slice(1) : sentence;
}

/** `a, b or c` */
export function listed(words: readonly string[], last = "or"): string {
  if (words.length < 2) return words.join("");
  return `${words.slice(0, -1).join(", ")} ${last} ${words.at(-1)!}`;
}

function withArticle(word: string): string {
  return word === "crew"
    ? "a member of the crew"
    : word === "equipment"
      ? "a piece of equipment"
      : `${/^[aeiou]/.test(word) ? "an" : "a"} ${word}`;
}
