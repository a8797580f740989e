// A file that its name keeps out of the records: told of, and renamed by a click.
import { strict as assert } from "node:assert";
import * as fs from "node:fs";
import * as path from "node:path";
import { makeFolder, openFile, openWorkbench, screenshot, waitForSquiggles } from "./workbench.ts";

describe("a file of records with another ending, on the screen", () => {
  it("is told of, and read once it was renamed from the message", async function () {
    this.timeout(180_000);
    const folder = makeFolder("the sample");
    const visits = path.join(folder, "2026/06-june.visits.yaml");
    const misnamed = visits.replace(/yaml$/, "yml");
    fs.renameSync(visits, misnamed);
    const workbench = await openWorkbench({ folder });
    const { page } = workbench;
    try {
      const toast = page.locator(".notification-toast", { hasText: "2026/06-june.visits.yml is passed over" });
      await toast.waitFor({ timeout: 60_000 });
      await screenshot(page, "misnamed-file");
      await toast.locator(".monaco-button", { hasText: "Rename" }).click();
      await toast.waitFor({ state: "detached" });
      await openFile(page, "06-june.visits.yaml");
      await waitForSquiggles(page, "error");
      await screenshot(page, "misnamed-file-renamed");
      await workbench.close();
    } catch (error) {
      await workbench.close("misnamed file");
      throw error;
    }
    assert.deepEqual([fs.existsSync(visits), fs.existsSync(misnamed)], [true, false]);
  });
});
