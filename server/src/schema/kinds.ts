/** Kinds whose files hold a list of records. */
export type RecordKind = "fields" | "equipment" | "rotations" | "visits" | "cleanings" | "samples";
export type FileKind = RecordKind | "season" | "region" | "weather";
/** Kinds that have a JSON Schema: all but weather, which is a table. */
export type SchemaKind = RecordKind | "season" | "region";

export const RECORD_KINDS: readonly RecordKind[] = [
  "fields",
  "equipment",
  "rotations",
  "visits",
  "cleanings",
  "samples",
];
export const SCHEMA_KINDS: readonly SchemaKind[] = ["season", ...RECORD_KINDS, "region"];

const SUFFIXES: readonly (readonly [string, FileKind])[] = [
  ...RECORD_KINDS.map((kind) => [`.${kind}.yaml`, kind] as const),
  [".region.yaml", "region"],
  [".weather.csv", "weather"],
];

/** What a file holds by its name, or undefined when it is no part of a record book. Paths have forward slashes. */
export function fileKind(path: string): FileKind | undefined {
  if (path === "season.yaml" || path.endsWith("/season.yaml")) return "season";
  for (const [suffix, kind] of SUFFIXES) if (path.endsWith(suffix)) return kind;
  return undefined;
}

/** The name that a file was most likely meant to have, where letters in upper case or `.yml` keep it out of the book. */
export function meantFileName(name: string): string | undefined {
  // What stands before the kind is the keeper's own, and other files may call this one by it.
  const meant = name.replace(/^season\.ya?ml$|\.[a-z]+\.(?:ya?ml|csv)$/i, (ending) =>
    ending.toLowerCase().replace(/\.yml$/, ".yaml"),
  );
  return fileKind(name) === undefined && fileKind(meant) !== undefined ? meant : undefined;
}

export function isRecordKind(kind: string): kind is RecordKind {
  return (RECORD_KINDS as readonly string[]).includes(kind);
}

/** The key that names a record of a kind. A rotation has no name but its field. */
export function recordIdKey(kind: RecordKind): "id" | "field" {
  return kind === "rotations" ? "field" : "id";
}
