/** A half-open stretch of a text, in UTF-16 code units from its start. */
export interface Span {
  readonly start: number;
  readonly end: number;
}

/** A place in a text as the Language Server Protocol counts it: both zero-based, characters in UTF-16 code units. */
export interface Position {
  readonly line: number;
  readonly character: number;
}

export interface Range {
  readonly start: Position;
  readonly end: Position;
}

/** One replacement in a text. Edits of one list never overlap. */
export interface TextEdit {
  readonly span: Span;
  readonly newText: string;
}

/** Applies edits to a text; edits at the same place keep the order in which they are given. */
export function applyEdits(text: string, edits: readonly TextEdit[]): string {
  const ordered = edits.map((edit, index) => ({ edit, index }));
  ordered.sort((a, b) => a.edit.span.start - b.edit.span.start || a.index - b.index);
  let result = "";
  let at = 0;
  for (const { edit } of ordered) {
    if (edit.span.start < at) throw new RangeError(`edits overlap at ${edit.span.start}`);
    result += text.slice(at, edit.span.start) + edit.newText;
    at = edit.span.end;
  }
  return result + text.slice(at);
}
