// "Review this change" from the title of the Source Control view.
import { strict as assert } from "node:assert";
import { execFileSync } from "node:child_process";
import * as fs from "node:fs";
import * as path from "node:path";
import { makeFolder, openWorkbench, persistently, screenshot, shown } from "./workbench.ts";

describe("the review of a change on the screen", () => {
  it("opens from the Source Control view, and a click on a place goes to the record", async function () {
    this.timeout(180_000);
    const folder = makeFolder("the sample");
    const git = (...args: string[]): void => {
      const settings = [
        "-c",
        "user.name=A Keeper",
        "-c",
        "user.email=keeper@example.org",
        "-c",
        "commit.gpgsign=false",
      ];
      execFileSync("git", ["-C", folder, ...settings, ...args], { stdio: "ignore" });
    };
    git("init", "-q");
    git("add", "-A");
    git("commit", "-q", "-m", "The season so far");
    const visits = path.join(folder, "2026/08-august.visits.yaml");
    const edited = fs.readFileSync(visits, "utf8").replace("footwear: disposable", "footwear: unprotected");
    fs.writeFileSync(visits, edited);
    const settings = { "spadework.asOf": "2026-11-25" };
    const workbench = await openWorkbench({ folder, file: "2026/08-august.visits.yaml", settings });
    const { page } = workbench;
    try {
      await page.locator(".statusbar-item", { hasText: "Clubroot: confirmed" }).waitFor({ timeout: 30_000 });
      await persistently(page, async () => {
        await page.keyboard.press("Control+Shift+G");
        await page.locator("#workbench\\.view\\.scm").waitFor({ timeout: 5000 });
      });
      // The title's buttons show only below the pointer, and the title is drawn anew while git is being read.
      await persistently(page, async () => {
        await page.locator("#workbench\\.view\\.scm .pane-header").first().hover({ timeout: 5000 });
        const button = page.locator("#workbench\\.view\\.scm .action-label[aria-label*='Review this change']").first();
        await button.click({ timeout: 5000 });
      });
      await shown(page.locator(".view-line", { hasText: "What changes from HEAD to the working tree" }));
      await shown(page.locator(".view-line", { hasText: "New: 1 finding" }));
      await page.locator(".view-line .detected-link").first().waitFor();
      await screenshot(page, "review-this-change");
      const place = page.locator(".view-line .detected-link", { hasText: "08-august.visits.yaml" }).first();
      const line = edited.slice(0, edited.indexOf("footwear: unprotected")).split("\n").length;
      // The editor draws its links anew whenever the text is told again: a click may fall in between.
      await persistently(page, async () => {
        await place.click({ modifiers: ["Control"], timeout: 5000 });
        await page.locator("#status\\.editor\\.selection", { hasText: `Ln ${line}, ` }).waitFor({ timeout: 5000 });
      });
      await workbench.close();
    } catch (error) {
      await workbench.close("review of a change");
      throw error;
    }
    assert.equal(fs.readFileSync(visits, "utf8"), edited);
  });
});
