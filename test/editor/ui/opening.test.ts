import { strict as assert } from "node:assert";
import { filesEnding, openFile, openWorkbench, runCommand, screenshot } from "./workbench.ts";
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
    await row.filter({ hasText: /Activation: \d+ms/ }).waitFor({ timeout: 20_000 });
    assert.equal(await row.locator(".codicon-bug, .codicon-error").count(), 0);
    await screenshot(page, "running-extensions");
  });
});

describe("the packaged extension in a folder that is not trusted", () => {
  it("still knows season records and starts", async function () {
    this.timeout(180_000);
    const workbench = await openWorkbench({ file: filesEnding(".visits.yaml")[0]!, workspaceTrust: true });
    const { page } = workbench;
    try {
      await page.locator(".statusbar-item", { hasText: "Restricted Mode" }).waitFor({ timeout: 30_000 });
      await page.locator("#status\\.editor\\.mode", { hasText: "Season records" }).waitFor({ timeout: 30_000 });
      await runCommand(page, "Show Running Extensions");
      const row = page.locator(".runtime-extensions-editor .extension", { hasText: "Spadework" });
      await row.filter({ hasText: /Activation: \d+ms/ }).waitFor({ timeout: 20_000 });
      await workbench.close();
    } catch (error) {
      await workbench.close("untrusted");
      throw error;
    }
  });
});
