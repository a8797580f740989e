import { closest } from "../base/closest.ts";
import { listed } from "../base/words.ts";
import type { ParsedArguments } from "./arguments.ts";
import { CommandFailure } from "./failure.ts";
import type { LoadedBook } from "./load-books.ts";

/** The ids of `--crew mo,jl`; undefined where it is not given. */
export function crewAsked(args: ParsedArguments): string[] | undefined {
  const text = args.text("crew");
  if (text === undefined) return undefined;
  const ids = text.split(",").map((id) => id.trim());
  const found = [...new Set(ids.filter((id) => id !== ""))];
  if (found.length === 0) throw new CommandFailure("--crew takes the ids of those who walk, such as mo,jl");
  return found;
}

/** The books whose crew has everyone that was named. */
export function booksOfCrew(books: readonly LoadedBook[], crew: readonly string[] | undefined): readonly LoadedBook[] {
  if (!crew) return books;
  const idsOf = ({ opened: { book } }: LoadedBook): string[] => (book.season.crew ?? []).flatMap(({ id }) => id ?? []);
  const knowing = books.filter((book) => crew.every((id) => idsOf(book).includes(id)));
  if (knowing.length > 0) return knowing;
  const known = books.flatMap(idsOf);
  const wrong = crew.find((id) => !known.includes(id)) ?? crew[0]!;
  const meant = closest(wrong, known);
  const all = known.length > 0 ? `; season.yaml names ${listed(known)}` : "; season.yaml names no crew";
  throw new CommandFailure(`there is nobody "${wrong}" in the crew${meant ? `; did you mean "${meant}"?` : all}`);
}
