// The season's panel and the list of fields on the screen: worked by mouse and by keyboard, in every kind of theme.
import { strict as assert } from "node:assert";
import * as fs from "node:fs";
import * as path from "node:path";
import type { Frame, FrameLocator, Page } from "playwright-core";
import { accessibilityViolations } from "../accessibility.ts";
import { goToLine, openFile, openWorkbench, persistently, runCommand, screenshot, shown } from "./workbench.ts";
import type { Workbench } from "./workbench.ts";

const settings = {
  "spadework.asOf": "2026-11-25",
  "editor.minimap.enabled": false,
  "workbench.colorTheme": "Default Light Modern",
};

function panelOf(page: Page): FrameLocator {
  return page.frameLocator("iframe.webview.ready").frameLocator("iframe#active-frame");
}

/** The panel's own frame, to run a script in it. */
async function frameOf(page: Page): Promise<Frame> {
  const inner = await page.locator("iframe.webview.ready").elementHandle();
  const outer = await inner?.contentFrame();
  const frame = await (await outer?.$("iframe#active-frame"))?.contentFrame();
  if (!frame) throw new Error("The panel has no frame.");
  return frame;
}

async function openPanel(page: Page): Promise<FrameLocator> {
  await runCommand(page, "Spadework: Show the season");
  const panel = panelOf(page);
  await panel.locator("svg.season-map").waitFor({ timeout: 30_000 });
  return panel;
}

describe("the season's panel on the screen", () => {
  let workbench: Workbench;
  let failed: string | undefined;

  before(async function () {
    this.timeout(180_000);
    workbench = await openWorkbench({ file: "two-sloughs.fields.yaml", settings });
    // The panel needs the room.
    await workbench.page.setViewportSize({ width: 1500, height: 950 });
    await workbench.page.locator(".statusbar-item", { hasText: "Clubroot: confirmed" }).waitFor({ timeout: 60_000 });
  });
  afterEach(function () {
    if (this.currentTest?.state === "failed") failed ??= this.currentTest.title;
  });
  after(() => workbench?.close(failed));

  it("lists the fields in the explorer with what to do next, by status and by grower", async () => {
    const { page } = workbench;
    await runCommand(page, "Explorer: Focus on Season fields View");
    const rows = page.locator(".pane", { hasText: "Season fields" }).locator(".monaco-list-row");
    await rows.filter({ hasText: "East Slough" }).filter({ hasText: "ask whether the find must be told" }).waitFor();
    assert.match((await rows.first().textContent()) ?? "", /^confirmed2/);
    await screenshot(page, "fields-by-status");
    await runCommand(page, "Spadework: Group the fields by grower");
    await rows.first().filter({ hasText: "Alder Bench Farm" }).waitFor();
    assert.match((await rows.first().textContent()) ?? "", /^Alder Bench Farm5/);
    await screenshot(page, "fields-by-grower");
    await rows.filter({ hasText: "Long Meadow" }).click();
    await page.locator(".tab.active", { hasText: "alder-bench.fields.yaml" }).waitFor();
    await page.locator("#status\\.editor\\.selection", { hasText: "Ln 18" }).waitFor();
    await runCommand(page, "Spadework: Group the fields by status");
    await page.keyboard.press("Control+1");
  });

  it("shows the map, the calendar and the tables, and no fault that axe-core finds", async function () {
    this.timeout(120_000);
    const { page } = workbench;
    const panel = await openPanel(page);
    await runCommand(page, "View: Close Primary Side Bar");
    for (const said of ["East Slough", "Rail Side", "Mill Quarter"])
      await panel.locator("svg.season-map text", { hasText: said }).first().waitFor();
    assert.equal(await panel.locator("svg.season-map .move-mark").count(), 3);
    assert.equal(await panel.locator("#fields tbody tr").count(), 14);
    await panel.locator("svg.calendar").waitFor();
    assert.deepEqual(await accessibilityViolations(await frameOf(page), ["region"]), []);
    await screenshot(page, "season-light");
    await panel.locator("svg.calendar").scrollIntoViewIfNeeded();
    await screenshot(page, "season-light-calendar");
  });

  it("lets no script from a record or from outside run in it", async () => {
    const frame = await frameOf(workbench.page);
    const policy = await frame.locator('meta[http-equiv="Content-Security-Policy"]').getAttribute("content");
    assert.match(
      policy ?? "",
      /^default-src 'none'; script-src 'nonce-[\w-]{20,}'; style-src [^;]+ 'nonce-[\w-]{20,}'; base-uri 'none'; form-action 'none'$/,
    );
    const ran = await frame.evaluate(async () => {
      const holder = document.createElement("div");
      holder.innerHTML = `<img src="x" onerror="window.hadRun = true">`;
      document.body.append(holder);
      const script = document.createElement("script");
      script.textContent = "window.hadRun = true";
      document.body.append(script);
      await new Promise((resolve) => setTimeout(resolve, 200));
      holder.remove();
      return (window as { hadRun?: boolean }).hadRun === true;
    });
    assert.equal(ran, false);
  });

  it("opens the record of what is clicked: a field, a visit, a dig, an arrow", async function () {
    this.timeout(120_000);
    const { page } = workbench;
    const panel = panelOf(page);
    const opens = async (selector: string, file: string, line: RegExp): Promise<void> => {
      await persistently(page, async () => {
        await panel.locator(selector).first().scrollIntoViewIfNeeded();
        await panel.locator(selector).first().click({ timeout: 5000, force: true });
        await page.locator(".tab", { hasText: file }).first().waitFor({ timeout: 5000 });
        await page.locator(".view-line", { hasText: line }).first().waitFor({ timeout: 5000 });
      });
    };
    await opens('.field[data-open*="lone-tree"]', "wicket-hill.fields.yaml", /lone-tree/);
    await opens(
      '.dig-mark[data-open=\'["visits","v-0812-east-slough","digs",4]\']',
      "08-august.visits.yaml",
      /v-0812-east-slough/,
    );
    await opens('.move-mark[data-open*="v-0825-rail-side"]', "08-august.visits.yaml", /v-0825-rail-side/);
    await opens('.cleaning-mark[data-open*="c-0508-1"]', "05-may.cleanings.yaml", /c-0508-1/);
    await opens('#soil button[data-open*="v-0510-long-meadow"]', "05-may.visits.yaml", /v-0510-long-meadow/);
  });

  it("is worked by the keyboard alone", async function () {
    this.timeout(120_000);
    const { page } = workbench;
    const panel = panelOf(page);
    // What was opened before takes the focus when it is there; a click gives it to the panel.
    await page.locator(".tab.active", { hasText: "05-may.visits.yaml" }).waitFor();
    await panel.locator("h1").click();
    await panel.locator("#day").focus();
    const frame = await frameOf(page);
    const where = (): Promise<string> =>
      frame.evaluate(() => document.activeElement?.getAttribute("data-open") ?? document.activeElement?.id ?? "");
    for (let i = 0; i < 12 && !(await where()).startsWith('["fields"'); i++) await page.keyboard.press("Tab");
    const first = await where();
    assert.match(first, /^\["fields"/);
    await page.keyboard.press("ArrowRight");
    const second = await where();
    assert.notEqual(second, first);
    await page.keyboard.press("ArrowLeft");
    assert.equal(await where(), first);
    await page.keyboard.press("End");
    assert.match(await where(), /^\["visits"/);
    await page.keyboard.press("Home");
    await screenshot(page, "season-keyboard");
    await page.keyboard.press("Enter");
    await page.locator(".tab.active", { hasText: "alder-bench.fields.yaml" }).waitFor();
  });

  it("replays where soil went by the slider, in words too", async function () {
    this.timeout(120_000);
    const { page } = workbench;
    const panel = panelOf(page);
    const visible = (selector: string): Promise<number> => panel.locator(selector).filter({ visible: true }).count();
    await panel.locator("#day").scrollIntoViewIfNeeded();
    await panel.locator("#day").focus();
    await page.keyboard.press("Home");
    assert.equal(await panel.locator("output").textContent(), "2026-04-28");
    assert.deepEqual([await visible(".move-mark"), await visible(".dig-mark")], [0, 0]);
    await panel.getByRole("button", { name: "Later soil movement" }).click();
    assert.equal(await panel.locator("output").textContent(), "2026-05-10");
    assert.equal(await visible(".move-mark"), 1);
    await panel.locator(".replay li", { hasText: "soil 1: ab-drill from Corner Quarter to Long Meadow" }).waitFor();
    await panel.locator("#day").focus();
    await page.keyboard.press("ArrowLeft");
    assert.equal(await panel.locator("#day").getAttribute("aria-valuetext"), "2026-05-09");
    assert.equal(await panel.locator(".move-mark.under-way").count(), 1);
    await screenshot(page, "season-replay");
    await page.keyboard.press("End");
    assert.equal(await visible(".move-mark"), 3);
    await page.keyboard.press("Home");
    await panel.getByRole("button", { name: "Play" }).click();
    await panel.getByRole("button", { name: "Pause" }).waitFor();
    await panel.getByRole("button", { name: "Play" }).waitFor({ timeout: 60_000 });
    assert.equal(await panel.locator("output").textContent(), "2026-11-25");
  });

  it("follows an edit that is not saved, and what is undone", async function () {
    this.timeout(120_000);
    const { page, folder } = workbench;
    const panel = panelOf(page);
    const file = path.join(folder, "two-sloughs.fields.yaml");
    const line =
      fs
        .readFileSync(file, "utf8")
        .split("\n")
        .findIndex((one) => one.includes("name: Rail Side")) + 1;
    await page.keyboard.press("Control+1");
    await openFile(page, "two-sloughs.fields.yaml");
    await goToLine(page, line);
    await page.keyboard.press("End");
    await page.keyboard.type(" Meadow");
    await panel.locator("#fields th", { hasText: "Rail Side Meadow" }).waitFor();
    await page.keyboard.press("Control+Z");
    await panel.locator("#fields th", { hasText: /^Rail Side$/ }).waitFor();
    await runCommand(page, "File: Revert File");
  });

  it("is there again after a reload, on the same day of the replay", async function () {
    this.timeout(180_000);
    const { page } = workbench;
    await panelOf(page).locator("#day").focus();
    await page.keyboard.press("Home");
    await panelOf(page).getByRole("button", { name: "Later soil movement" }).click();
    // In a browser the workbench writes down what is open every few seconds, and not when it is left.
    await page.waitForTimeout(16_000);
    // An address that names a file to open would open that one in place of what was open.
    const address = new URL(page.url());
    const payload = JSON.parse(address.searchParams.get("payload") ?? "[]") as [string, string][];
    address.searchParams.set("payload", JSON.stringify(payload.filter(([name]) => name !== "openFile")));
    await page.goto(address.href);
    const panel = panelOf(page);
    await panel.locator("svg.season-map").waitFor({ timeout: 60_000 });
    assert.equal(await panel.locator("output").textContent(), "2026-05-10");
    await panel.locator("#day").focus();
    await page.keyboard.press("End");
  });
});

for (const [name, theme] of [
  ["dark", "Default Dark Modern"],
  ["high-contrast", "Default High Contrast"],
  ["high-contrast-light", "Default High Contrast Light"],
] as const) {
  describe(`the season's panel in a ${name} theme, in a folder that is not trusted`, () => {
    it("is drawn, and has no fault that axe-core finds", async function () {
      this.timeout(180_000);
      const themed = { ...settings, "workbench.colorTheme": theme };
      const workbench = await openWorkbench({ file: "season.yaml", settings: themed, workspaceTrust: true });
      const { page } = workbench;
      try {
        await page.setViewportSize({ width: 1500, height: 950 });
        await page.locator(".statusbar-item", { hasText: "Clubroot: confirmed" }).waitFor({ timeout: 60_000 });
        const panel = await openPanel(page);
        await runCommand(page, "View: Close Primary Side Bar");
        assert.deepEqual(await accessibilityViolations(await frameOf(page), ["region"]), []);
        await shown(panel.locator(".move-mark"));
        await screenshot(page, `season-${name}`);
        await panel.locator("svg.calendar").scrollIntoViewIfNeeded();
        await screenshot(page, `season-${name}-calendar`);
        await workbench.close();
      } catch (error) {
        await workbench.close(`season ${name}`);
        throw error;
      }
    });
  });
}
