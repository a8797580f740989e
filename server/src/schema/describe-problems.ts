import type { ValidatorError } from "../../generated/validators.mjs";
import type { Pointer } from "../base/pointer.ts";
import { nodeAt, resolved } from "../syntax/tree-queries.ts";
import type { SyntaxNode } from "../syntax/tree.ts";
import { brokenMessage, shown } from "./broken-message.ts";
import { exampleText, listed, meaning } from "./expected-words.ts";
import { isRecordKind } from "./kinds.ts";
import { likelyValue } from "./likely-values.ts";
import type { RecordFormat } from "./record-format.ts";
import { schemaAt } from "./schema-at.ts";
import { shapesAlong, stepsToWhole } from "./remove-broken.ts";
import { stepsOf, valueAt, type SchemaProblem } from "./schema-problem.ts";
import { unknownKeys } from "./unknown-keys.ts";

/** A record with more mistakes than this is not a record that someone is mending one by one. */
const MAX_PROBLEMS = 50;

/** What is wrong with a record, one problem a place, in words for its keeper. */
export function describeProblems(
  format: RecordFormat,
  root: SyntaxNode,
  value: unknown,
  errors: readonly ValidatorError[],
): SchemaProblem[] {
  const problems = unknownKeys(root, format.shape).slice(0, MAX_PROBLEMS);
  const mistyped = [...problems];
  for (const { pointer, errors: here } of brokenPlaces(format, value, errors)) {
    if (problems.length >= MAX_PROBLEMS) break;
    if (isMissing(here[0]!)) {
      const problem = missingKeys(format, value, pointer, here, mistyped);
      if (problem) problems.push(problem);
    } else {
      const error = here.find((one) => one.keyword === "type") ?? here[0]!;
      problems.push(brokenValue(format, root, value, pointer, error));
    }
  }
  return problems;
}

interface BrokenPlace {
  readonly pointer: Pointer;
  /** What is wrong there: either keys that are missing from it, or the value itself. */
  readonly errors: ValidatorError[];
}

/**
 * The errors by place. Of a value that is right or wrong as a whole (a boundary) only the outermost place stays: one
 * corner too deep in its brackets breaks every corner.
 */
function brokenPlaces(format: RecordFormat, value: unknown, errors: readonly ValidatorError[]): Iterable<BrokenPlace> {
  const places = new Map<string, BrokenPlace>();
  for (const error of errors) {
    // The branch of an `if` tells its own errors; "if" only repeats that there were some.
    if (error.keyword === "if") continue;
    const pointer = stepsOf(error.instancePath, value);
    const whole = stepsToWhole(shapesAlong(format.shape, pointer));
    const name =
      whole !== undefined
        ? `whole ${JSON.stringify(pointer.slice(0, whole))}`
        : `${isMissing(error) ? "missing from" : "broken"} ${error.instancePath}`;
    const known = places.get(name);
    if (!known || pointer.length < known.pointer.length) places.set(name, { pointer, errors: [error] });
    else if (known.errors[0]!.instancePath === error.instancePath && isMissing(known.errors[0]!) === isMissing(error)) {
      known.errors.push(error);
    }
  }
  return places.values();
}

function isMissing(error: ValidatorError): boolean {
  return error.keyword === "required";
}

/** What stands where a record should stand, and is none. */
export function notARecord(format: RecordFormat, node: SyntaxNode | undefined): SchemaProblem {
  const schema = format.schema;
  const noun = schema["x-noun"] ?? "a record";
  const place = { code: "structure/schema", pointer: [], part: "value" } as const;
  const example = exampleText(schema.required?.[0] ?? "id", schemaAt(format, [schema.required?.[0] ?? "id"]) ?? {});
  const begin = example === undefined ? "" : `, beginning for example with "${example}"`;
  if (node === undefined || (node.type === "scalar" && node.value === null)) {
    const advice = isRecordKind(format.kind)
      ? `write its keys after the dash${begin}, or take the dash out`
      : `write its keys${begin}`;
    return { ...place, message: `${noun} is empty; ${advice}` };
  }
  return { ...place, message: `${noun} must be a group of keys${begin}, not ${shown(node)}` };
}

function missingKeys(
  format: RecordFormat,
  value: unknown,
  pointer: Pointer,
  errors: readonly ValidatorError[],
  mistyped: readonly SchemaProblem[],
): SchemaProblem | undefined {
  // A key that was mistyped is told of where it stands; that it is missing too would be the same mistake twice.
  const meant = new Set(mistyped.filter(({ pointer: at }) => isChild(at, pointer)).map(({ suggestion }) => suggestion));
  const names = errors.map(({ params }) => String(params["missingProperty"])).filter((name) => !meant.has(name));
  if (names.length === 0) return undefined;
  const noun = schemaAt(format, pointer, value)?.["x-noun"] ?? "this part of the record";
  const quoted = listed(
    names.map((name) => `"${name}"`),
    "and",
  );
  const schemas = names.map((name) => schemaAt(format, [...pointer, name], value) ?? {});
  const examples = names.map((name, i) => exampleText(name, schemas[i]!)).filter((text) => text !== undefined);
  const example =
    examples.length === 0
      ? ""
      : `; write for example ${listed(
          examples.map((text) => `"${text}"`),
          "and",
        )}`;
  const verb = names.length === 1 ? "is" : "are";
  const what = names.length === 1 && meaning(schemas[0]!) !== "" ? ` (${meaning(schemas[0]!)})` : "";
  return {
    code: "structure/schema",
    pointer,
    part: "key",
    message: `${quoted}${what} ${verb} missing from ${noun}${example}`,
  };
}

function brokenValue(
  format: RecordFormat,
  root: SyntaxNode,
  value: unknown,
  pointer: Pointer,
  error: ValidatorError,
): SchemaProblem {
  const schema = schemaAt(format, pointer, value) ?? {};
  const found = nodeAt(root, pointer)?.value;
  const node = found && resolved(found);
  const suggestion = node?.type === "scalar" && node.value !== null ? likelyValue(node, schema) : undefined;
  const message = brokenMessage({
    name: nameOf(format, pointer, value),
    schema,
    error,
    node,
    value: valueAt(value, pointer),
    suggestion,
    isRequired: isRequired(format, pointer, value),
  });
  return { code: "structure/schema", pointer, part: "value", message, ...(suggestion !== undefined && { suggestion }) };
}

/** `"ph"`; for the items of a list `item 3 of "crew"`, or, where each has a name of its own, `the latitude of "position"`. */
function nameOf(format: RecordFormat, pointer: Pointer, value: unknown): string {
  const last = pointer.at(-1);
  if (typeof last !== "number") return `"${String(last)}"`;
  const key = pointer.findLast((step) => typeof step === "string");
  const isNamed = schemaAt(format, pointer.slice(0, -1), value)?.prefixItems !== undefined;
  const title = isNamed ? schemaAt(format, pointer, value)?.title : undefined;
  const item = title === undefined ? `item ${last + 1}` : `the ${title.toLowerCase()}`;
  return key === undefined ? item : `${item} of "${key}"`;
}

function isRequired(format: RecordFormat, pointer: Pointer, value: unknown): boolean {
  const last = pointer.at(-1);
  if (typeof last !== "string") return true;
  return schemaAt(format, pointer.slice(0, -1), value)?.required?.includes(last) === true;
}

function isChild(pointer: Pointer, parent: Pointer): boolean {
  return pointer.length === parent.length + 1 && parent.every((step, i) => step === pointer[i]);
}
