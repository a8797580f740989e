// A grower's report in a real browser: accessible, in grey, and on paper.
import { strict as assert } from "node:assert";
import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
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

describe("a grower's report in the browser", () => {
  let browser: Browser;
  const folder = mkdtempSync(join(tmpdir(), "spadework-report-"));
  const file = join(folder, "report.html");
  const address = pathToFileURL(file).href;

  before(async function () {
    this.timeout(60_000);
    const args = ["report", SAMPLE, "--grower", "two-sloughs", "--as-of", "2026-11-25", "--out", file];
    execFileSync(process.execPath, [PROGRAM, ...args], { stdio: "inherit" });
    mkdirSync(SCREENSHOTS, { recursive: true });
    browser = await launchChromium();
  });
  after(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it("asks for nothing, runs nothing, and shows what it holds", async () => {
    const page = await browser.newPage({ viewport: { width: 1000, height: 1400 } });
    const asked: string[] = [];
    const complaints: string[] = [];
    page.on("request", (request) => asked.push(request.url()));
    page.on("console", (message) => complaints.push(message.text()));
    await page.goto(address);
    assert.deepEqual(asked, [address]);
    // The policy lets the page's own style in: else each complaint would stand in the console.
    assert.deepEqual(complaints, []);
    assert.equal(await page.locator("h1").evaluate((head) => getComputedStyle(head).fontSize), "27.2px");
    for (const picture of ["svg.season-map", "svg.calendar"]) {
      const box = await page.locator(picture).boundingBox();
      assert.ok(box && box.width > 700 && box.height > 200, picture);
    }
    await page.screenshot({ path: join(SCREENSHOTS, "report.png"), fullPage: true });
    await page
      .locator("svg.season-map")
      .evaluate((svg) => (svg.ownerDocument.documentElement.style.filter = "grayscale(1)"));
    await page.screenshot({ path: join(SCREENSHOTS, "report-greyscale.png"), fullPage: true });
    await page.close();
  });

  it("has nothing that axe-core finds fault with, wide and narrow", async () => {
    for (const width of [1000, 380]) {
      const context = await browser.newContext({ bypassCSP: true, viewport: { width, height: 800 } });
      const page = await context.newPage();
      await page.goto(address);
      assert.deepEqual(await accessibilityViolations(page), []);
      const overflow = await page.evaluate("document.documentElement.scrollWidth - innerWidth");
      assert.ok(Number(overflow) <= 0, `${width}: ${String(overflow)} pixels too wide`);
      await context.close();
    }
  });

  for (const [format, width, height] of [
    ["A4", 595, 842],
    ["Letter", 612, 792],
  ] as const) {
    it(`prints on ${format}, whole and in order`, async function () {
      this.timeout(60_000);
      const page = await browser.newPage();
      await page.goto(address);
      const bytes = await page.pdf({ format, preferCSSPageSize: false, printBackground: false });
      writeFileSync(join(SCREENSHOTS, `report-${format}.pdf`), bytes);
      const pages = await readPdf(bytes);
      assert.ok(pages.length >= 4 && pages.length <= 14, String(pages.length));
      for (const { width: w, height: h } of pages)
        assert.ok(Math.abs(w - width) <= 1 && Math.abs(h - height) <= 1, `${w} ${h}`);
      const words = pages.map((one) => one.words).join(" ");
      let at = 0;
      for (const said of [
        "The season in brief",
        "Fields by status",
        "What to do next",
        "Map",
        "East Slough",
        "ts-swather",
        "Cautions",
        "authority to say",
      ]) {
        const found = words.indexOf(said, at);
        assert.ok(found >= 0, `${said} is missing after ${words.slice(Math.max(0, at - 20), at + 20)}`);
        at = found;
      }
      await page.close();
    });
  }
});
