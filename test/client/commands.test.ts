import { strict as assert } from "node:assert";
import { readFileSync } from "node:fs";
import { commands } from "../../client/src/names.ts";

interface Manifest {
  contributes: { commands: { command: string; title: string }[]; menus: Record<string, { command: string }[]> };
}

const read = (path: string): string => readFileSync(new URL(`../../${path}`, import.meta.url), "utf8");

describe("the commands of the extension", () => {
  const { contributes } = JSON.parse(read("package.json")) as Manifest;
  const declared = contributes.commands.map(({ command }) => command);
  const calledByLenses: readonly string[] = [commands.showPlaces, commands.showSoil];

  it("are declared, and used in menus, by the names that the code gives them", () => {
    const named = Object.values(commands).filter((name) => !calledByLenses.includes(name));
    assert.deepEqual([...named].sort(), [...declared].sort());
    for (const entries of Object.values(contributes.menus))
      for (const { command } of entries) assert.ok(declared.includes(command), command);
  });

  it("stand in README.md by their titles and in DEVELOPERS.md by their names", () => {
    const readme = read("README.md");
    for (const { title } of contributes.commands) assert.ok(readme.includes(`| Spadework: ${title} |`), title);
    const developers = read("DEVELOPERS.md");
    for (const name of Object.values(commands)) assert.ok(developers.includes(`\`${name}\``), name);
  });
});
