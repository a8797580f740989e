// Times any language server on a file of records: opening it, and edits of one value in its middle, each from the moment it
// is sent to the findings that answer it.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { LanguageClient } from "./language-client.mjs";

const PATIENCE_MS = 120_000;
const SETTLING_MS = 1500;
const BETWEEN_EDITS_MS = 20;

/**
 * @param server the command and its arguments
 * @param root the folder of the book; `file` is edited, and `watched` (by default the same) is the one whose findings are
 *   waited for: every edit of `from` into `to` has to change their number
 * @param settings what the server is answered when it asks for its configuration, by section
 */
export async function measureLatency({ server, root, file, watched = file, from, to, edits, settings = {} }) {
  const uriOf = (path) => pathToFileURL(join(root, path)).href;
  const arrivals = new Arrivals(uriOf(watched));
  const client = new LanguageClient(server, {
    onNotification: (method, params) => method === "textDocument/publishDiagnostics" && arrivals.take(params),
    onRequest: (method, params) =>
      method === "workspace/configuration" ? params.items.map(({ section }) => settings[section] ?? null) : null,
  });
  try {
    await client.request("initialize", {
      processId: process.pid,
      rootUri: pathToFileURL(root).href,
      workspaceFolders: [{ uri: pathToFileURL(root).href, name: "book" }],
      capabilities: {
        workspace: { configuration: true, workspaceFolders: true },
        textDocument: { publishDiagnostics: { versionSupport: true }, synchronization: {} },
      },
    });
    client.notify("initialized", {});
    client.notify("workspace/didChangeConfiguration", { settings });
    await pause(SETTLING_MS);

    const text = readFileSync(join(root, file), "utf8");
    const { line, character } = placeOf(from, text);
    const textDocument = { uri: uriOf(file) };
    const opening = performance.now();
    const opened = watched === file || arrivals.count === undefined ? arrivals.next(() => true) : opening;
    client.notify("textDocument/didOpen", {
      textDocument: { ...textDocument, languageId: "yaml", version: 1, text },
    });
    const openMs = (await opened) - opening;
    await pause(SETTLING_MS);

    const findings = arrivals.count;
    const times = [];
    for (let i = 0; i < edits; i++) {
      const [was, now] = i % 2 === 0 ? [from, to] : [to, from];
      const answer = arrivals.next((count) => (count === findings) === (now === from));
      const range = { start: { line, character }, end: { line, character: character + was.length } };
      const began = performance.now();
      client.notify("textDocument/didChange", {
        textDocument: { ...textDocument, version: i + 2 },
        contentChanges: [{ range, text: now }],
      });
      times.push((await answer) - began);
      await pause(BETWEEN_EDITS_MS);
    }
    const memoryMb = client.memoryMb;
    return {
      megabytes: Number((text.length / 1e6).toFixed(2)),
      findings,
      ...(watched === file && { openMs: Math.round(openMs) }),
      editMs: { p50: quantile(times, 0.5), p95: quantile(times, 0.95) },
      memoryMb,
    };
  } finally {
    await client.stop();
  }
}

/** The findings that are sent for one file, and who waits for them. */
class Arrivals {
  /** Undefined until the first have come. */
  count;
  #waiting;

  constructor(uri) {
    this.uri = uri;
  }

  take({ uri, diagnostics }) {
    if (uri !== this.uri) return;
    this.count = diagnostics.length;
    this.#waiting?.(performance.now());
  }

  /** The moment at which the number of findings next passes the test. */
  next(test) {
    return new Promise((resolve, reject) => {
      const timer = setTimeout(
        () => reject(new Error(`no findings of ${this.uri} within ${PATIENCE_MS} ms`)),
        PATIENCE_MS,
      );
      this.#waiting = (at) => {
        if (!test(this.count)) return;
        clearTimeout(timer);
        this.#waiting = undefined;
        resolve(at);
      };
    });
  }
}

/** The first place of a text in the lower half of another. */
function placeOf(wanted, text) {
  const lines = text.split("\n");
  const line = lines.findIndex((each, i) => i >= lines.length / 2 && each.includes(wanted));
  if (line < 0) throw new Error(`"${wanted}" does not stand in the lower half of the file`);
  return { line, character: lines[line].indexOf(wanted) };
}

function quantile(times, share) {
  const sorted = [...times].sort((a, b) => a - b);
  return Number(sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))].toFixed(1));
}

function pause(ms) {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
