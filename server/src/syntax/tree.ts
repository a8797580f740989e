import type { Span } from "../base/text.ts";

/**
 * What a YAML text says, with the place of every part. Spans are offsets into the text that was parsed.
 *
 * A scalar keeps what was written (`source`: the plain text, or the content of the quotes or block after unescaping and
 * folding) beside its value under the YAML 1.2 core schema, so that `007`, `1e3` and `2026-08-04` can stay text.
 */
export type SyntaxNode = ScalarNode | MapNode | ListNode | AliasNode;

export type ScalarStyle = "plain" | "single" | "double" | "literal" | "folded";

export interface ScalarNode {
  readonly type: "scalar";
  /** With quotes, or from the block header to the end of the block; empty, where an empty value would stand. */
  readonly span: Span;
  readonly style: ScalarStyle;
  readonly source: string;
  /** By the YAML 1.2 core schema; NaN and infinities are numbers. An explicit `!!str` makes it a string. */
  readonly value: string | number | boolean | null;
}

export interface MapEntry {
  readonly key: SyntaxNode;
  readonly value: SyntaxNode;
}

export interface MapNode {
  readonly type: "map";
  /** From the first key, or the opening brace, to the end of the last value, or the closing brace. */
  readonly span: Span;
  readonly flow: boolean;
  /** In the order written; a key written twice stands twice here, and is reported as a problem. */
  readonly entries: readonly MapEntry[];
}

export interface ListNode {
  readonly type: "list";
  /** From the first dash, or the opening bracket, to the end of the last item, or the closing bracket. */
  readonly span: Span;
  readonly flow: boolean;
  readonly items: readonly SyntaxNode[];
}

/** `*name`: the node it stands for is shared, and its own span is where the alias is written. */
export interface AliasNode {
  readonly type: "alias";
  readonly span: Span;
  readonly name: string;
  readonly target: ScalarNode | MapNode | ListNode;
}

/** Something that could not be read, in words that need no knowledge of the parser. */
export interface SyntaxProblem {
  readonly span: Span;
  readonly message: string;
}

export interface SyntaxTree {
  /** Undefined when the text holds nothing but comments and white space. */
  readonly root: SyntaxNode | undefined;
  readonly problems: readonly SyntaxProblem[];
}

export type ParsePath = "fast" | "tolerant" | "fast then tolerant";
