import { strict as assert } from "node:assert";
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { spadework } from "../support/command-line.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));

describe("README", () => {
  const page = readFileSync(`${root}/README.md`, "utf8");
  const blocks = [...page.matchAll(/```text\n\$ spadework (.*)\n([\s\S]*?)```/g)];

  it("shows what the program prints, line by line", async () => {
    assert.ok(blocks.length >= 3);
    for (const [, command, shown] of blocks) {
      const { out } = await spadework(command!.split(" "), { workingFolder: root });
      const printed = new Set(out.split("\n"));
      for (const line of shown!.split("\n"))
        assert.ok(printed.has(line), `"${line}" is not printed by spadework ${command!}`);
    }
  });

  it("opens with the job in one paragraph and names the two commands", () => {
    const [title, paragraph] = page.split("\n\n");
    assert.equal(title, "# Spadework");
    assert.match(paragraph!, /^Clubroot lives in soil/);
    assert.match(page, /^npm start /m);
    assert.match(page, /^npm test /m);
  });
});
