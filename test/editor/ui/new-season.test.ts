// "New season…" as a keeper fills it in.
import { strict as assert } from "node:assert";
import * as fs from "node:fs";
import * as path from "node:path";
import { answer, makeFolder, openWorkbench, runCommand, screenshot, shown } from "./workbench.ts";

describe("the form of a new season on the screen", () => {
  it("asks six things, says what is not right about an answer, and writes a book that stands open", async function () {
    this.timeout(180_000);
    const folder = makeFolder("nothing");
    const workbench = await openWorkbench({ folder, settings: { "spadework.asOf": "2026-06-01" } });
    const { page } = workbench;
    try {
      await runCommand(page, "Spadework: New season…");
      await answer(page, /New season: the folder/, { pick: "records" });
      await page.locator(".quick-input-widget", { hasText: "(1 of 6)" }).waitFor();
      await page.locator(".quick-input-box input").fill("26");
      await page.locator(".quick-input-message", { hasText: "Write a year, such as 2026." }).waitFor();
      await screenshot(page, "new-season-year");
      await answer(page, /\(1 of 6\)/, { write: "2026" });
      await page.locator(".quick-input-widget", { hasText: "(2 of 6)" }).waitFor();
      await shown(page.locator(".quick-input-list .monaco-list-row", { hasText: "ca-prairies" }));
      await screenshot(page, "new-season-region");
      await answer(page, /\(2 of 6\)/, { pick: "ca-prairies" });
      await answer(page, /\(3 of 6\)/, { write: "Stony Ridge: the “old” farm" });
      await answer(page, /\(4 of 6\)/, { write: "Gravel Pit" });
      await page.locator(".quick-input-widget", { hasText: "What grows on Gravel Pit in 2026?" }).waitFor();
      await screenshot(page, "new-season-crop");
      await answer(page, /\(5 of 6\)/, { write: "canola" });
      await answer(page, /\(6 of 6\)/, { write: "A. Lund" });
      await page.locator(".tab", { hasText: "season.yaml" }).waitFor();
      await page.locator(".statusbar-item", { hasText: "Clubroot: waiting" }).waitFor({ timeout: 30_000 });
      await shown(page.locator(".view-line", { hasText: "season: 2026" }));
      await screenshot(page, "new-season-written");
      assert.equal(await page.locator(".squiggly-error, .squiggly-warning").count(), 0);
      await workbench.close();
    } catch (error) {
      await workbench.close("new season");
      throw error;
    }
    assert.deepEqual(fs.readdirSync(folder).sort(), [
      "2026.visits.yaml",
      "crew.equipment.yaml",
      "season.yaml",
      "stony-ridge-the-old-farm.fields.yaml",
      "stony-ridge-the-old-farm.rotations.yaml",
    ]);
    const season = fs.readFileSync(path.join(folder, "season.yaml"), "utf8");
    assert.match(season, /name: "Stony Ridge: the “old” farm" \}/);
  });
});
