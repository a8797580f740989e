import { strict as assert } from "node:assert";
import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import type { ErrorObject } from "ajv";
import { decodeRecord, decodeSeason } from "../../server/src/schema/decode.ts";
import { fileKind, isRecordKind } from "../../server/src/schema/kinds.ts";
import { parseText } from "../../server/src/syntax/parse.ts";
import { entryOf, resolved, toPlain } from "../../server/src/syntax/tree-queries.ts";
import { validatorOfFile } from "./outside.ts";

const folder = fileURLToPath(new URL("../../sample-workspace/", import.meta.url));

describe("the sample season, through a general-purpose validator", () => {
  const files = (readdirSync(folder, { recursive: true }) as string[]).map((path) => path.replaceAll("\\", "/")).sort();

  it("has files of every kind", () => {
    const kinds = new Set(files.map(fileKind).filter((kind) => kind !== undefined && kind !== "region"));
    assert.equal(kinds.size, 8);
  });

  for (const path of files) {
    const kind = fileKind(path);
    if (kind === undefined || kind === "weather") continue;
    it(`${path}: the same records are right, and the same are wrong`, () => {
      const { root } = parseText(readFileSync(folder + path, "utf8"));
      assert.ok(root);
      const validate = validatorOfFile(kind);
      validate(JSON.parse(JSON.stringify(toPlain(root))));
      const outside = new Set((validate.errors ?? []).map((error) => placeOf(error, kind)));
      const ours = new Set<string>();
      if (isRecordKind(kind)) {
        const list = resolved(entryOf(root, kind)!.value);
        assert.ok(list.type === "list");
        list.items.forEach((item, i) => {
          for (const { pointer } of decodeRecord(kind, item).problems) ours.add([i, ...pointer].join("/"));
        });
      } else for (const { pointer } of decodeSeason(root).problems) ours.add(pointer.join("/"));
      assert.deepEqual([...ours].sort(), [...outside].sort());
    });
  }
});

/** Where an error of the outside validator stands, from the list of records. */
function placeOf({ instancePath, params }: ErrorObject, kind: string): string {
  const unknown = (params as Record<string, unknown>)["additionalProperty"];
  const steps = instancePath.split("/").slice(1);
  if (steps[0] === kind && isRecordKind(kind)) steps.shift();
  return [...steps, ...(typeof unknown === "string" ? [unknown] : [])].join("/");
}
