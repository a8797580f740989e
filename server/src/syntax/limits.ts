/**
 * How much of a hostile text is read. A record file written by people comes nowhere near any of these; beyond each,
 * the text gets a problem in words and the reading stays cheap.
 */

/** Characters of a text that is read at all. */
export const MAX_TEXT_LENGTH = 20_000_000;

/** Characters of a text that the tolerant way reads: it takes up to 5 s and 600 MB for a million. A record is far below. */
export const MAX_TOLERANT_LENGTH = 1_000_000;

/** Levels of maps and lists inside one another, those that an alias brings in included. */
export const MAX_NESTING = 64;

/** Uses of `*name` in one text. */
export const MAX_ALIAS_USES = 100;

/** Scalars, maps and lists that the aliases of one text stand for, counted once for every use. */
export const MAX_ALIASED_NODES = 10_000;

/** Problems reported for one text. */
export const MAX_PROBLEMS = 100;
