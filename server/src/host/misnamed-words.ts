import { meantFileName } from "../schema/kinds.ts";

/** What is wrong with files that their names keep out of the book, without a full stop. @param paths at least one */
export function misnamedInWords(paths: readonly string[]): string {
  const [first] = paths;
  const meant = meantFileName(first!.split("/").at(-1)!);
  const more = paths.length - 1;
  const others = more > 0 ? `; so ${more === 1 ? "is 1 more file" : `are ${more} more files`}` : "";
  return `${first} is passed over for its name; rename it to ${meant}${others}`;
}
