import { strict as assert } from "node:assert";
import { spawnSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { parse } from "yaml";
import { inFolder, SMALL_BOOK } from "../support/command-line.ts";
import { git } from "../support/repository.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));
const page = readFileSync(join(root, "README.md"), "utf8");
const section = page.slice(page.indexOf("## In a pull request"), page.indexOf("## Cautions"));
const blocks = [...section.matchAll(/```(yaml|sh)\n([\s\S]*?)```/g)].map(([, kind, text]) => ({ kind, text: text! }));

/** The command as the page has it, with the program of this build in the place of the package. */
function runAsWritten(
  command: string,
  folder: string,
  environment: Record<string, string>,
): { code: number | null; out: string; error: string } {
  assert.match(command, /npx --yes spadework /);
  const program = command.replaceAll("npx --yes spadework", `"${process.execPath}" "${join(root, "dist/cli.js")}"`);
  const ran = spawnSync("sh", ["-c", program], {
    cwd: folder,
    encoding: "utf8",
    env: { ...process.env, ...environment },
  });
  return { code: ran.status, out: ran.stdout, error: ran.stderr };
}

/** A repository whose main branch has one finding already, and whose working tree brings in an unknown field. */
async function inChangedRepository(work: (folder: string, base: string) => void): Promise<void> {
  await inFolder(SMALL_BOOK, async (folder) => {
    git(folder, "init", "--quiet", "--initial-branch=main");
    git(folder, "add", ".");
    git(folder, "commit", "--quiet", "-m", "records");
    const base = git(folder, "rev-parse", "HEAD").trim();
    git(folder, "update-ref", "refs/remotes/origin/main", base);
    const visits = readFileSync(join(folder, "all.visits.yaml"), "utf8");
    const added = "  - { id: v2, field: mill-flatt, arrived: 2026-08-15T09:40, purpose: other }\n";
    writeFileSync(join(folder, "all.visits.yaml"), visits + added);
    work(folder, base);
    return Promise.resolve();
  });
}

describe("what the README offers to copy", () => {
  const yaml = blocks.filter(({ kind }) => kind === "yaml").map(({ text }) => parse(text) as Record<string, unknown>);

  it("is two pipelines and a hook", () =>
    assert.deepEqual(
      blocks.map(({ kind }) => kind),
      ["yaml", "yaml", "sh"],
    ));

  it("the GitHub workflow annotates what the change brings in, and fails for it", async () => {
    const jobs = yaml[0]!["jobs"] as { records: { steps: { run?: string }[] } };
    const commands = jobs.records.steps.flatMap(({ run }) => run ?? []);
    await inChangedRepository((folder) => {
      for (const command of commands) {
        const { code, out } = runAsWritten(command, folder, { GITHUB_BASE_REF: "main" });
        assert.equal(code, 1);
        assert.match(out, /^::error .*mill-flatt/m);
        assert.doesNotMatch(out, /wet-ground/, "what was there before is not told");
      }
    });
  });

  it("the GitLab job writes the change and the findings, and fails for them", async () => {
    const { script } = yaml[1]!["records"] as { script: string[] };
    await inChangedRepository((folder, base) => {
      const codes = script.map(
        (command) => runAsWritten(command, folder, { CI_MERGE_REQUEST_DIFF_BASE_SHA: base }).code,
      );
      assert.deepEqual(codes, [0, 1]);
      assert.match(readFileSync(join(folder, "change.md"), "utf8"), /mill-flatt/);
      assert.match(readFileSync(join(folder, "findings.xml"), "utf8"), /<testcase[^>]*unknown-id/);
    });
  });

  it("the hook stops a commit that brings in an error, and lets others pass", async () => {
    await inChangedRepository((folder) => {
      const hook = blocks[2]!.text.replace(/^#!.*\n/, "");
      assert.equal(runAsWritten(hook, folder, {}).code, 1);
      git(folder, "checkout", "--quiet", "--", ".");
      assert.equal(runAsWritten(hook, folder, {}).code, 0);
    });
  });
});
