import type { ValidatorError } from "../../generated/validators.mjs";
import type { SyntaxNode } from "../syntax/tree.ts";
import { expectedWords, listed, rangeWords } from "./expected-words.ts";
import { flowText } from "./flow-text.ts";
import type { JsonSchema } from "./json-schema.ts";

const LONGEST_SHOWN = 40;

export interface BrokenValue {
  /** How a sentence calls the place: `"ph"`, `item 3 of "crew"`. */
  readonly name: string;
  readonly schema: JsonSchema;
  readonly error: ValidatorError;
  /** As written, aliases followed. */
  readonly node: SyntaxNode | undefined;
  /** As read. */
  readonly value: unknown;
  readonly suggestion: string | undefined;
  /** The key cannot be left out. */
  readonly isRequired: boolean;
}

/** What is wrong with a value, and what to write in its place. */
export function brokenMessage({ name, schema, error, node, value, suggestion, isRequired }: BrokenValue): string {
  if (value === null || value === "") {
    const example = schema.examples?.find((one) => one !== "");
    const such =
      example === undefined || schema.enum || flowText(example).length > LONGEST_SHOWN
        ? ""
        : `, such as ${flowText(example)}`;
    const out = isRequired || typeof error.params["minLength"] === "number" ? "" : ", or take the key out";
    return `${name} is empty; write ${expectedWords(schema)}${schema["x-expected"] ? "" : such}${out}`;
  }
  const isText = schema.enum !== undefined || schema.format !== undefined || schema.pattern !== undefined;
  const means = suggestion === undefined ? "" : `; did you mean ${isText ? `"${suggestion}"` : suggestion}?`;
  switch (error.keyword) {
    case "enum":
      return `${name} cannot be ${shown(node)}${means === "" ? `; choose ${listed(schema.enum ?? [])}` : means}`;
    case "format":
      return `${name} ${dateTrouble(schema, node, means)}`;
    case "pattern":
      if (schema["x-expected"] !== undefined)
        return `${name} must be ${schema["x-expected"]}, not ${shown(node)}${means}`;
      return `${name} cannot be ${shown(node)}: an id has small letters, digits and . _ / - only, and begins with a letter or digit${means}`;
    case "minimum":
    case "maximum":
    case "exclusiveMinimum":
    case "exclusiveMaximum":
      return `${name} is ${shown(node, "bare")}; it must be ${rangeWords(schema)}${means}`;
    case "minLength":
    case "maxLength": {
      const limit = `${String(error.params["limit"])} at ${error.keyword === "minLength" ? "least" : "most"}`;
      return `${name} has ${String(value).length} characters; it must have ${limit}`;
    }
    case "minItems":
    case "maxItems": {
      const length = Array.isArray(value) ? value.length : 0;
      const must =
        schema["x-expected"] ??
        `a list of at ${error.keyword === "minItems" ? "least" : "most"} ${String(error.params["limit"])}`;
      return `${name} has ${length} ${length === 1 ? "item" : "items"}; it must be ${must}`;
    }
    default:
      return `${name} must be ${expectedWords(schema)}${groupExample(schema)}, not ${shown(node)}${means}`;
  }
}

function dateTrouble(schema: JsonSchema, node: SyntaxNode | undefined, means: string): string {
  const text = node?.type === "scalar" ? node.source : "";
  const wantsTime = schema["x-format"] !== undefined;
  if (!wantsTime && /^\d{4}-\d\d-\d\d$/.test(text)) return `is ${text}, which is not a day of the calendar`;
  if (wantsTime && /^\d{4}-\d\d-\d\dT\d\d:\d\d$/.test(text))
    return `is ${text}, which is not a day and time of the calendar`;
  if (wantsTime && /^\d{4}-\d\d-\d\d$/.test(text)) return `needs the time of day too, such as ${text}T09:40`;
  return `must be ${expectedWords(schema)}, not ${shown(node)}${means}`;
}

function groupExample(schema: JsonSchema): string {
  const example = schema.examples?.[0];
  if ((schema.type !== "object" && schema.type !== "array") || example === undefined || schema["x-expected"]) return "";
  const text = flowText(example);
  return text.length > 60 ? "" : ` such as ${text}`;
}

/** A value as a message shows it. `bare` leaves out the quotes around what is a number anyhow. */
export function shown(node: SyntaxNode | undefined, style: "quoted" | "bare" = "quoted"): string {
  if (!node) return "this";
  if (node.type === "list") return "a list";
  if (node.type === "map") return "a group of keys";
  const text = node.type === "scalar" ? node.source : `*${node.name}`;
  const short = text.length > LONGEST_SHOWN ? `${text.slice(0, LONGEST_SHOWN)}…` : text;
  const plain = short.replace(/\s+/g, " ");
  return style === "bare" || (node.type === "scalar" && typeof node.value === "number") ? plain : `"${plain}"`;
}
