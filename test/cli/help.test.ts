import { strict as assert } from "node:assert";
import { cpSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { CALCULATIONS } from "../../server/src/cli/calc/index.ts";
import { COMMANDS } from "../../server/src/cli/main.ts";
import { inFolder, spadework } from "../support/command-line.ts";
import { git } from "../support/repository.ts";

const sample = fileURLToPath(new URL("../../sample-workspace", import.meta.url));

/** The arguments of an example, without what a shell would do with its output. */
function argumentsOf(example: string): string[] {
  const [own] = example.split(/ [|>] /);
  return [...own!.matchAll(/"([^"]*)"|(\S+)/g)].map(([, quoted, bare]) => quoted ?? bare!).slice(1);
}

describe("the help of spadework", () => {
  it("has a summary, sentences and an example for every command, and its lines fit a terminal", async () => {
    for (const { name } of COMMANDS) {
      const { code, out } = await spadework([name, "--help"]);
      assert.equal(code, 0);
      assert.match(out, new RegExp(`^Usage: spadework ${name}\\b`));
      assert.match(out, /^Examples?:\n {2}spadework /m);
      for (const line of out.split("\n")) assert.ok(line.length <= 130, line);
    }
  });

  // The language server waits for its client; region packs have tests of their own.
  const own = new Set(["lsp", "region"]);
  for (const { name, examples } of COMMANDS.filter((command) => !own.has(command.name))) {
    it(`gives examples of ${name} that work on the sample workspace`, async () => {
      await inFolder({}, async (folder) => {
        cpSync(sample, join(folder, "sample-workspace"), { recursive: true });
        if (name === "diff") {
          git(folder, "init", "-q", "-b", "main");
          git(folder, "add", ".");
          git(folder, "commit", "-q", "-m", "the season");
          git(folder, "branch", "my-branch");
        }
        for (const example of examples) {
          const { code, out, error } = await spadework(argumentsOf(example), { workingFolder: folder });
          assert.equal(code, name === "check" && !example.includes("baseline") ? 1 : 0, `${example}: ${error}`);
          assert.notEqual(out + error, "", example);
        }
      });
    });
  }

  it("gives an example of degree days that works on the sample workspace", async () => {
    const { examples } = CALCULATIONS.find(({ name }) => name === "degree-days")!;
    await inFolder({}, async (folder) => {
      cpSync(sample, join(folder, "sample-workspace"), { recursive: true });
      for (const example of examples) {
        const { code, error } = await spadework(argumentsOf(example), { workingFolder: folder });
        assert.equal(code, 0, error);
      }
    });
  });
});
