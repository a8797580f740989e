import { strict as assert } from "node:assert";
import { readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { codeLenses } from "../../server/src/features/code-lenses.ts";
import { contextOf } from "../../server/src/features/context.ts";
import { hover } from "../../server/src/features/hover.ts";
import { inlayHints } from "../../server/src/features/inlay-hints.ts";
import { openBook } from "../../server/src/book/open-book.ts";
import { parseDay } from "../../server/src/base/days.ts";
import type { JsonSchema } from "../../server/src/schema/json-schema.ts";
import { RECORD_KINDS, type RecordKind } from "../../server/src/schema/kinds.ts";
import { SHIPPED_FORMATS } from "../../server/src/schema/record-format.ts";
import { resolvedSchema } from "../../server/src/schema/shape.ts";
import { inFolder, spadework } from "../support/command-line.ts";

const SAMPLE = fileURLToPath(new URL("../../sample-workspace", import.meta.url));
const WORD = "something else";

/** A pack that adds a word to every list of words of a kind, and the keys that take it. */
function widened(kind: RecordKind): { added: unknown; keys: string[] } {
  const keys: string[] = [];
  const widen = (written: JsonSchema, key: string): object | undefined => {
    const schema = resolvedSchema(written, kind);
    if (schema.enum) {
      keys.push(key);
      return { enum: [WORD] };
    }
    const items = schema.items ? widen(schema.items, key) : undefined;
    const inner = Object.entries(schema.properties ?? {}).flatMap(([name, property]) => {
      const added = widen(property, name);
      return added ? [[name, added] as const] : [];
    });
    if (items) return { items };
    return inner.length > 0 ? { properties: Object.fromEntries(inner) } : undefined;
  };
  return { added: widen(SHIPPED_FORMATS[kind].schema, kind), keys };
}

describe("words that a region adds to every key that takes words", () => {
  const files: Record<string, string> = {};
  const records: Record<string, unknown> = {};
  const keys = new Set<string>();
  for (const kind of RECORD_KINDS) {
    const { added, keys: ofKind } = widened(kind);
    if (added !== undefined) records[kind] = added;
    for (const key of ofKind) keys.add(key);
  }
  for (const path of readdirSync(SAMPLE, { recursive: true }) as string[]) {
    if (!statSync(join(SAMPLE, path)).isFile() || !/\.(yaml|csv)$/.test(path)) continue;
    const text = readFileSync(join(SAMPLE, path), "utf8");
    const isRecords = RECORD_KINDS.some((kind) => path.endsWith(`.${kind}.yaml`));
    files[path.replaceAll("\\", "/")] = isRecords
      ? text.replace(/\b([a-z_]+): ([a-z][a-z ]*[a-z]|[A-Z]+)(?=[,\s}]|$)/gm, (whole, key: string) =>
          keys.has(key) ? `${key}: ${WORD}` : whole,
        )
      : text.replace(/^region:.*$/m, "region: wide.region.yaml");
  }
  files["wide.region.yaml"] = JSON.stringify({ region: "wide", extends: "ca-prairies", records });

  it("are in use all over the book", () => {
    assert.ok(keys.size > 10, [...keys].join());
    const text = Object.values(files).join("\n");
    assert.ok(text.split(`: ${WORD}`).length > 50, String(text.split(`: ${WORD}`).length));
  });

  it("are no mistakes, and no command or feature stumbles over them", () =>
    inFolder(files, async (folder) => {
      for (const args of [["check", "--format", "json"], ["risk"], ["trace"], ["risk", "--format", "json"]]) {
        const { out, error, code } = await spadework([args[0]!, folder, ...args.slice(1)]);
        assert.notEqual(code, 2, error);
        if (args[0] === "check") assert.doesNotMatch(out, /something else\\"|"structure\/schema"/);
      }
      const day = parseDay("2026-11-25")!;
      const sources = Object.entries(files).map(([path, text]) => ({ path, text }));
      const opened = openBook(sources, { asOf: day, today: day, allSeasons: false });
      for (const { path, text } of opened.book.files) {
        const context = contextOf(opened, path)!;
        codeLenses(context);
        inlayHints(context, { start: 0, end: text.length });
        for (const { index } of text.matchAll(/something else/g)) hover(context, index + 1);
      }
    }));
});
