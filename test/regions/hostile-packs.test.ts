// Whatever a pack says, reading it ends, throws nothing, and leaves what every object has as it was.
import { strict as assert } from "node:assert";
import fc from "fast-check";
import { mergeAdded } from "../../server/src/schema/added-keys.ts";
import { readCheckExpression } from "../../server/src/schema/cel/check-expression.ts";
import { celFacts } from "../../server/src/schema/cel/cel-values.ts";
import { decodeRecord } from "../../server/src/schema/decode.ts";
import { ADDED_KEY_WORDS, readAddedKeys } from "../../server/src/schema/read-added-keys.ts";
import { formatsWith, SHIPPED_FORMATS } from "../../server/src/schema/record-format.ts";
import { safePattern } from "../../server/src/schema/safe-pattern.ts";
import { resolveRegion } from "../../server/src/schema/region.ts";
import { parseText } from "../../server/src/syntax/parse.ts";

const key = fc.oneof(
  fc.constantFrom(
    ...Object.keys(ADDED_KEY_WORDS),
    ..."additionalProperties __proto__ constructor prototype toString hasOwnProperty $ref $defs oneOf purpose digs ratings id permit".split(
      " ",
    ),
  ),
  fc.string({ maxLength: 6 }),
);
const value: fc.Arbitrary<unknown> = fc.letrec<{ any: unknown }>((tie) => ({
  any: fc.oneof(
    { depthSize: "small" },
    fc.constantFrom("string", "object", "array", "integer", "^(a+)+$", "permit", "[", 0, -1, Infinity, null, true),
    fc.string({ maxLength: 8 }),
    fc.double(),
    fc.array(tie("any"), { maxLength: 4 }),
    fc.array(fc.tuple(key, tie("any")), { maxLength: 5 }).map((entries) => {
      const group = Object.create(null) as Record<string, unknown>;
      for (const [name, inner] of entries) group[name] = inner;
      return group;
    }),
  ),
})).any;

const RECORD = parseText(
  "id: v1\nfield: a\narrived: 2026-08-14T09:40\npurpose: other\npermit: 5\ndigs: [{ id: d1, plants: 3, ratings: [3, 0, 0, 0] }]\nconstructor: 1\n__proto__: { id: x }\n",
).root!;
const before = Object.getOwnPropertyNames(Object.prototype).sort();

afterEach(() => assert.deepEqual(Object.getOwnPropertyNames(Object.prototype).sort(), before));

describe("hostile packs", () => {
  it("add what they may and nothing else, whatever stands for added keys", () => {
    fc.assert(
      fc.property(value, (raw) => {
        const { schema } = SHIPPED_FORMATS.visits;
        const { added, problems } = readAddedKeys("visits", schema, raw, ["records", "visits"]);
        for (const { message } of problems) assert.ok(message.length > 10 && !/[\n\r]/.test(message), message);
        JSON.stringify(mergeAdded(schema, added, "visits"));
        const format = formatsWith({ visits: [added] }).visits;
        const { value: facts } = decodeRecord("visits", RECORD, format);
        assert.equal(Object.getPrototypeOf(facts), Object.prototype);
        assert.equal(facts?.id, "v1");
        celFacts(facts, format);
      }),
      { numRuns: 2000 },
    );
  });

  const word = fc.constantFrom(
    ..."record field book region season as_of . ( ) [ ] { } , : ? && || ! == != < > + - * / % in has size exists all map filter matches digs plants purpose ratings id 'a' \"b\" 1 2.5 1e400 0x7fffffffffffffff 99999999999999999999 -9223372036854775808 d true false null day year cel.bind google __proto__ constructor timestamp duration int double string bytes .json() r'(a+)+$' b'x' // \\u".split(
      " ",
    ),
  );

  it("have expressions that come to an answer or a reason, whatever they are made of", () => {
    const facts = decodeRecord("visits", RECORD).value!;
    const scope = {
      record: celFacts(facts, SHIPPED_FORMATS.visits),
      field: celFacts({ id: "a" }, SHIPPED_FORMATS.fields),
      book: celFacts({ season: 2026 }, SHIPPED_FORMATS.season),
      region: celFacts(resolveRegion("base", () => undefined).pack, SHIPPED_FORMATS.region),
      season: 2026,
      asOf: "2026-08-20",
    };
    let answered = 0;
    const ask = (text: string): void => {
      const read = readCheckExpression(text, "visits", SHIPPED_FORMATS);
      if (typeof read === "string") return assert.ok(!/[\n\r]/.test(read), read);
      const answer = read.holds(scope);
      assert.ok(typeof answer === "boolean" || (answer.length > 10 && !/[\n\r]/.test(answer)), String(answer));
      answered++;
    };
    fc.assert(
      fc.property(fc.array(word, { maxLength: 14 }), (words) => ask(words.join(""))),
      { numRuns: 5000 },
    );
    fc.assert(
      fc.property(fc.array(word, { maxLength: 14 }), (words) => ask(words.join(" "))),
      { numRuns: 5000 },
    );
    fc.assert(fc.property(fc.string({ unit: "binary", maxLength: 40 }), ask), { numRuns: 2000 });
    const term = fc.constantFrom(
      "record.digs.exists(d, d.plants > 1)",
      "has(record.permit)",
      "record.permit == 'x'",
      "record.purpose.matches('^o')",
      "day(as_of) > day(record.arrived)",
      "day(record.purpose) > 1",
      "1 / (season - season) > 1",
      "record.digs[5].plants > 1",
      "9223372036854775807 + season > 1",
      "region.rotation.break_years > 1",
      "record.digs.map(d, d.plants).all(p, p > 0)",
    );
    const joined = fc.array(fc.tuple(term, fc.constantFrom("&&", "||")), { minLength: 1, maxLength: 5 });
    fc.assert(
      fc.property(joined, (terms) => ask(terms.map(([one, sign], i) => (i === 0 ? one : `${sign} ${one}`)).join(" "))),
      { numRuns: 2000 },
    );
    assert.ok(answered > 1000, String(answered));
  });

  it("have patterns that are looked for or refused", () => {
    const part = fc.constantFrom(
      ..."a . * + ? ( ) [ ] { } | ^ $ \\ \\d \\1 (?= (?: (?<n> {900} {1,} é \\p{L} -".split(" "),
    );
    fc.assert(
      fc.property(fc.array(part, { maxLength: 12 }), fc.string({ maxLength: 30 }), (parts, text) => {
        const pattern = safePattern(parts.join(""));
        if (typeof pattern === "string") assert.match(pattern, /^(is|repeats|looks|cannot)/);
        else assert.equal(typeof pattern.found(text), "boolean");
      }),
      { numRuns: 3000 },
    );
  });

  it("are merged, whatever they are", () => {
    const text = fc.array(
      fc.constantFrom(
        "region: a",
        "extends: b.region.yaml",
        "extends: a.region.yaml",
        "extends: ../../x.region.yaml",
        "extends: [base]",
        "__proto__: { x: 1 }",
        "constructor: { prototype: { x: 1 } }",
        "records: { visits: { __proto__: {} } }",
        "records: { __proto__: { properties: {} } }",
        "checks: [{ code: a/b, on: __proto__, when: 'true', message: m }]",
        "checks: { a: b }",
        "unknown: { __proto__: x, constructor.name: y }",
        "sources: { __proto__.x: y }",
        "examples: [[]]",
        "rules: { __proto__: error }",
        "hosts: { a: b }",
        "- a",
        "&a [*a, *a]",
        "rotation: &r { break_years: *r }",
      ),
      { maxLength: 6 },
    );
    fc.assert(
      fc.property(text, text, (a, b) => {
        const files = new Map([
          ["a.region.yaml", a.join("\n")],
          ["b.region.yaml", b.join("\n")],
        ]);
        const { problems } = resolveRegion("a.region.yaml", (path) => files.get(path));
        for (const { message } of problems) assert.ok(!/[\n\r]/.test(message));
      }),
      { numRuns: 1500 },
    );
  });
});
