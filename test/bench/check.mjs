// `spadework check` on a large book beside its floor.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { compare } from "./measure.mjs";
import { writeBook } from "./write-book.mjs";

const at = (path) => fileURLToPath(new URL(path, import.meta.url));

export async function benchCheck({ rounds = 5, fields = 1000 } = {}) {
  const folder = mkdtempSync(join(tmpdir(), "spadework-bench-"));
  try {
    const size = writeBook(folder, { fields, years: 5, files: "year" });
    const results = await compare(
      [
        { name: "floor", args: [at("floor.mjs"), folder] },
        {
          name: "check",
          args: [
            process.env.CLI ?? at("../../dist/cli.js"),
            "check",
            folder,
            "--format",
            "json",
            "--as-of",
            "2026-11-25",
          ],
        },
      ],
      rounds,
    );
    return {
      book: size,
      ...results,
      ratio: Number((results.check.wallMs / results.floor.wallMs).toFixed(2)),
      bound: 2.5,
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
