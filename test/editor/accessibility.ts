// What axe-core finds wrong with a page, in the browser that shows it.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type { Frame, Page } from "playwright-core";

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const STANDARDS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

interface AxeResults {
  readonly violations: readonly { readonly id: string; readonly nodes: readonly { readonly html: string }[] }[];
  readonly passes: readonly unknown[];
}

/** One line for each thing that breaks WCAG 2.2 at level AA, or axe-core's advice. */
export async function accessibilityViolations(page: Page | Frame, without: readonly string[] = []): Promise<string[]> {
  await page.evaluate(AXE);
  const found = await page.evaluate(
    async ({ standards, rules }) => {
      const { axe } = globalThis as unknown as { axe: { run(root: unknown, options: unknown): Promise<AxeResults> } };
      const root = (globalThis as unknown as { document: unknown }).document;
      const { violations, passes } = await axe.run(root, { runOnly: standards, rules });
      return {
        lines: violations.map(({ id, nodes }) => `${id}: ${nodes.length} × ${nodes[0]?.html.slice(0, 160) ?? ""}`),
        passes: passes.length,
      };
    },
    { standards: STANDARDS, rules: Object.fromEntries(without.map((id) => [id, { enabled: false }])) },
  );
  if (found.passes === 0) throw new Error("axe-core looked at nothing.");
  return found.lines;
}
