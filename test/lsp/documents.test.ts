import { strict as assert } from "node:assert";
import { symlinkSync, renameSync } from "node:fs";
import { join } from "node:path";
import type { CodeLens } from "vscode-languageserver";
import { LineIndex } from "../../server/src/base/line-index.ts";
import { makeBook } from "../bench/make-book.mjs";
import { ABLE, at, BOOK, inBook, type BookFolder } from "./session-book.ts";
import { TestClient } from "./test-client.ts";

const VISITS = "august.visits.yaml";
const visits = BOOK[VISITS]!;
const [CREATED, CHANGED, DELETED] = [1, 2, 3] as const;

/** What a server that has just been started finds in some folders with these texts open. */
async function fresh(
  folders: readonly string[],
  open: ReadonlyMap<string, string> = new Map(),
): Promise<Map<string, unknown>> {
  const client = await TestClient.inMemory({ capabilities: ABLE, folders });
  for (const [uri, text] of open)
    client.notify("textDocument/didOpen", { textDocument: { uri, languageId: "season-records", version: 1, text } });
  await client.settled();
  const found = shown(client);
  await client.stop();
  return found;
}

/** The findings a client shows, of files that have any. */
function shown(client: TestClient): Map<string, unknown> {
  const withSome = [...client.published].filter(([, diagnostics]) => diagnostics.length > 0);
  return new Map(withSome.sort(([a], [b]) => (a < b ? -1 : 1)));
}

function watched(client: TestClient, changes: readonly (readonly [uri: string, type: 1 | 2 | 3])[]): void {
  client.notify("workspace/didChangeWatchedFiles", { changes: changes.map(([uri, type]) => ({ uri, type })) });
}

/** Replaces the nth `needle` as an editor says it: a range of lines and UTF-16 columns. */
function edit(text: string, needle: string, by: string, nth = 0): { change: object; after: string } {
  const start = at(text, needle, 0, nth);
  const offset = new LineIndex(text).offset(start);
  return {
    change: { range: { start, end: at(text, needle, needle.length, nth) }, text: by },
    after: text.slice(0, offset) + by + text.slice(offset + needle.length),
  };
}

async function inSession(
  files: Readonly<Record<string, string | Uint8Array>>,
  work: (client: TestClient, folder: BookFolder) => Promise<void>,
): Promise<void> {
  await inBook(files, async (folder) => {
    const client = await TestClient.inMemory({ capabilities: ABLE, folders: [folder.uri()] });
    await client.settled();
    await work(client, folder);
    await client.stop();
  });
}

describe("texts that are open in the editor", () => {
  it("count in place of the files, by edits of parts or of the whole, until they are closed", () =>
    inSession(BOOK, async (client, folder) => {
      const uri = folder.open(client, VISITS, visits);
      const before = shown(client);
      // The column lies beyond two characters of two UTF-16 units each.
      const first = edit(visits, "field: long-meadow", "field: mill-flat");
      const second = edit(first.after, "ground: wet", "ground: dry");
      client.notify("textDocument/didChange", {
        textDocument: { uri, version: 2 },
        contentChanges: [first.change, second.change],
      });
      await client.settled();
      assert.deepEqual(shown(client), await fresh([folder.uri()], new Map([[uri, second.after]])));
      assert.equal(client.versions.get(uri), 2);
      client.notify("textDocument/didChange", {
        textDocument: { uri, version: 3 },
        contentChanges: [{ text: "visits:\n" }],
      });
      await client.settled();
      assert.deepEqual(shown(client), await fresh([folder.uri()], new Map([[uri, "visits:\n"]])));
      client.notify("textDocument/didSave", { textDocument: { uri } });
      client.notify("textDocument/didClose", { textDocument: { uri } });
      await client.settled();
      assert.deepEqual(shown(client), before, "what is on disk counts again");
    }));

  it("say of a burst of keystrokes only what the last one leaves", () =>
    inSession(BOOK, async (client, folder) => {
      const uri = folder.open(client, VISITS, visits);
      await client.settled();
      const count = client.heardOf("textDocument/publishDiagnostics").length;
      for (let i = 0; i < 50; i++)
        client.notify("textDocument/didChange", {
          textDocument: { uri, version: i + 2 },
          contentChanges: [{ text: visits.replace("ground: wet", "ground: we".padEnd(10 + i, "t")) }],
        });
      client.notify("textDocument/didChange", {
        textDocument: { uri, version: 60 },
        contentChanges: [{ text: visits.replace("ground: wet", "ground: dry") }],
      });
      await client.settled();
      assert.equal(client.versions.get(uri), 60);
      assert.ok(client.heardOf("textDocument/publishDiagnostics").length - count < 10);
    }));

  for (const [what, change] of [
    ["a byte-order mark", (text: string) => `\ufeff${text}`],
    ["CRLF line ends", (text: string) => text.replaceAll("\n", "\r\n")],
  ] as const)
    it(`have their places also with ${what}`, () =>
      inSession(BOOK, async (client, folder) => {
        const text = change(visits);
        const uri = folder.open(client, VISITS, text);
        const { change: step, after } = edit(text, "ground: wet", "ground: wett");
        client.notify("textDocument/didChange", { textDocument: { uri, version: 2 }, contentChanges: [step] });
        await client.settled();
        const wrong = client.published.get(uri)!.find(({ message }) => message.includes("wett"))!;
        const lines = new LineIndex(after);
        assert.equal(after.slice(lines.offset(wrong.range.start), lines.offset(wrong.range.end)), "wett");
      }));
});

describe("files that change beside the editor", () => {
  it("are read again when they are made, changed, renamed and deleted", () =>
    inSession(BOOK, async (client, folder) => {
      const isAsFresh = async (what: string): Promise<void> => {
        await client.settled();
        assert.deepEqual(shown(client), await fresh([folder.uri()]), what);
      };
      folder.write("more.visits.yaml", visits.replaceAll("id: v", "id: w"));
      watched(client, [[folder.uri("more.visits.yaml"), CREATED]]);
      await isAsFresh("made");
      folder.write("more.visits.yaml", visits.replaceAll("id: v", "id: x").replace("wet", "dry"));
      watched(client, [[folder.uri("more.visits.yaml"), CHANGED]]);
      await isAsFresh("changed");
      folder.write("2026/moved.visits.yaml", visits.replaceAll("id: v", "id: x"));
      folder.delete("more.visits.yaml");
      watched(client, [
        [folder.uri("more.visits.yaml"), DELETED],
        [folder.uri("2026/moved.visits.yaml"), CREATED],
      ]);
      await isAsFresh("renamed");
      renameSync(join(folder.root, "2026"), join(folder.root, "twenty-six"));
      watched(client, [
        [folder.uri("2026"), DELETED],
        [folder.uri("twenty-six/moved.visits.yaml"), CREATED],
      ]);
      await isAsFresh("its folder renamed");
      folder.delete("twenty-six");
      watched(client, [[folder.uri("twenty-six"), DELETED]]);
      await isAsFresh("its folder deleted");
      folder.delete("season.yaml");
      watched(client, [[folder.uri("season.yaml"), DELETED]]);
      await isAsFresh("no book any more");
      assert.deepEqual(shown(client), new Map());
      folder.write("season.yaml", BOOK["season.yaml"]!);
      watched(client, [[folder.uri("season.yaml"), CREATED]]);
      await isAsFresh("a book again");
    }));

  it("ask the client to ask again for lenses and hints, since they may rest on another file", () =>
    inSession(BOOK, async (client, folder) => {
      const textDocument = { uri: folder.uri("demo.fields.yaml") };
      const titles = async (): Promise<string> =>
        (await client.request<CodeLens[]>("textDocument/codeLens", { textDocument }))
          .map(({ command }) => command!.title)
          .join();
      assert.match(await titles(), /galls in dig d1/);
      const refreshed = client.next("workspace/codeLens/refresh");
      const hints = client.next("workspace/inlayHint/refresh");
      folder.write(VISITS, "visits:\n");
      watched(client, [[folder.uri(VISITS), CHANGED]]);
      await Promise.all([refreshed, hints]);
      assert.doesNotMatch(await titles(), /galls in dig d1/);
    }));

  it("may be hundreds at once, as after a git checkout", async () => {
    const [one, other] = [1, 2].map((seed) => makeBook({ fields: 30, years: 30, visits: 6, seed, files: "month" }));
    const names = new Set([...one!.keys(), ...other!.keys()]);
    assert.ok(names.size > 300, `${names.size} files`);
    await inSession(Object.fromEntries(one!), async (client, folder) => {
      const changes = [...names].flatMap((path): (readonly [string, 1 | 2 | 3])[] => {
        const [before, after] = [one!.get(path), other!.get(path)];
        if (before === after) return [];
        if (after === undefined) folder.delete(path);
        else folder.write(path, after);
        return [[folder.uri(path), before === undefined ? CREATED : after === undefined ? DELETED : CHANGED]];
      });
      watched(client, changes.slice(0, 200));
      watched(client, changes.slice(200));
      await client.settled();
      assert.deepEqual(shown(client), await fresh([folder.uri()]));
    });
  });
});

describe("folders and books", () => {
  it("may be several, nested, and come and go; a book never sees another", () =>
    inBook({}, async (top) => {
      for (const name of ["a", "b", "a/inner"])
        for (const [path, text] of Object.entries(BOOK)) top.write(`${name}/${path}`, text);
      const [a, b] = ["a", "b"].map((name) => ({ uri: top.uri(name), name }));
      const client = await TestClient.inMemory({ capabilities: ABLE, folders: [a!.uri] });
      await client.settled();
      const found = client.published.get(top.uri(`a/${VISITS}`));
      assert.ok(found!.length > 0);
      const withoutUris = (path: string): string => JSON.stringify(client.published.get(top.uri(`${path}/${VISITS}`)));
      assert.equal(withoutUris("a/inner").replaceAll("/a/inner/", "/a/"), withoutUris("a"));
      assert.deepEqual(client.published.get(top.uri(`b/${VISITS}`)), undefined);
      client.notify("workspace/didChangeWorkspaceFolders", { event: { added: [b], removed: [] } });
      await client.settled();
      assert.equal(withoutUris("b").replaceAll("/b/", "/a/"), withoutUris("a"));
      client.notify("workspace/didChangeWorkspaceFolders", { event: { added: [], removed: [a] } });
      await client.settled();
      assert.deepEqual([...shown(client).keys()], [...(await fresh([b!.uri])).keys()]);
      // The book within becomes a part of the one around it, and its own again.
      client.notify("workspace/didChangeWorkspaceFolders", { event: { added: [a], removed: [] } });
      top.delete("a/inner/season.yaml");
      watched(client, [[top.uri("a/inner/season.yaml"), DELETED]]);
      await client.settled();
      assert.ok(
        client.published.get(top.uri(`a/inner/${VISITS}`))!.some(({ code }) => code === "structure/duplicate-id"),
      );
      assert.deepEqual(shown(client), await fresh([a!.uri, b!.uri]));
      const uri = top.uri("a/inner/season.yaml");
      client.notify("textDocument/didOpen", {
        textDocument: { uri, languageId: "season-records", version: 1, text: BOOK["season.yaml"]! },
      });
      await client.settled();
      assert.equal(
        withoutUris("a/inner").replaceAll("/a/inner/", "/a/"),
        withoutUris("a"),
        "not saved yet, and counts",
      );
      client.notify("textDocument/didClose", { textDocument: { uri } });
      await client.settled();
      assert.deepEqual(shown(client), await fresh([a!.uri, b!.uri]), "closed without being saved");
      await client.stop();
    }));

  it("may be reached by a link, whose name the client goes by", () =>
    inBook({}, async (top) => {
      for (const [path, text] of Object.entries(BOOK)) top.write(`real/${path}`, text);
      symlinkSync(join(top.root, "real"), join(top.root, "link"));
      const client = await TestClient.inMemory({ capabilities: ABLE, folders: [top.uri("link")] });
      await client.settled();
      const uri = top.uri(`link/${VISITS}`);
      assert.ok(client.published.get(uri)!.length > 0);
      top.open(client, `link/${VISITS}`, "visits:\n");
      await client.settled();
      assert.deepEqual(client.published.get(uri), []);
      await client.stop();
    }));

  it("may be none that are there", () =>
    inBook({}, async (top) => {
      const client = await TestClient.inMemory({ folders: [top.uri("gone"), "vscode-remote://somewhere/else"] });
      await client.settled();
      assert.equal(client.published.size, 0);
      await client.stop();
    }));
});
