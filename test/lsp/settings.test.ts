import { strict as assert } from "node:assert";
import type { CodeLens, InlayHint } from "vscode-languageserver";
import { DEFAULT_SETTINGS, FolderSettings, settingsOf } from "../../server/src/lsp/settings.ts";
import { ABLE, BOOK, inBook } from "./session-book.ts";
import { TestClient } from "./test-client.ts";

const VISITS = "august.visits.yaml";

describe("settings", () => {
  it("take over what is of the right type, and leave the rest as it is by default", () => {
    for (const wrong of [
      null,
      7,
      "all",
      [],
      { asOf: 4, lenses: true, inlayHints: { names: "no" }, format: { enabled: 1 } },
    ])
      assert.deepEqual(settingsOf(wrong), DEFAULT_SETTINGS);
    assert.deepEqual(
      settingsOf({
        asOf: "2026-08-01",
        lenses: { enabled: false },
        inlayHints: { names: false },
        format: { enabled: true },
      }),
      { asOf: "2026-08-01", lenses: false, inlayHints: { names: false }, format: true },
    );
  });

  it("are those of the innermost folder", () => {
    const settings = new FolderSettings();
    const [outer, inner, elsewhere] = ["2026-01-01", "2026-02-02", "2026-03-03"].map((asOf) => settingsOf({ asOf }));
    settings.set(
      new Map([
        ["/records/inner", inner!],
        ["/records", outer!],
      ]),
      elsewhere!,
    );
    for (const [path, expected] of [
      ["/records", outer],
      ["/records/a.visits.yaml", outer],
      ["/records/inner", inner],
      ["/records/inner/deep/a.visits.yaml", inner],
      ["/records/inner-most/a.visits.yaml", outer],
      ["/recordsyard/a.visits.yaml", elsewhere],
    ] as const)
      assert.equal(settings.of(path), expected, path);
  });

  it("differ from folder to folder: the day, lenses, hints", () =>
    inBook({}, async (top) => {
      for (const name of ["a", "b"])
        for (const [path, text] of Object.entries(BOOK)) top.write(`${name}/${path}`, text);
      const [a, b] = [top.uri("a"), top.uri("b")];
      const asked: (string | undefined)[] = [];
      const settings = (scopeUri: string | undefined): unknown => {
        asked.push(scopeUri);
        if (scopeUri !== a) return {};
        return { asOf: "2026-08-01", lenses: { enabled: false }, inlayHints: { stage: false } };
      };
      const client = await TestClient.inMemory({ capabilities: ABLE, folders: [a, b], settings });
      await client.settled();
      assert.deepEqual(asked, [undefined, a, b]);
      assert.deepEqual(client.published.get(top.uri("a/lab.samples.yaml")) ?? [], [], "not overdue on 1 August");
      assert.equal(client.published.get(top.uri("b/lab.samples.yaml"))!.length, 1);
      const shows = async (folder: string): Promise<readonly [lenses: number, stages: number]> => {
        const textDocument = { uri: top.uri(`${folder}/${VISITS}`) };
        const range = { start: { line: 0, character: 0 }, end: { line: 99, character: 0 } };
        const lenses = await client.request<CodeLens[]>("textDocument/codeLens", { textDocument });
        const hints = await client.request<InlayHint[]>("textDocument/inlayHint", { textDocument, range });
        return [lenses.length, hints.filter(({ label }) => /pods ripe/.test(label as string)).length];
      };
      assert.deepEqual(await shows("a"), [0, 0]);
      assert.deepEqual(await shows("b"), [1, 1]);
      await client.stop();
    }));

  it("are read again when the client tells of a change, and what is shown is asked for again", () =>
    inBook(BOOK, async (folder) => {
      let settings: unknown = { asOf: "2026-08-01" };
      const client = await TestClient.inMemory({
        capabilities: ABLE,
        folders: [folder.uri()],
        settings: () => settings,
      });
      await client.settled();
      const samples = folder.uri("lab.samples.yaml");
      assert.deepEqual(client.published.get(samples) ?? [], []);
      const registrations = client
        .heardOf("client/registerCapability")
        .flatMap(
          ({ params }) => (params as { registrations: { method: string; registerOptions: unknown }[] }).registrations,
        );
      assert.deepEqual(
        registrations.find(({ method }) => method === "workspace/didChangeConfiguration")?.registerOptions,
        { section: "spadework" },
      );
      settings = {};
      client.notify("workspace/didChangeConfiguration", { settings: null });
      await client.settled();
      assert.equal(client.published.get(samples)!.length, 1);
      const refreshed = client.next("workspace/codeLens/refresh");
      settings = { lenses: { enabled: false } };
      client.notify("workspace/didChangeConfiguration", { settings: null });
      await refreshed;
      await client.stop();
    }));

  it("are taken from a client that sends them and cannot be asked", () =>
    inBook(BOOK, async (folder) => {
      const client = await TestClient.inMemory({ folders: [folder.uri()] });
      await client.settled();
      const samples = folder.uri("lab.samples.yaml");
      assert.equal(client.published.get(samples)!.length, 1);
      client.notify("workspace/didChangeConfiguration", { settings: { spadework: { asOf: "2026-08-01" } } });
      await client.settled();
      assert.deepEqual(client.published.get(samples), []);
      client.notify("workspace/didChangeConfiguration", { settings: { other: {} } });
      await client.settled();
      assert.deepEqual(client.published.get(samples), [], "what is of another program changes nothing");
      await client.stop();
    }));

  it("come with a folder that is opened later", () =>
    inBook({}, async (top) => {
      for (const [path, text] of Object.entries(BOOK)) top.write(`later/${path}`, text);
      const later = { uri: top.uri("later"), name: "later" };
      const settings = (scopeUri: string | undefined): unknown =>
        scopeUri === later.uri ? { asOf: "2026-08-01" } : {};
      const client = await TestClient.inMemory({ capabilities: ABLE, settings });
      await client.settled();
      client.notify("workspace/didChangeWorkspaceFolders", { event: { added: [later], removed: [] } });
      await client.settled();
      assert.ok(client.published.get(top.uri(`later/demo.fields.yaml`)) === undefined);
      assert.equal(client.published.get(top.uri("later/lab.samples.yaml")), undefined);
      await client.stop();
    }));
});
