import { strict as assert } from "node:assert";
import fc from "fast-check";
import { decodeRecord, decodeRegion, decodeSeason } from "../../server/src/schema/decode.ts";
import type { JsonSchema } from "../../server/src/schema/json-schema.ts";
import { isRecordKind, SCHEMA_KINDS, type SchemaKind } from "../../server/src/schema/kinds.ts";
import { shippedRegions } from "../../server/generated/regions.ts";
import { parseText } from "../../server/src/syntax/parse.ts";
import { toPlain } from "../../server/src/syntax/tree-queries.ts";
import { schemaFile, validatorOfRecord } from "./outside.ts";

describe("a record of which parts are broken", () => {
  for (const kind of SCHEMA_KINDS) {
    const strict = validatorOfRecord(kind);
    const lenient = validatorOfRecord(kind, withoutRequired);

    it(`${kind}: what is left is right but for keys that are missing`, () => {
      let broken = 0;
      fc.assert(
        fc.property(damaged(kind), (record) => {
          const { value, problems } = decode(kind, JSON.stringify(record));
          const plain: unknown = JSON.parse(JSON.stringify(value));
          assert.ok(lenient(plain), `${JSON.stringify(plain)}: ${JSON.stringify(lenient.errors)}`);
          // Nothing wrong is passed over, and nothing right is found fault with.
          if (problems.length === 0)
            assert.ok(strict(plain), `${JSON.stringify(plain)}: ${JSON.stringify(strict.errors)}`);
          else broken++;
          if (strict(record)) assert.deepEqual(problems, []);
          // One problem a place, and each place is there in the record (a key that is missing: the part it is missing from).
          const places = problems.map(({ pointer, part }) => JSON.stringify([pointer, part]));
          assert.equal(new Set(places).size, places.length, places.join("\n"));
          for (const { pointer } of problems) assert.ok(exists(record, pointer), JSON.stringify(pointer));
        }),
        { numRuns: 400 },
      );
      assert.ok(broken > 100, `only ${broken} records were broken: the property looked at too little`);
    });

    it(`${kind}: lists keep their length where they are kept`, () => {
      fc.assert(
        fc.property(damaged(kind), (record) => {
          sameLengths(record, decode(kind, JSON.stringify(record)).value);
        }),
        { numRuns: 200 },
      );
    });
  }
});

function decode(
  kind: SchemaKind,
  text: string,
): { value: unknown; problems: readonly { pointer: readonly (string | number)[]; part: string }[] } {
  const root = parseText(text).root;
  assert.ok(root);
  return kind === "season" ? decodeSeason(root) : kind === "region" ? decodeRegion(root) : decodeRecord(kind, root);
}

/** A full record of a kind, with a few of its parts replaced, taken out or added to. */
function damaged(kind: SchemaKind): fc.Arbitrary<Record<string, unknown>> {
  const full = fullRecord(kind);
  const junk = fc.oneof(
    fc.constantFrom<unknown>(
      null,
      "",
      "x",
      -1,
      1e9,
      0.5,
      true,
      [],
      {},
      [[]],
      [null],
      [{}],
      "2026-02-30",
      "2026-08-14T09:40",
      "a/b",
      { id: 1 },
      ["a", 2],
    ),
    fc.jsonValue({ maxDepth: 2 }).filter((value) => !JSON.stringify(value).includes("__proto__")),
  );
  const change = fc.record({
    at: fc.nat(),
    how: fc.constantFrom("replace", "remove", "add"),
    value: junk,
    key: fc.constantFrom("zzz", "constructor", "x-mine", "toString"),
  });
  return fc.array(change, { minLength: 1, maxLength: 4 }).map((changes) => {
    const record = structuredClone(full);
    for (const { at, how, value, key } of changes) {
      const holders = holdersOf(record);
      const { holder, step } = holders[at % holders.length]!;
      if (how === "replace") (holder as Record<string | number, unknown>)[step] = structuredClone(value);
      else if (how === "add" && !Array.isArray(holder))
        (holder as Record<string, unknown>)[key] = structuredClone(value);
      else if (Array.isArray(holder)) holder.splice(Number(step), 1);
      else Reflect.deleteProperty(holder, step);
      if (holdersOf(record).length === 0) return structuredClone(full);
    }
    return record;
  });
}

function holdersOf(value: unknown): { holder: object; step: string | number }[] {
  if (value === null || typeof value !== "object") return [];
  const steps = Array.isArray(value) ? value.map((_, i) => i) : Object.keys(value);
  return steps.flatMap((step) => [
    { holder: value, step },
    ...holdersOf((value as Record<string | number, unknown>)[step]),
  ]);
}

/** A record made of the examples that its schema gives. */
function fullRecord(kind: SchemaKind): Record<string, unknown> {
  if (kind === "region") {
    return JSON.parse(JSON.stringify(toPlain(parseText(shippedRegions.get("base")!).root!))) as Record<string, unknown>;
  }
  const file = schemaFile(kind);
  const items = isRecordKind(kind) ? file.properties?.[kind]?.items : undefined;
  const record = items ? file.$defs![items.$ref!.slice("#/$defs/".length)]! : file;
  return Object.fromEntries(Object.entries(record.properties!).map(([key, property]) => [key, property.examples![0]]));
}

/** The schema for what is left: no key is required (a boundary stays whole), and "" stands for a broken text in a list. */
function withoutRequired(schema: unknown): unknown {
  if (Array.isArray(schema)) return schema.map(withoutRequired);
  if (schema === null || typeof schema !== "object") return schema;
  const { required, ...rest } = schema as JsonSchema & Record<string, unknown>;
  const isWhole = rest["x-whole"] === true || rest.const !== undefined;
  const copy: Record<string, unknown> = {};
  for (const [key, value] of Object.entries(rest)) {
    copy[key] = key === "if" || key === "examples" || key === "enum" ? value : withoutRequired(value);
  }
  const items = copy["items"] as JsonSchema | undefined;
  if (items?.type === "string") copy["items"] = { anyOf: [{ const: "" }, items] };
  if (required !== undefined && (isWhole || !Array.isArray(required))) copy["required"] = required;
  return copy;
}

function exists(value: unknown, pointer: readonly (string | number)[]): boolean {
  let at = value;
  for (const step of pointer) {
    if (at === null || typeof at !== "object" || !Object.hasOwn(at, step)) return false;
    at = (at as Record<string | number, unknown>)[step];
  }
  return true;
}

function sameLengths(written: unknown, read: unknown): void {
  if (Array.isArray(read)) {
    assert.ok(Array.isArray(written));
    assert.equal(read.length, written.length);
  }
  if (read === null || typeof read !== "object" || written === null || typeof written !== "object") return;
  for (const key of Object.keys(read)) {
    sameLengths((written as Record<string, unknown>)[key], (read as Record<string, unknown>)[key]);
  }
}
