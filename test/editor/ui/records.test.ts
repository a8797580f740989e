// The sample as a keeper sees it: findings, lenses, hints, the status bar, and what a click on a lens opens.
import { strict as assert } from "node:assert";
import {
  clickLens,
  goToLine,
  openFile,
  openWorkbench,
  persistently,
  runCommand,
  screenshot,
  shown,
  waitForSquiggles,
} from "./workbench.ts";
import type { Workbench } from "./workbench.ts";

describe("the sample on the screen", () => {
  let workbench: Workbench;
  let failed: string | undefined;

  before(async function () {
    this.timeout(180_000);
    const settings = { "spadework.asOf": "2026-11-25", "editor.minimap.enabled": false };
    workbench = await openWorkbench({ file: "2026/08-august.visits.yaml", settings });
  });
  afterEach(function () {
    if (this.currentTest?.state === "failed") failed ??= this.currentTest.title;
  });
  after(() => workbench?.close(failed));

  it("underlines what is wrong, and says how bad it was above the visits and behind the ratings", async () => {
    const { page } = workbench;
    await goToLine(page, 84);
    await waitForSquiggles(page, "error");
    await shown(page.locator(".codelens-decoration", { hasText: "no galls on" }));
    await shown(page.locator(".view-line", { hasText: /DSI/ }));
    await screenshot(page, "findings-lenses-hints");
  });

  it("has other colours for keys than for ids, for dates than for words, once the server has told what they mean", async () => {
    const { page } = workbench;
    const colourOf = async (line: RegExp, piece: string) => {
      const spans = page.locator(".lines-content .view-line", { hasText: line }).first().locator("span span");
      await spans.filter({ hasText: piece }).first().waitFor();
      return spans
        .filter({ hasText: piece })
        .first()
        .evaluate((span) => getComputedStyle(span).color);
    };
    const colours = {
      key: await colourOf(/field:/, "field"),
      reference: await colourOf(/equipment:/, "dig-kit"),
      date: await colourOf(/arrived:/, "2026"),
      word: await colourOf(/purpose:/, "scouting"),
    };
    assert.equal(new Set(Object.values(colours)).size, 4, JSON.stringify(colours));
  });

  it("has the worst status in the status bar, as a word", async () => {
    const { page } = workbench;
    const item = page.locator(".statusbar-item", { hasText: "Clubroot: confirmed" });
    await item.waitFor({ timeout: 30_000 });
    await item.hover();
    await page.locator(".monaco-hover", { hasText: "Season 2026" }).waitFor({ timeout: 10_000 });
    await screenshot(page, "status-bar");
  });

  it("lists the findings of files that were never opened, in one line more when asked for", async () => {
    const { page } = workbench;
    await page.locator(".statusbar-item", { hasText: "Clubroot: confirmed" }).locator("a").click();
    await page.locator(".markers-panel .monaco-list-row", { hasText: "06-june.visits.yaml" }).first().waitFor();
    await page.locator(".notification-toast", { hasText: "2026: 9 errors" }).waitFor();
    await screenshot(page, "problems");
    await runCommand(page, "Notifications: Clear All Notifications");
    await runCommand(page, "View: Hide Panel");
    await page.locator(".markers-panel").waitFor({ state: "hidden" });
  });

  it("opens the way of the soil by a click on a field's lens", async () => {
    const { page } = workbench;
    await openFile(page, "alder-bench.fields.yaml");
    await goToLine(page, 22);
    await shown(page.locator(".codelens-decoration", { hasText: "exposed: " }));
    await screenshot(page, "field-lenses");
    await clickLens(page, /^exposed: /, () =>
      page.locator(".view-line", { hasText: "Soil may have come to Long Meadow" }).waitFor({ timeout: 8000 }),
    );
    await page.locator(".view-line .detected-link").first().waitFor();
    await screenshot(page, "soil-movement");
    await runCommand(page, "View: Revert and Close Editor");
    await page.keyboard.press("Control+1");
  });

  it("shows the visits of a field by a click on their lens", async () => {
    const { page } = workbench;
    await openFile(page, "alder-bench.fields.yaml");
    await goToLine(page, 3);
    // A field's lenses need the room.
    await page.keyboard.press("Control+B");
    await clickLens(page, /visits in 2026$/, () => page.locator(".zone-widget .ref-tree").waitFor({ timeout: 8000 }));
    await screenshot(page, "visits-of-a-field");
    await page.keyboard.press("Escape");
    await page.keyboard.press("Control+B");
  });

  it("offers the quick fix of a mistyped field", async () => {
    const { page } = workbench;
    await openFile(page, "06-june.visits.yaml");
    await goToLine(page, 3, 15);
    await waitForSquiggles(page, "error");
    await persistently(page, async () => {
      await page.keyboard.press("Control+.");
      const fix = page.locator(".action-widget .monaco-list-row", { hasText: "west-eighty" });
      await fix.first().waitFor({ timeout: 5000 });
    });
    await screenshot(page, "quick-fix");
    await page.keyboard.press("Escape");
  });

  it("says in a hover what an id stands for", async () => {
    const { page } = workbench;
    await openFile(page, "06-june.visits.yaml");
    await goToLine(page, 15, 15);
    await page.keyboard.press("Control+K");
    await page.keyboard.press("Control+I");
    await page.locator(".monaco-hover:visible", { hasText: /\w/ }).first().waitFor();
    await screenshot(page, "hover");
    await page.keyboard.press("Escape");
  });

  it("offers what fits while a record is written", async () => {
    const { page } = workbench;
    await openFile(page, "06-june.visits.yaml");
    await goToLine(page, 3, 12);
    await page.keyboard.press("Control+Space");
    await page.locator(".suggest-widget .monaco-list-row", { hasText: "mill-quarter" }).waitFor();
    await screenshot(page, "completion");
    await page.keyboard.press("Escape");
  });

  it("leads through the first season's book", async () => {
    const { page } = workbench;
    await runCommand(page, "Welcome: Open Walkthrough...", "The first season's book");
    await page.locator(".getting-started-step", { hasText: "Begin a season" }).waitFor();
    // The pictures need the room.
    await page.keyboard.press("Control+B");
    await shown(page.locator("iframe.webview.ready"));
    for (const [step, title] of [
      "Begin a season",
      "Write down a visit",
      "See what is missing",
      "Follow the soil",
    ].entries()) {
      await page.locator(".getting-started-step", { hasText: title }).click();
      await page.locator(".getting-started-step.expanded", { hasText: title }).waitFor();
      const picture = page.frameLocator("iframe.webview.ready").frameLocator("iframe#active-frame").locator("svg");
      await picture.waitFor();
      await screenshot(page, `walkthrough-${step + 1}`);
    }
    assert.equal(await page.locator(".getting-started-step").count(), 4);
  });
});
