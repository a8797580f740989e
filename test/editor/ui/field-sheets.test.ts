// The field sheets in a real browser: accessible, and on paper two sides of one leaf.
import { strict as assert } from "node:assert";
import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import type { Browser } from "playwright-core";
import { accessibilityViolations } from "../accessibility.ts";
import { launchChromium } from "../chromium.mjs";
import { readPdf } from "../pdf-pages.ts";

const SAMPLE = fileURLToPath(new URL("../../../sample-workspace", import.meta.url));
const PROGRAM = fileURLToPath(new URL("../../../dist/cli.js", import.meta.url));
const SCREENSHOTS = process.env.SPADEWORK_EDITOR_SCREENSHOTS ?? "";

describe("field sheets in the browser", () => {
  let browser: Browser;
  const folder = mkdtempSync(join(tmpdir(), "spadework-sheets-"));
  const sheets = (paper: string): string[] => readdirSync(join(folder, paper)).map((name) => join(folder, paper, name));

  before(async function () {
    this.timeout(60_000);
    for (const paper of ["a5", "letter"]) {
      const args = [
        "plan",
        SAMPLE,
        "--as-of",
        "2026-08-18",
        "--days",
        "4",
        "--sheets",
        join(folder, paper),
        "--paper",
        paper,
      ];
      execFileSync(process.execPath, [PROGRAM, ...args], { stdio: ["ignore", "ignore", "inherit"] });
    }
    if (SCREENSHOTS) mkdirSync(SCREENSHOTS, { recursive: true });
    browser = await launchChromium();
  });
  after(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it("ask for nothing, complain of nothing, and have nothing that axe-core finds fault with", async function () {
    this.timeout(60_000);
    assert.equal(sheets("a5").length, 5);
    for (const file of sheets("a5")) {
      const address = pathToFileURL(file).href;
      const plain = await browser.newPage({ viewport: { width: 560, height: 800 } });
      const asked: string[] = [];
      const complaints: string[] = [];
      plain.on("request", (request) => asked.push(request.url()));
      plain.on("console", (message) => complaints.push(message.text()));
      await plain.goto(address);
      assert.deepEqual(asked, [address]);
      assert.deepEqual(complaints, []);
      const map = await plain.locator("figure svg.picture").boundingBox();
      assert.ok(map && map.width > 150 && map.height > 150, "the map is too small to find one's way by");
      const code = await plain.locator("svg.qr").boundingBox();
      assert.ok(code && code.width > 95, "the code is too small to be read");
      if (SCREENSHOTS) await plain.screenshot({ path: join(SCREENSHOTS, "field-sheet.png"), fullPage: true });
      await plain.close();
      for (const width of [560, 360]) {
        const context = await browser.newContext({ bypassCSP: true, viewport: { width, height: 800 } });
        const page = await context.newPage();
        await page.goto(address);
        assert.deepEqual(await accessibilityViolations(page), []);
        const overflow = await page.evaluate("document.documentElement.scrollWidth - innerWidth");
        assert.ok(Number(overflow) <= 0, `${width}: ${String(overflow)} pixels too wide`);
        await context.close();
      }
    }
  });

  for (const [paper, width, height] of [
    // ISO 216: 148 mm by 210 mm; 8.5 in by 11 in; points of 1/72 in.
    ["a5", 419.5, 595.3],
    ["letter", 612, 792],
  ] as const) {
    it(`print on ${paper}, on both sides of one leaf, whole and in order`, async function () {
      this.timeout(60_000);
      for (const file of sheets(paper)) {
        const page = await browser.newPage();
        await page.goto(pathToFileURL(file).href);
        const bytes = await page.pdf({ preferCSSPageSize: true, printBackground: false });
        if (SCREENSHOTS) writeFileSync(join(SCREENSHOTS, `field-sheet-${paper}.pdf`), bytes);
        const pages = await readPdf(bytes);
        assert.ok(pages.length <= 2, `${file}: ${pages.length} pages`);
        for (const { width: w, height: h } of pages)
          assert.ok(Math.abs(w - width) <= 1 && Math.abs(h - height) <= 1, `${w} ${h}`);
        const words = pages.map((one) => one.words).join(" ");
        let at = 0;
        for (const said of [
          "Stops, in the order",
          "Last findings",
          "Fill in",
          "What is a gall",
          "Clean down",
          "Cautions",
          "evidence, not proof",
        ]) {
          const found = words.indexOf(said, at);
          assert.ok(found >= 0, `${said} is missing`);
          at = found;
        }
        await page.close();
      }
    });
  }
});
