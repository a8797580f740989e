import type { ASTNode } from "@marcbachmann/cel-js";
import { closest } from "../../base/closest.ts";

/**
 * How much an expression of a region pack may ask for. A pack may come from a stranger: whatever it says, a check of one
 * record ends soon. CEL itself always ends, but lists within lists can make the end come late.
 */
export const LONGEST_EXPRESSION = 1000;
/** What the reader of expressions bounds while it reads. */
export const READING_LIMITS = {
  maxAstNodes: 200,
  maxDepth: 24,
  maxListElements: 50,
  maxMapEntries: 20,
  maxCallArguments: 6,
};
const MOST_MACROS = 6;
const DEEPEST_MACROS = 2;
/** Sums of texts make longer texts: for each item of a list fewer may be asked for. */
const MOST_SUMS = 20;
const MOST_SUMS_OF_AN_ITEM = 4;
/** Steps of one check of one record. */
export const MOST_STEPS = 50_000;

const FUNCTIONS: ReadonlySet<string> = new Set(
  "has size int double string bool dyn timestamp duration day year".split(" "),
);
const METHODS: ReadonlySet<string> = new Set(
  (
    "size contains startsWith endsWith matches lowerAscii upperAscii trim indexOf lastIndexOf substring join " +
    "exists all exists_one filter map getFullYear getMonth getDate getDayOfWeek"
  ).split(" "),
);
const MACROS: ReadonlySet<string> = new Set(["exists", "all", "exists_one", "filter", "map"]);

/** What to say of a part of an expression that goes beyond the limits. */
export interface BeyondLimits {
  readonly message: string;
  readonly node: ASTNode;
}

/** The parts of a node that are worked out with it; for a macro, the list and what is asked of each of its items. */
export function partsOf(node: ASTNode): readonly ASTNode[] {
  switch (node.op) {
    case "value":
    case "id":
      return [];
    case ".":
    case ".?":
      return [node.args[0]];
    case "call":
      return node.args[1];
    case "rcall":
      return [node.args[1], ...node.args[2]];
    case "list":
      return node.args;
    case "map":
      return node.args.flat();
    case "!_":
    case "-_":
      return [node.args];
    default:
      return node.args;
  }
}

export function beyondLimits(root: ASTNode): BeyondLimits | undefined {
  let macros = 0;
  let sums = 0;
  let sumsOfItems = 0;
  const look = (node: ASTNode, depth: number): BeyondLimits | undefined => {
    if (node.op === "call" && !FUNCTIONS.has(node.args[0]))
      return { node, message: noFunction(node.args[0], FUNCTIONS) };
    if (node.op === "rcall" && !METHODS.has(node.args[0])) return { node, message: noFunction(node.args[0], METHODS) };
    if (node.op === "+" && ++sums > MOST_SUMS)
      return { node, message: `it adds more than ${MOST_SUMS} times; make two checks of it` };
    if (node.op === "+" && depth > 0 && ++sumsOfItems > MOST_SUMS_OF_AN_ITEM)
      return {
        node,
        message: `it adds more than ${MOST_SUMS_OF_AN_ITEM} times for each item of a list; make two checks of it`,
      };
    let inner = depth;
    if (isMacro(node)) {
      inner++;
      if (++macros > MOST_MACROS)
        return { node, message: `it goes through lists more than ${MOST_MACROS} times; make two checks of it` };
      if (inner > DEEPEST_MACROS)
        return { node, message: `it goes through lists more than ${DEEPEST_MACROS} deep; ask for less` };
    }
    for (const part of partsOf(node)) {
      const found = look(part, inner);
      if (found) return found;
    }
    return undefined;
  };
  return look(root, 0);
}

function noFunction(name: string, known: ReadonlySet<string>): string {
  const meant = closest(name, known);
  return `"${name}" is no function that a check can use; ${meant === undefined ? `there are ${[...known].join(", ")}` : `did you mean "${meant}"?`}`;
}

function isMacro(node: ASTNode): boolean {
  return node.op === "rcall" && MACROS.has(node.args[0]);
}

/** At most how many steps an expression takes where the longest list has so many items. */
export function stepsOf(node: ASTNode, longestList: number): number {
  if (!isMacro(node)) return partsOf(node).reduce((sum, part) => sum + stepsOf(part, longestList), 1);
  const [list, ...body] = partsOf(node);
  return stepsOf(list!, longestList) + longestList * body.reduce((sum, part) => sum + stepsOf(part, longestList), 1);
}
