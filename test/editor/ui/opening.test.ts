import { strict as assert } from "node:assert";
import { filesEnding, openFile, openWorkbench, runCommand, screenshot, waitForSquiggles } from "./workbench.ts";
import type { Workbench } from "./workbench.ts";

describe("the packaged extension on the screen", () => {
  let workbench: Workbench;
  let failed: string | undefined;
  const file = filesEnding(".visits.yaml")[0]!;

  before(async function () {
    this.timeout(180_000);
    workbench = await openWorkbench({ file });
  });
  afterEach(function () {
    if (this.currentTest?.state === "failed") failed ??= this.currentTest.title;
  });
  after(() => workbench?.close(failed));

  it("opens a visits file as season records", async () => {
    const { page } = workbench;
    await page.locator("#status\\.editor\\.mode", { hasText: "Season records" }).waitFor({ timeout: 30_000 });
    await page.locator(".view-line", { hasText: "field:" }).first().waitFor();
    await screenshot(page, "visits-file");
  });

  it("colours an id otherwise than the key before it", async () => {
    const line = workbench.page.locator(".view-line", { hasText: /id:/ }).first();
    await line.locator("span span").nth(2).waitFor();
    const pieces = await line
      .locator("span span")
      .evaluateAll((spans) =>
        spans.map((span) => ({ text: span.textContent ?? "", colour: getComputedStyle(span).color })),
      );
    const key = pieces.find(({ text }) => /\bid$/.test(text));
    const id = pieces.at(-1);
    assert.ok(key && id, JSON.stringify(pieces));
    assert.notEqual(key.colour, id.colour, JSON.stringify(pieces));
  });

  it("opens the season file, too, through Go to File", async () => {
    const season = filesEnding("season.yaml")[0]!;
    await openFile(workbench.page, season);
    await workbench.page.locator("#status\\.editor\\.mode", { hasText: "Season records" }).waitFor();
  });

  it("runs in the extension host without an error", async () => {
    const { page } = workbench;
    await runCommand(page, "Show Running Extensions");
    const row = page.locator(".runtime-extensions-editor .extension", { hasText: "Spadework" });
    // The slowest stand on top, and only the rows that are in sight exist.
    await page.locator(".runtime-extensions-editor .extension").first().hover();
    const deadline = Date.now() + 20_000;
    while ((await row.filter({ hasText: /Activation: \d+ms/ }).count()) === 0) {
      assert.ok(Date.now() < deadline, "Spadework is not among the running extensions");
      await page.mouse.wheel(0, 140);
      await page.waitForTimeout(100);
    }
    // The editor's own figure. It depends on the machine, so it is told and not tested.
    console.log(`      ${/Activation: \d+ms/.exec((await row.textContent()) ?? "")?.[0]}`);
    assert.equal(await row.locator(".codicon-bug, .codicon-error").count(), 0);
    await screenshot(page, "running-extensions");
  });
});

describe("the packaged extension in a folder that is not trusted", () => {
  it("still checks season records, and leaves aside the commands that write files or run git", async function () {
    this.timeout(180_000);
    const workbench = await openWorkbench({ file: filesEnding("06-june.visits.yaml")[0]!, workspaceTrust: true });
    const { page } = workbench;
    try {
      await page.locator(".statusbar-item", { hasText: "Restricted Mode" }).waitFor({ timeout: 30_000 });
      await page.locator("#status\\.editor\\.mode", { hasText: "Season records" }).waitFor({ timeout: 30_000 });
      await waitForSquiggles(page, "error");
      await page.locator(".statusbar-item", { hasText: /Clubroot: \w+/ }).waitFor();
      await page.keyboard.press("F1");
      await page.locator(".quick-input-box input").fill(">Spadework: ");
      await page.locator(".quick-input-list .monaco-list-row", { hasText: "Check the season" }).waitFor();
      for (const writes of ["New season", "Add a visit"])
        assert.equal(await page.locator(".quick-input-list .monaco-list-row", { hasText: writes }).count(), 0, writes);
      await page.keyboard.press("Escape");
      await runCommand(page, "Spadework: Review this change");
      await page.locator(".notification-toast", { hasText: "Trust this folder first: a review runs git" }).waitFor();
      await workbench.close();
    } catch (error) {
      await workbench.close("untrusted");
      throw error;
    }
  });
});
