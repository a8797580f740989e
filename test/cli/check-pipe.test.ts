import { strict as assert } from "node:assert";
import { spawn } from "node:child_process";
import { once } from "node:events";
import { setTimeout as pause } from "node:timers/promises";
import { fileURLToPath } from "node:url";
import { inFolder, SMALL_BOOK } from "../support/command-line.ts";
import { readAnnotations, readSarif } from "../support/report-readers.ts";
import { XMLParser, XMLValidator } from "fast-xml-parser";

const PROGRAM = fileURLToPath(new URL("../../dist/cli.js", import.meta.url));
const VISITS = 15_000;

/** Two findings a visit: ground that was wet, and boots without covers. */
function troubledVisits(): string {
  const visits = Array.from({ length: VISITS }, (_, i) => {
    const day = String((i % 28) + 1).padStart(2, "0");
    return `  - { id: v${i}, field: long-meadow, arrived: 2026-06-${day}T09:00, purpose: other, crew: [mo], footwear: unprotected, ground: wet }\n`;
  });
  return `visits:\n${visits.join("")}`;
}

/** Runs the built program, and reads what it prints so slowly at first that the pipe fills up and stays full. */
async function slowly(folder: string, format: string): Promise<{ code: number | null; out: string }> {
  const rules = ["check", "--format", format, "--fail-on", "warning"];
  const child = spawn(process.execPath, [PROGRAM, ...rules], { cwd: folder, stdio: ["ignore", "pipe", "inherit"] });
  const closed = once(child, "close");
  const chunks: Buffer[] = [];
  for await (const chunk of child.stdout) {
    chunks.push(chunk as Buffer);
    if (chunks.length <= 10) await pause(30);
  }
  const [code] = (await closed) as [number | null];
  return { code, out: Buffer.concat(chunks).toString("utf8") };
}

describe("the built program, into a slow pipe", () => {
  const COUNTERS: Readonly<Record<string, (out: string) => number>> = {
    text: (out) => out.split("\n").filter((line) => line.startsWith("all.visits.yaml:")).length,
    json: (out) => (JSON.parse(out) as { findings: unknown[] }).findings.length,
    sarif: (out) => readSarif(out).results.length,
    junit: (out) => {
      assert.equal(XMLValidator.validate(out), true);
      const reader = new XMLParser({ ignoreAttributes: false, attributeNamePrefix: "" });
      return Number((reader.parse(out) as { testsuites: { failures: string } }).testsuites.failures);
    },
    github: (out) => readAnnotations(out).annotations.length,
  };
  const book = { ...SMALL_BOOK, "all.visits.yaml": troubledVisits() };

  for (const [format, count] of Object.entries(COUNTERS)) {
    it(`prints 30,000 findings and more as ${format}, to the last`, () =>
      inFolder(book, async (folder) => {
        const { code, out } = await slowly(folder, format);
        assert.equal(code, 1);
        const found = count(out);
        assert.ok(found >= 2 * VISITS, `${found} findings`);
        assert.ok(out.endsWith("\n"));
      }));
  }
});
