import { strict as assert } from "node:assert";
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("../..", import.meta.url));
const isWindows = process.platform === "win32";

function npm(args: readonly string[], cwd: string): string {
  return execFileSync("npm", args, { cwd, encoding: "utf8", shell: isWindows, stdio: ["ignore", "pipe", "pipe"] });
}

describe("the packed command line", () => {
  it("installs from its tarball without anything else, and checks a season", () => {
    const folder = mkdtempSync(join(tmpdir(), "spadework-packed-"));
    try {
      // The build that npm test has made is packed as it is.
      const [packed] = JSON.parse(npm(["pack", "--json", "--ignore-scripts", "--pack-destination", folder], root)) as {
        filename: string;
        files: { path: string }[];
      }[];
      assert.ok(
        packed!.files.every(({ path }) => !/^(server|test|client|sample-workspace)\//.test(path)),
        "only what runs is packed",
      );
      npm(["init", "--yes"], folder);
      npm(["install", "--offline", "--no-audit", "--no-fund", join(folder, packed!.filename)], folder);
      const version = npm(["exec", "--offline", "--", "spadework", "--version"], folder).trim();
      assert.match(version, /^\d+\.\d+\.\d+$/);
      const risk = npm(
        [
          "exec",
          "--offline",
          "--",
          "spadework",
          "risk",
          join(root, "sample-workspace"),
          "--as-of",
          "2026-11-25",
          "--format",
          "json",
        ],
        folder,
      );
      assert.equal((JSON.parse(risk) as { fields: unknown[] }).fields.length, 14);
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  }).timeout(120_000);
});
