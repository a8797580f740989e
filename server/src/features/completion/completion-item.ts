import type { Span } from "../../base/text.ts";
import { writeScalar } from "../../syntax/write-scalar.ts";
import type { TypingPlace } from "./typing-place.ts";

/** One thing that could be written at the cursor. */
export interface CompletionItem {
  readonly label: string;
  /** A few words beside the label. Plain text. */
  readonly detail: string;
  /** What it means. Plain text. */
  readonly documentation: string;
  readonly kind: "key" | "word" | "id" | "time" | "figure" | "record";
  /** Indented as it is to stand in the file, with the file's line ending: nothing is to be added to its lines. */
  readonly insertText: string;
  /** `insertText` holds tab stops, as in the Language Server Protocol. */
  readonly isSnippet: boolean;
  /** What it replaces, in the file's text; on the cursor's line, the cursor inside or at its end. */
  readonly replace: Span;
  readonly sortText: string;
  /** What has been typed so far is compared with this. */
  readonly filterText: string;
  /** More completions are to be offered at once where the cursor stands afterwards. */
  readonly asksAgain: boolean;
}

/** Today and now by the keeper's clock: `YYYY-MM-DD`, and `YYYY-MM-DDTHH:MM` in the book's local time. */
export interface Clock {
  readonly today: string;
  readonly now: string;
}

/** A value that could be written, likeliest first in a list of them. */
export interface Proposal {
  readonly text: string;
  /** A number or a truth value: never in quotes. */
  readonly isPlain?: boolean;
  readonly label?: string;
  readonly detail?: string;
  readonly documentation?: string;
  readonly kind: CompletionItem["kind"];
}

/** Text for a snippet in which nothing is a tab stop. */
export function snippetText(text: string): string {
  return text.replace(/[\\$}]/g, "\\$&");
}

export function tabStop(number: number, text = ""): string {
  return text === "" ? `$${number}` : `\${${number}:${snippetText(text)}}`;
}

/** Values as completions of a place: quoted as the place is, or as they must be; `wrap` where a list has none yet. */
export function valueItems(
  place: TypingPlace,
  proposals: readonly Proposal[],
  wrap: "list" | "none" = "none",
): CompletionItem[] {
  const isInFlow = place.isFlow || wrap === "list";
  return proposals.map((proposal, index) => {
    const { text, kind, detail = "", documentation = "", isPlain = false } = proposal;
    const written = isPlain ? text : place.quote === "" ? writtenText(text, isInFlow) : insideQuotes(text, place.quote);
    const space = place.needsSpace ? " " : "";
    const dash = place.what === "dash" ? `${" ".repeat(indentOf(place))}- ` : "";
    return {
      label: proposal.label ?? text,
      detail,
      documentation,
      kind,
      insertText: space + dash + (wrap === "list" ? `[${written}]` : written),
      isSnippet: false,
      replace: place.replace,
      sortText: sortTextOf("v", index),
      filterText: wrap === "list" ? text : written,
      asksAgain: false,
    };
  });
}

/** The blanks to write where the replaced stretch reaches back to the start of the line. */
export function indentOf(place: TypingPlace): number {
  return place.replace.start < place.typed.start ? place.column : 0;
}

export function sortTextOf(group: string, index: number): string {
  return `${group}${String(index).padStart(5, "0")}`;
}

const DATE_OR_TIME = /^\d{4}-\d\d-\d\d(T\d\d:\d\d)?$/;

function writtenText(text: string, isInFlow: boolean): string {
  // The keys of the format take a number for the text it is written as; a word like `no` or `null` keeps its quotes.
  return DATE_OR_TIME.test(text) ? text : writeScalar(text, "plain", isInFlow ? "flow" : "block");
}

function insideQuotes(text: string, quote: '"' | "'"): string {
  return writeScalar(text, quote === '"' ? "double" : "single").slice(1, -1);
}
