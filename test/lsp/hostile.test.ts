import { strict as assert } from "node:assert";
import type { Hover } from "vscode-languageserver";
import { ABLE, at, BOOK, inBook, PULLING } from "./session-book.ts";
import { ServerError, TestClient } from "./test-client.ts";

const VISITS = "august.visits.yaml";
const visits = BOOK[VISITS]!;

const REQUESTS = [
  "textDocument/codeLens",
  "textDocument/inlayHint",
  "textDocument/hover",
  "textDocument/completion",
  "textDocument/codeAction",
  "codeAction/resolve",
  "textDocument/definition",
  "textDocument/references",
  "textDocument/documentHighlight",
  "textDocument/prepareRename",
  "textDocument/rename",
  "textDocument/documentSymbol",
  "workspace/symbol",
  "textDocument/foldingRange",
  "textDocument/selectionRange",
  "textDocument/documentLink",
  "textDocument/prepareCallHierarchy",
  "callHierarchy/incomingCalls",
  "callHierarchy/outgoingCalls",
  "textDocument/semanticTokens/full",
  "textDocument/semanticTokens/range",
  "textDocument/formatting",
  "textDocument/rangeFormatting",
  "textDocument/diagnostic",
  "workspace/diagnostic",
  "spadework/soilMovement",
  "spadework/season",
  "spadework/newVisit",
  "spadework/reviewChange",
];

/** Opens the small book, does its worst, and sees whether the server still says what it should. */
async function survives(
  work: (client: TestClient, uri: string) => Promise<void>,
  make: typeof TestClient.inMemory = TestClient.inMemory,
): Promise<void> {
  await inBook(BOOK, async (folder) => {
    const settings = (): unknown => ({ format: { enabled: true } });
    const client = await make({ capabilities: PULLING, folders: [folder.uri()], settings });
    const uri = folder.open(client, VISITS, visits);
    await client.settled();
    await work(client, uri);
    client.notify("textDocument/didClose", { textDocument: { uri } });
    folder.open(client, VISITS, visits, 100);
    const position = at(visits, "long-meadow", 1);
    const hover = await client.request<Hover>("textDocument/hover", { textDocument: { uri }, position });
    assert.match(JSON.stringify(hover.contents), /Long Meadow/);
    await client.stop();
  });
}

/** Whatever comes back, something must. */
async function answered(answers: readonly Promise<unknown>[]): Promise<void> {
  for (const { status, reason } of (await Promise.allSettled(answers)) as { status: string; reason?: unknown }[])
    if (status === "rejected") assert.ok(reason instanceof ServerError && reason.message.length > 0, String(reason));
}

describe("the language server outlives", () => {
  it("methods that there are not", () =>
    survives(async (client) => {
      for (const method of [
        "textDocument/nothing",
        "__proto__",
        "toString",
        "spadework/nothing",
        "textDocument/semanticTokens/full/delta",
      ])
        await assert.rejects(client.startAsIs(method, {}).answer, (error: ServerError) => error.code === -32601);
      client.notify("textDocument/nothing", {});
      client.notify("$/nothing", {});
      client.send({ jsonrpc: "2.0", method: "$/cancelRequest", params: { id: 9999 } });
    }));

  it("requests whose parameters are anything but what they should be", () =>
    survives(async (client, uri) => {
      const wrong: readonly unknown[] = [
        undefined,
        null,
        [],
        {},
        7,
        "text",
        { textDocument: null },
        { textDocument: { uri: 7 } },
        { textDocument: { uri: "" } },
        { textDocument: { uri: "file:///%E0%A4%A" } },
        { textDocument: { uri: "__proto__" } },
        { textDocument: { uri } },
        { textDocument: { uri }, position: null, range: null, positions: null, newName: null, context: null },
        { textDocument: { uri }, position: {}, range: {}, positions: [{}], newName: {}, context: {} },
        { textDocument: { uri }, position: { line: "a", character: [] }, newName: 4, options: 3 },
        { item: null, data: null, query: null, uri: null },
        { item: { uri, data: { place: "field", id: {} } }, data: { uri, code: "__proto__" }, uri, field: {} },
        { item: { uri, data: { place: "field", id: "__proto__" } }, query: {}, previousResultIds: [{}] },
      ];
      await answered(REQUESTS.flatMap((method) => wrong.map((params) => client.startAsIs(method, params).answer)));
    }));

  it("positions past the end, before the start, and in the midst of a character", () =>
    survives(async (client, uri) => {
      const numbers = [0, 1, 9, 10, 11, 2 ** 31 - 1, -1, 1e300, 0.5];
      const positions = numbers.flatMap((line) => numbers.map((character) => ({ line, character })));
      positions.push(at(visits, "🌱", 1));
      await answered(
        positions.flatMap((position) => {
          const range = { start: position, end: { line: 3, character: 2 } };
          const params = { textDocument: { uri }, position, range, positions: [position], newName: "a-new-id" };
          const context = { diagnostics: [], includeDeclaration: true };
          const options = { tabSize: 2, insertSpaces: true };
          return REQUESTS.filter((method) => method.startsWith("textDocument/")).map(
            (method) => client.startAsIs(method, { ...params, context, options }).answer,
          );
        }),
      );
    }));

  it("edits that fit no text, and documents that were never opened", () =>
    survives(async (client, uri) => {
      const far = { line: 99, character: 99 };
      const start = { line: 0, character: 0 };
      const changed = (contentChanges: unknown, version: unknown = 2, of: unknown = uri): void =>
        client.send({
          jsonrpc: "2.0",
          method: "textDocument/didChange",
          params: { textDocument: { uri: of, version }, contentChanges },
        });
      changed([{ range: { start: far, end: far }, text: "  # at the end\n" }]);
      changed([{ range: { start: far, end: start }, text: "backwards" }]);
      changed([{ range: { start: { line: -4, character: -4 }, end: start }, text: "before" }]);
      changed([{ range: { start: at(visits, "🌱", 1), end: at(visits, "🌱", 2) }, text: "half a character" }]);
      changed([{ text: null }]);
      changed([{}]);
      changed([]);
      changed(null);
      changed("text", "version");
      changed([{ text: "x" }], 3, "file:///never/opened.visits.yaml");
      for (const method of ["didOpen", "didChange", "didClose", "didSave"])
        for (const params of [
          null,
          {},
          { textDocument: null },
          { textDocument: { uri: null } },
          { textDocument: { uri } },
          [],
        ])
          client.send({ jsonrpc: "2.0", method: `textDocument/${method}`, params });
      client.notify("textDocument/didClose", { textDocument: { uri: "file:///never/opened.visits.yaml" } });
      await client.settled();
    }));

  it("wrong news of files, folders and settings", () =>
    survives(async (client) => {
      for (const params of [
        null,
        {},
        { changes: null },
        { changes: [{ uri: "not a uri", type: 1 }] },
        { changes: [{ uri: "http://example.test/season.yaml", type: 7 }] },
        { changes: [{ uri: "file:///", type: 3 }] },
        { event: { added: [{ uri: "untitled:a" }], removed: [{ uri: "file:///nowhere" }] } },
        { settings: "all" },
        { settings: { spadework: { asOf: {}, lenses: 4, inlayHints: [], format: "yes" } } },
      ])
        for (const method of ["didChangeWatchedFiles", "didChangeWorkspaceFolders", "didChangeConfiguration"])
          client.send({ jsonrpc: "2.0", method: `workspace/${method}`, params });
      await client.settled();
    }));

  it("texts that are no records: bytes of 0, deep nesting, many aliases, a line without end", () =>
    survives(async (client, uri) => {
      const bomb = ["a: &a [x, x]", ...Array.from({ length: 30 }, (_, i) => `b${i}: &b${i} [*a, *a]`)].join("\n");
      let version = 1;
      for (const text of [
        "\0".repeat(9),
        "[".repeat(5000),
        `visits:\n  - ${bomb}`,
        `visits: ${"x".repeat(300_000)}`,
        "visits:\n  - id: &a\n    <<: *a",
        "\ud800",
      ]) {
        client.notify("textDocument/didChange", {
          textDocument: { uri, version: ++version },
          contentChanges: [{ text }],
        });
        const whole = { start: { line: 0, character: 0 }, end: { line: 1, character: 0 } };
        await answered(
          [
            "textDocument/codeLens",
            "textDocument/inlayHint",
            "textDocument/semanticTokens/full",
            "textDocument/foldingRange",
            "textDocument/documentSymbol",
          ].map((method) => client.startAsIs(method, { textDocument: { uri }, range: whole }).answer),
        );
      }
    }));

  it("bodies that are no JSON, and messages that are no requests, over the standard streams", () =>
    survives(
      async (client) => {
        for (const body of [
          "{",
          "nothing",
          "",
          "[]",
          "null",
          "7",
          '{"jsonrpc":"1.0"}',
          '{"id":{}}',
          '{"jsonrpc":"2.0","id":77,"result":1}',
          "\ufeff{}",
        ])
          client.sendBytes(Buffer.from(body));
        client.sendBytes(Buffer.from([0xff, 0xfe, 0x00, 0x80]));
      },
      (options) => TestClient.overStdio(options),
    ));
});

describe("the language server, told of the wrong things by its client", () => {
  it("goes on where the client refuses what it said it could do", () =>
    inBook(BOOK, async (folder) => {
      const refuses = [
        "workspace/configuration",
        "window/workDoneProgress/create",
        "client/registerCapability",
        "workspace/codeLens/refresh",
        "workspace/inlayHint/refresh",
        "workspace/semanticTokens/refresh",
      ];
      // In a process of its own, which a promise that fails unheard would end.
      const client = await TestClient.overStdio({ capabilities: ABLE, folders: [folder.uri()], refuses });
      await client.settled();
      folder.open(client, VISITS, `${visits}\n`);
      await client.settled();
      assert.ok(client.published.get(folder.uri(VISITS))!.length > 0);
      await client.stop();
    }));

  it("goes on where the client answers its own requests with nonsense", () =>
    inBook(BOOK, async (folder) => {
      for (const settings of [
        null,
        7,
        "text",
        [],
        { asOf: 7 },
        { asOf: "2026-99-99" },
        { lenses: null, inlayHints: "no" },
      ]) {
        const client = await TestClient.inMemory({
          capabilities: ABLE,
          folders: [folder.uri()],
          settings: () => settings,
        });
        await client.settled();
        assert.ok(client.published.get(folder.uri(VISITS))!.length > 0);
        await client.stop();
      }
    }));
});
