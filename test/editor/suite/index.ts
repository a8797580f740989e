// What VS Code calls to run the extension's tests in its extension host.
import { runMocha } from "../run-mocha.ts";

export async function run(): Promise<void> {
  const { failed } = await runMocha(__dirname, ".test.cjs");
  if (failed) throw new Error(`${failed} of the tests in the extension host failed.`);
}
