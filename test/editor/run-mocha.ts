// Runs test files with mocha and writes down how it ended. Used inside VS Code's extension host and outside of it.
import * as fs from "node:fs";
import * as path from "node:path";
import Mocha from "mocha";

/** What a run leaves behind for the program that started it; no such file means that the run died. */
export interface Results {
  readonly passed: number;
  readonly failed: number;
}

/**
 * Runs every test file of a folder. A test that is skipped or singled out counts as failed.
 * @param folder where the tests lie
 * @param suffix of their names; `.test.ts` needs a loader for TypeScript in the process
 * @throws when `SPADEWORK_EDITOR_RESULTS` names no file for the results, or the folder holds no test
 */
export async function runMocha(folder: string, suffix: ".test.ts" | ".test.cjs"): Promise<Results> {
  const resultsFile = process.env.SPADEWORK_EDITOR_RESULTS;
  if (!resultsFile) throw new Error("SPADEWORK_EDITOR_RESULTS names no file for the results.");
  const grep = process.env.SPADEWORK_EDITOR_GREP;
  const mocha = new Mocha({
    color: false,
    forbidOnly: true,
    forbidPending: true,
    timeout: 60_000,
    // What is clicked on the screen may be drawn anew under the pointer; on a busy machine a test there is worth another try.
    retries: suffix === ".test.ts" ? 2 : 0,
    ...(grep ? { grep } : {}),
  });
  const files = fs.readdirSync(folder).filter((name) => name.endsWith(suffix));
  if (!files.length) throw new Error(`There is no test in ${folder}.`);
  for (const name of files.sort()) mocha.addFile(path.join(folder, name));
  if (suffix === ".test.ts") await mocha.loadFilesAsync();
  const results = await new Promise<Results>((resolve) => {
    const runner = mocha.run((failed) => resolve({ passed: runner.stats?.passes ?? 0, failed }));
    runner.on("retry", (test: Mocha.Test, error: Error) => console.log(`Tried again: ${test.title}\n${error.message}`));
  });
  fs.writeFileSync(resultsFile, JSON.stringify(results));
  return results;
}
