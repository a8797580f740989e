import { Environment, type ASTNode, type ParseError, type ParseResult } from "@marcbachmann/cel-js";
import { closest } from "../../base/closest.ts";
import { oneLine } from "../../base/safe-text.ts";
import type { RecordKind } from "../kinds.ts";
import type { RecordFormats } from "../record-format.ts";
import { safePattern } from "../safe-pattern.ts";
import type { Shape } from "../shape.ts";
import { registerCheckFunctions, SAFE_MATCHES } from "./cel-functions.ts";
import { beyondLimits, LONGEST_EXPRESSION, MOST_STEPS, partsOf, READING_LIMITS, stepsOf } from "./cel-limits.ts";
import { typedEnvironment } from "./cel-types.ts";
import type { CelFacts } from "./cel-values.ts";

/** What a check of a region's own is asked of; see `schemas/MEANINGS.md`. */
export interface CheckScope {
  readonly record: CelFacts;
  /** The field's record that the record belongs to; empty where there is none. */
  readonly field: CelFacts;
  readonly book: CelFacts;
  readonly region: CelFacts;
  readonly season: number;
  /** YYYY-MM-DD */
  readonly asOf: string;
}

/** An expression in the Common Expression Language that was read, and found to be in order. */
export interface CheckExpression {
  /** Whether it holds; or, as a text, why that cannot be told. Always comes soon, and never throws. */
  holds(scope: CheckScope): boolean | string;
}

const NAMES = ["record", "field", "book", "region", "season", "as_of"];

let known: Environment | undefined;

/** The names that expressions see, without their types. Most runs meet no expression at all. */
function untyped(): Environment {
  if (known) return known;
  known = registerCheckFunctions(new Environment({ limits: READING_LIMITS }));
  for (const name of NAMES)
    known.registerVariable(name, name === "season" ? "int" : name === "as_of" ? "string" : "dyn");
  return known;
}

/** What an expression comes to, or why that cannot be told in words that follow its name. */
type Answer = { readonly ok: true; readonly value: unknown } | { readonly ok: false; readonly why: string };

/**
 * Reads an expression: how it is written, what it may ask for, and whether its names and types are right for a kind.
 *
 * @returns the expression, or what is wrong with it in words that follow "this expression"
 */
export function readCheckExpression(text: string, on: RecordKind, formats: RecordFormats): CheckExpression | string {
  const read = readExpression(text, on, formats, ["bool"], "a check must come to true or false");
  if (typeof read === "string") return read;
  return {
    holds(scope) {
      const answer = read(scope);
      if (!answer.ok) return answer.why;
      return typeof answer.value === "boolean" ? answer.value : "comes to something that is neither true nor false";
    },
  };
}

/**
 * Reads an expression that stands in a message, for a word or a number.
 *
 * @returns what gives the value, undefined where it cannot be told; or what is wrong with the expression
 */
export function readCheckValue(
  text: string,
  on: RecordKind,
  formats: RecordFormats,
): ((scope: CheckScope) => unknown) | string {
  const read = readExpression(
    text,
    on,
    formats,
    ["string", "int", "double", "bool"],
    "a message shows words and numbers",
  );
  if (typeof read === "string") return read;
  return (scope) => {
    const answer = read(scope);
    return answer.ok ? answer.value : undefined;
  };
}

function readExpression(
  text: string,
  on: RecordKind,
  formats: RecordFormats,
  types: readonly string[],
  wanted: string,
): ((scope: CheckScope) => Answer) | string {
  if (text.length > LONGEST_EXPRESSION)
    return `is ${text.length} characters long; make it ${LONGEST_EXPRESSION} at most, or make two checks of it`;
  let parsed: ParseResult;
  try {
    parsed = untyped().parse(text);
  } catch (error) {
    return `cannot be read${placeIn(text, error)}: ${summary(error)}`;
  }
  const beyond = beyondLimits(parsed.ast) ?? patternTrouble(parsed.ast);
  if (beyond) return `cannot be used at ${shown(text, beyond.node)}: ${beyond.message}`;
  const trouble = typeTrouble(text, on, formats, types, wanted);
  if (trouble !== undefined) return trouble;
  return (scope) => worked(parsed, text, scope);
}

function worked(parsed: ParseResult, text: string, { record, field, book, region, season, asOf }: CheckScope): Answer {
  const longest = Math.max(record.longestList, field.longestList, book.longestList, region.longestList);
  const steps = stepsOf(parsed.ast, longest);
  if (steps > MOST_STEPS)
    return {
      ok: false,
      why: `could take ${steps} steps, more than the ${MOST_STEPS} that a check may take; ask for less`,
    };
  try {
    const value: unknown = parsed({
      record: record.value,
      field: field.value,
      book: book.value,
      region: region.value,
      season: BigInt(season),
      as_of: asOf,
    });
    return { ok: true, value };
  } catch (error) {
    return { ok: false, why: `cannot be worked out${placeIn(text, error)}: ${summary(error)}` };
  }
}

/** Gives every `matches` to the safe patterns; each must be written out, so that it can be looked at beforehand. */
function patternTrouble(root: ASTNode): { readonly message: string; readonly node: ASTNode } | undefined {
  if (root.op === "rcall" && root.args[0] === "matches") {
    const [pattern] = root.args[2];
    const written = pattern?.op === "value" ? pattern.args : undefined;
    if (typeof written !== "string") return { node: root, message: "a pattern must be written out between quotes" };
    const compiled = safePattern(written);
    if (typeof compiled === "string") return { node: root, message: `this pattern ${compiled}` };
    root.args[0] = SAFE_MATCHES;
  }
  for (const part of partsOf(root)) {
    const found = patternTrouble(part);
    if (found) return found;
  }
  return undefined;
}

function typeTrouble(
  text: string,
  on: RecordKind,
  formats: RecordFormats,
  types: readonly string[],
  wanted: string,
): string | undefined {
  const environment = typedEnvironment(on, formats);
  const keys = keysKnown(on, formats);
  const parsed = environment.parse(text);
  patternTrouble(parsed.ast);
  const { valid, type, error } = parsed.check();
  if (!valid) return `cannot be right${placeIn(text, error)}: ${summary(error, keys)}`;
  if (type !== "dyn" && !types.includes(type ?? "")) return `comes to ${typeInWords(type ?? "nothing")}; ${wanted}`;
  return mistypedHas(parsed.ast, text, environment, keys);
}

/** `has(record.permitt)` is never true, and CEL lets it pass: where a key is nearly called so, that was meant. */
function mistypedHas(
  node: ASTNode,
  text: string,
  environment: Environment,
  keys: ReadonlySet<string>,
): string | undefined {
  if (node.op === "call" && node.args[0] === "has" && node.args[1][0]) {
    const { start, end } = node.args[1][0];
    const { error } = environment.check(text.slice(start, end));
    // A name that a macro gives to the items of a list means nothing by itself.
    if (error?.code !== "no_such_key") return undefined;
    const key = text.slice(text.lastIndexOf(".", end) + 1, end);
    const meant = closest(key, keys);
    return meant === undefined || keys.has(key) ? undefined : `cannot be right at "${key}": did you mean "${meant}"?`;
  }
  for (const part of partsOf(node)) {
    const found = mistypedHas(part, text, environment, keys);
    if (found !== undefined) return found;
  }
  return undefined;
}

function summary(error: unknown, keys?: ReadonlySet<string>): string {
  const { code, summary: said, message } = error as Partial<ParseError>;
  const words = oneLine(said ?? message ?? String(error));
  const [, name] = /^(?:No such key|Unknown variable): (\w+)$/.exec(words) ?? [];
  if (code === "no_such_key" && name !== undefined) {
    if (keys === undefined) return `there is no key "${name}" there; where it may be missing, ask has(…) first`;
    const meant = keys.has(name) ? undefined : closest(name, keys);
    return `there is no key "${name}" there${meant === undefined ? "; see the keys of the format and of this pack" : `; did you mean "${meant}"?`}`;
  }
  if (code === "unknown_variable" && name !== undefined) {
    const meant = closest(name, NAMES);
    return `"${name}" is no name here${meant === undefined ? `; there are ${NAMES.join(", ")}` : `; did you mean "${meant}"?`}`;
  }
  if (words.startsWith("Exceeded max")) return "it is too long or has too many brackets; make two checks of it";
  if (words === "Unexpected token: EOF") return "it ends too early";
  const [, pair] = /^no such overload: (.*)$/.exec(words) ?? [];
  if (pair !== undefined)
    return `${pair.replace(/dyn<(\w+)>/g, "$1").replace(/\b\w+\b(?!\()/g, typeInWords)} is nothing that can be compared or reckoned`;
  if (words.includes("cannot be range of a comprehension")) return "it is no list to go through";
  return words.charAt(0).toLowerCase() + words.slice(1);
}

function typeInWords(type: string): string {
  if (type === "int" || type === "double") return "number";
  return type === "string" ? "text" : type === "bool" ? "true or false" : type;
}

/** Every key that stands somewhere in what an expression sees. */
function keysKnown(on: RecordKind, formats: RecordFormats): ReadonlySet<string> {
  const keys = new Set<string>();
  const look = (shape: Shape): void => {
    for (const [key, inner] of shape.keys) {
      keys.add(key);
      look(inner);
    }
    if (shape.items && !shape.items.isFree) look(shape.items);
  };
  for (const kind of [on, "fields", "season", "region"] as const) look(formats[kind].shape);
  return keys;
}

function placeIn(text: string, error: unknown): string {
  const { range } = error as { readonly range?: { readonly start: number; readonly end: number } };
  return range === undefined || range.start >= text.length ? "" : ` at ${shown(text, range)}`;
}

function shown(text: string, { start, end }: { readonly start: number; readonly end: number }): string {
  return `"${oneLine(text.slice(start, Math.max(end, start + 1)), 60)}"`;
}
