// Runs the tests that see and click what a keeper would, in a process of their own.
import { fileURLToPath } from "node:url";
import { runMocha } from "../run-mocha.ts";

// An orderly end lets the servers that are still running be ended as well.
for (const signal of ["SIGINT", "SIGTERM"] as const) process.once(signal, () => process.exit(130));
try {
  const { failed } = await runMocha(fileURLToPath(new URL(".", import.meta.url)), ".test.ts");
  process.exit(failed ? 1 : 0);
} catch (error) {
  console.error(error);
  process.exit(1);
}
