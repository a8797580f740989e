// The browser that shows a VS Code server's workbench. Only this machine is reachable from it.
import { chromium } from "playwright-core";
import { installChromium } from "./install.mjs";

const browserFlags = [
  // Chromium refuses to run as root with its sandbox on; it only ever sees the workbench of this machine.
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--disable-dev-shm-usage",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
  "--no-first-run",
];

/** @returns {Promise<import("playwright-core").Browser>} */
export function launchChromium() {
  return chromium.launch({ executablePath: installChromium(), headless: true, args: browserFlags });
}

/**
 * A fresh page whose every request beyond this machine fails at once.
 * @param {import("playwright-core").Browser} browser
 */
export async function openPage(browser) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
  /** @type {Set<string>} hosts that the workbench asked for in vain */
  const blocked = new Set();
  await context.route(
    (url) => url.protocol.startsWith("http") && !/^(127\.0\.0\.1|localhost|.*\.localhost)$/.test(url.hostname),
    (route) => {
      blocked.add(new URL(route.request().url()).host);
      return route.abort();
    },
  );
  return { page: await context.newPage(), blocked };
}

/**
 * The address of a workbench.
 * @param {string} host of the server
 * @param {string | undefined} target a folder, a `.code-workspace` file, or nothing for an empty window
 * @param {[string, string][]} payload what the workbench is to do once it is open
 */
export function workbenchAddress(host, target, payload = []) {
  const url = new URL(`http://${host}/`);
  if (!target) url.searchParams.set("ew", "true");
  else url.searchParams.set(target.endsWith(".code-workspace") ? "workspace" : "folder", target);
  url.searchParams.set("payload", JSON.stringify([...payload, ["skipWelcome", "true"], ["skipReleaseNotes", "true"]]));
  return url.href;
}
