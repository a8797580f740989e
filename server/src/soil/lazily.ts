/** A list that is made when it is first looked at. */
export function lazily<T>(make: () => readonly T[]): () => readonly T[] {
  let made: readonly T[] | undefined;
  return () => (made ??= make());
}
