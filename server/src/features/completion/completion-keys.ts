import type { JsonSchema } from "../../schema/json-schema.ts";
import { indentOf, snippetText, sortTextOf, type CompletionItem } from "./completion-item.ts";
import type { TypingPlace } from "./typing-place.ts";

/** Makes of a schema with a `$ref` the schema it stands for. */
export type Resolve = (schema: JsonSchema) => JsonSchema;

/**
 * The keys that a map can still take, required ones first, in the order of its schema.
 *
 * @param present keys that stand in the map already, beside those around the cursor.
 */
export function keyItems(
  place: TypingPlace,
  schema: JsonSchema,
  present: readonly string[],
  resolve: Resolve,
  lineEnding: string,
): CompletionItem[] {
  const taken = new Set([...place.keys, ...present]);
  const required = new Set(schema.required ?? []);
  return Object.entries(schema.properties ?? {})
    .filter(([key]) => !taken.has(key))
    .map(([key, property], index) => {
      const isRequired = required.has(key);
      const value = place.hasColon ? "" : afterKey(resolve(property), place, lineEnding);
      const isSnippet = value.includes("$");
      const name = isSnippet ? snippetText(key) : key;
      return {
        label: key,
        detail: [isRequired ? "required" : "", property["x-unit"] ?? ""].filter((part) => part !== "").join(", "),
        documentation: property.description ?? "",
        kind: "key",
        insertText: before(place) + name + value,
        isSnippet,
        replace: place.replace,
        sortText: sortTextOf(isRequired ? "a" : key === "note" ? "k9" : "k", index),
        filterText: key,
        asksAgain: true,
      };
    });
}

/** Keys that are data, such as the codes of checks in `rules`, as completions. */
export function namedKeyItems(
  place: TypingPlace,
  names: readonly { readonly name: string; readonly detail: string; readonly documentation: string }[],
): CompletionItem[] {
  const taken = new Set(place.keys);
  return names
    .filter(({ name }) => !taken.has(name))
    .map(({ name, detail, documentation }, index) => ({
      label: name,
      detail,
      documentation,
      kind: "key",
      insertText: `${before(place)}${name}${place.hasColon ? "" : ": "}`,
      isSnippet: false,
      replace: place.replace,
      sortText: sortTextOf("k", index),
      filterText: name,
      asksAgain: true,
    }));
}

function before(place: TypingPlace): string {
  const dash = place.what === "dash" ? "- " : "";
  return (place.needsSpace ? " " : "") + " ".repeat(indentOf(place)) + dash;
}

/** What follows a key: its colon, and the brackets or the dash that its value begins with. */
function afterKey(schema: JsonSchema, place: TypingPlace, lineEnding: string): string {
  if (place.quote !== "") return "";
  if (schema.type === "object") return ": { $1 }";
  if (schema.type !== "array") return ": ";
  const items = schema.items || undefined;
  if (items === undefined || (items.type !== "object" && items.$ref === undefined)) return ": [$1]";
  if (place.isFlow) return ": [{ $1 }]";
  const column = place.column + (place.what === "dash" ? place.step : 0);
  return `:${lineEnding}${" ".repeat(column + place.step)}- $1`;
}
