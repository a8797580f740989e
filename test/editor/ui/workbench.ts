// A VS Code on a screen, with the packaged extension in it, and the steps by which a test looks at it and works it.
// Every step waits for what it should bring about, never for a time.
import * as fs from "node:fs";
import * as os from "node:os";
import * as path from "node:path";
import type { Locator, Page } from "playwright-core";
import { launchChromium, openPage, workbenchAddress } from "../chromium.mjs";
import { remoteFile, startServer } from "../vscode-server.mjs";

/** An open workbench; all its files lie in `folder`, a copy that the test may change. */
export interface Workbench {
  readonly page: Page;
  readonly folder: string;
  /** Hosts beyond this machine that the workbench asked for, in vain. */
  readonly blocked: ReadonlySet<string>;
  /** Closes it; when a test failed, first takes a screenshot and shows the server's output. */
  close(failedTest?: string): Promise<void>;
}

export interface WorkbenchOptions {
  /** File to open, relative to the folder. */
  readonly file?: string;
  readonly settings?: Record<string, unknown>;
  /** Another folder than the copy of the sample. */
  readonly folder?: string;
  /** Ask whether the folder is trusted, as VS Code does for a stranger's files. */
  readonly workspaceTrust?: boolean;
}

/** Starts a VS Code with the packaged extension on the copy of the sample workspace. */
export async function openWorkbench(options: WorkbenchOptions = {}): Promise<Workbench> {
  const { file, settings, workspaceTrust = false } = options;
  const folder = options.folder ?? fromEnvironment("SPADEWORK_EDITOR_WORKSPACE");
  const vsix = fromEnvironment("SPADEWORK_EDITOR_VSIX");
  const server = await startServer({ vsix, workspaceTrust, ...(settings ? { settings } : {}) });
  const browser = await launchChromium();
  const { page, blocked } = await openPage(browser);
  const close = async (failedTest?: string) => {
    if (failedTest) {
      await screenshot(page, `failed ${failedTest}`).catch(() => undefined);
      console.error(server.log());
    }
    await browser.close();
    await server.stop();
  };
  try {
    const payload: [string, string][] = file ? [["openFile", remoteFile(server, path.join(folder, file))]] : [];
    await page.goto(workbenchAddress(server.host, folder, payload));
    await page.locator(".monaco-workbench").waitFor({ timeout: 60_000 });
    if (file) await tabOf(page, file).waitFor({ timeout: 60_000 });
    return { page, folder, blocked, close };
  } catch (error) {
    await close("to open the workbench");
    throw error;
  }
}

/** Opens a file of the folder by name, as a keeper would with "Go to File". */
export async function openFile(page: Page, file: string): Promise<void> {
  await pick(page, "Control+P", file, path.basename(file));
  await tabOf(page, file).waitFor();
  await page.locator(".monaco-editor .view-line").first().waitFor();
}

/** Answers one question of a form: writes into its box, or picks what is listed. */
export async function answer(page: Page, question: RegExp, given: { write: string } | { pick: string }): Promise<void> {
  const box = page.locator(".quick-input-widget", { hasText: question }).filter({ visible: true });
  await box.waitFor();
  if ("pick" in given) {
    await box.locator(".quick-input-list .monaco-list-row", { hasText: given.pick }).first().click();
    return;
  }
  await box.locator(".quick-input-box input").fill(given.write);
  await page.keyboard.press("Enter");
}

/** A folder of its own for one test: a copy of the sample, or an empty one. It is gone when the process ends. */
export function makeFolder(of: "the sample" | "nothing"): string {
  const folder = path.join(fs.mkdtempSync(path.join(os.tmpdir(), "spadework-screen-")), "records");
  process.once("exit", () => fs.rmSync(path.dirname(folder), { recursive: true, force: true }));
  if (of === "nothing") fs.mkdirSync(folder);
  else fs.cpSync(fromEnvironment("SPADEWORK_EDITOR_WORKSPACE"), folder, { recursive: true });
  return folder;
}

/** Puts the cursor into a line of the open file, both counted from 1, and scrolls there. */
export async function goToLine(page: Page, line: number, column = 1): Promise<void> {
  await persistently(page, async () => {
    await page.keyboard.press("Control+G");
    await page.locator(".quick-input-box input").fill(`:${line}:${column}`, { timeout: 5000 });
    await page.keyboard.press("Enter");
    const where = page.locator("#status\\.editor\\.selection", { hasText: `Ln ${line}, Col ${column}` });
    await where.waitFor({ timeout: 5000 });
  });
}

/** Runs a command by the title that the command palette shows; `choice` is picked from the list it opens, if it does. */
export async function runCommand(page: Page, title: string, choice?: string): Promise<void> {
  await pick(page, "F1", `>${title}`, title);
  if (choice) await page.locator(".quick-input-list .monaco-list-row", { hasText: choice }).first().click();
}

/** Picks from the quick list that a key opens. */
async function pick(page: Page, key: string, input: string, choice: string): Promise<void> {
  await persistently(page, async () => {
    await page.keyboard.press(key);
    await page.locator(".quick-input-box input").fill(input, { timeout: 5000 });
    const row = page.locator(".quick-input-list .monaco-list-row", { hasText: choice }).first();
    await row.click({ timeout: 5000 });
  });
}

/** While the workbench is busy it may take the focus away from what a key opened: then it is tried anew. */
export async function persistently(page: Page, work: () => Promise<void>): Promise<void> {
  for (let tries = 4; ; tries--) {
    try {
      await work();
      return;
    } catch (error) {
      if (tries === 1) throw error;
      await page.keyboard.press("Escape");
    }
  }
}

/** Waits until the editor underlines something, and returns the underlines it shows. */
export async function waitForSquiggles(page: Page, level: "error" | "warning" | "info"): Promise<Locator> {
  const squiggles = page.locator(`.squiggly-${level}`);
  await shown(squiggles);
  return squiggles;
}

/** Waits for the first of several that can be seen: the editor keeps some that are scrolled away. */
export function shown(several: Locator): Promise<void> {
  return several.filter({ visible: true }).first().waitFor({ timeout: 30_000 });
}

/**
 * Clicks a code lens and waits for its effect, up to three times. The editor first draws lenses from its cache, without
 * a command, and asks for the live ones only while it has the focus: so it gets the focus first. A lens that the
 * extension does not give never becomes a link, and so this still fails.
 */
export async function clickLens(page: Page, text: string | RegExp, effect: () => Promise<unknown>): Promise<void> {
  const lens = page.locator(".codelens-decoration a", { hasText: text }).filter({ visible: true }).first();
  for (let tries = 3; ; tries--) {
    try {
      // By its key and not by a click: the first line may be one that sticks to the top, and a click there scrolls.
      await page.keyboard.press("Control+1");
      await lens.waitFor({ timeout: 8000 });
      await lens.click({ timeout: 3000 });
      await effect();
      return;
    } catch (error) {
      if (tries === 1) throw error;
    }
  }
}

/** Writes what is on the screen to `build/screenshots/<name>.png`. */
export async function screenshot(page: Page, name: string): Promise<string> {
  const folder = fromEnvironment("SPADEWORK_EDITOR_SCREENSHOTS");
  fs.mkdirSync(folder, { recursive: true });
  const file = path.join(folder, `${name.replace(/[^\w-]+/g, "-")}.png`);
  // What is still moving is shown as it ends.
  await page.screenshot({ path: file, animations: "disabled" });
  return file;
}

/** The workspace's files whose names end so, relative to its folder, sorted. */
export function filesEnding(suffix: string): string[] {
  const folder = fromEnvironment("SPADEWORK_EDITOR_WORKSPACE");
  const files = fs.readdirSync(folder, { recursive: true, encoding: "utf8" });
  return files.filter((file) => file.endsWith(suffix)).sort();
}

function tabOf(page: Page, file: string): Locator {
  return page.locator(".tab", { hasText: path.basename(file) });
}

function fromEnvironment(name: string): string {
  const value = process.env[name];
  if (!value) throw new Error(`${name} is not set: start these tests with test/editor/run.mjs.`);
  return value;
}
